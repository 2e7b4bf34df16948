"""A difference held against dilutions. d′ of triangle tests: by the inverse of Ura's integral.

Where a test has as many right answers as a dilution, it is worth that dilution, whatever the
method's curve; a published table or another program is needed for nothing but the rest, which
`tests/stats/test_ruler.py` checks against a general optimiser.
"""

import pytest

from server.blinding.plans import Purpose
from server.reports import labels
from server.reports.ruler import words
from server.reports.ruler.figure import describe_ruler, draw_ruler
from server.reports.ruler.marks import find_dilutions, pool
from server.reports.ruler.reading import list_marks, read_off, tell_reading
from server.stats.thurstone import TRIANGLE
from tests.reports.test_words import FORBIDDEN

WATER_ALONE = {"A": ["1.30"], "B": ["1.17"]}  # % TDS of a drink, and of it with a tenth of water


@pytest.fixture
def dilute(make_story):
    """A played test of a dilution: so many right of 60."""

    def tell(percent, right, tds=WATER_ALONE, **changes):
        plan = {"dilution_percent": str(percent), "assessors": 20, "pot_ml": "2000"} | changes
        return make_story(**plan).brew(tds).taste(right).close().unseal()

    return tell


@pytest.fixture
def panel(make_story):
    """A played test of something else by as many people: so many right of 60."""

    def tell(right, **changes):
        story = make_story(**{"assessors": 20, "pot_ml": "2000"} | changes).brew()
        return story.taste(right).close().unseal()

    return tell


def hold(test, *stories):
    found = [one for story in stories for one in find_dilutions(story.analyse())]
    return read_off(test.analyse(), found)


def test_a_test_noticed_like_a_dilution_is_worth_that_dilution(dilute, panel):
    ruler = hold(panel(40), dilute(10, 40)).ruler
    assert ruler.percent == pytest.approx(10)
    said = tell_reading(hold(panel(40), dilute(10, 40)))[0]
    assert said.startswith("About as noticeable as 10% added water (95% limits 6.7% to more than")


def test_answers_about_one_dilution_are_added_up(dilute):
    found = [*find_dilutions(dilute(10, 30).analyse()), *find_dilutions(dilute(10, 50).analyse())]
    (mark,) = pool(found)
    assert (mark.counts.correct, mark.counts.trials) == (80, 120)


def test_two_methods_make_two_marks_of_one_dilution(dilute, panel):
    duo = dilute(10, 45, method="duo-trio", standard="ISO 10399:2017")
    found = [*find_dilutions(dilute(10, 40).analyse()), *find_dilutions(duo.analyse())]
    assert [mark.counts.model.name for mark in pool(found)] == ["duo-trio", "triangle"]
    assert read_off(panel(40).analyse(), found).ruler.fit.df == 1


@pytest.mark.parametrize(
    ("right", "said"),
    [
        (20, "By the estimate not noticed at all; as noticeable as up to "),
        (45, "By the estimate more noticeable than 10% added water, the most on the ruler; as"),
        (59, "More noticeable than 10% added water, the most on the ruler: the lower 95% limit"),
        (60, "More noticeable than 10% added water, the most on the ruler: the lower 95% limit"),
    ],
)
def test_nothing_is_read_beyond_the_largest_dilution(dilute, panel, right, said):
    sentence = tell_reading(hold(panel(right), dilute(10, 40)))[0]
    assert sentence.startswith(said)


def test_a_ruler_that_is_not_straight_is_read_by_nobody(dilute, panel):
    # More right answers about half of the water.
    reading = hold(panel(40), dilute(5, 55), dilute(10, 30))
    (said,) = tell_reading(reading)
    assert said.startswith("The ruler has no scale")


@pytest.mark.parametrize(("right", "why"), [(15, "guessing"), (60, "every answer")])
def test_dilutions_that_nobody_or_everybody_notices_have_no_mark(dilute, panel, right, why):
    assert why in " ".join(tell_reading(hold(panel(40), dilute(10, right))))


def test_a_dilution_is_not_told_that_its_strength_was_a_rival_cause(dilute, panel):
    assert dilute(10, 45).conclude().verdict == "told_apart"
    assert dilute(10, 45, tds=None).conclude().verdict == "told_apart"
    other = panel(45, tds_limit="0.001").conclude()
    assert other.verdict == "told_apart_not_matched"


def test_a_dilution_whose_heat_was_not_matched_makes_no_mark(make_story):
    story = make_story(dilution_percent="10").brew(WATER_ALONE, {"A": "58", "B": "66"})
    (found,) = find_dilutions(story.taste(11).close().unseal().analyse())
    assert found.fault == words.NOT_MATCHED


@pytest.mark.parametrize(
    ("changes", "fault"),
    [
        ({"pourer": "taster"}, words.EXPLORATORY),
        ({"pots": "single"}, words.SHARED_POTS),
    ],
)
def test_what_voids_a_finding_makes_no_mark(dilute, panel, changes, fault):
    story = dilute(10, 40, **changes)
    assert [one.fault for one in find_dilutions(story.analyse())] == [fault]
    assert hold(panel(40), story) is None


def test_an_abandoned_dilution_has_no_result(make_story):
    story = make_story(dilution_percent="10").brew().taste(11)
    analysis = story.tell("abandoned", reason="no water").analyse()
    assert [one.fault for one in find_dilutions(analysis)] == [words.NO_RESULT]


def test_a_dilution_is_not_read_off_other_dilutions(dilute):
    assert hold(dilute(10, 40), dilute(20, 50)) is None


@pytest.mark.parametrize("method", ["two-out-of-five", "paired-comparison", "a-not-a"])
def test_methods_without_a_distance_are_held_against_nothing(dilute, panel, method):
    sized = {"size_d_prime": None, "size_share": "0.5", "attribute": "bitter"}
    test = panel(40, method=method, rounds=2, assessors=30, **sized)
    assert hold(test, dilute(10, 40)) is None


def test_a_control_of_known_dilution_with_enough_answers_is_a_mark(make_story):
    known = {"label": "12 % water", "size_d_prime": repr(TRIANGLE.d_prime(14 / 15))}
    marks = []
    for rounds in (1, 3):
        control = known | {"rounds": rounds, "dilution_percent": "12"}
        story = make_story(positive_control=control, assessors=2, spare_seats=0).brew().taste(4)
        story.taste(2 * rounds, purpose=Purpose.POSITIVE).close().unseal()
        marks += find_dilutions(story.analyse())
    assert [one.fault for one in marks] == [words.SMALL_CONTROL, ""]
    assert [(one.percent, one.correct, one.trials) for one in marks] == [(12, 2, 2), (12, 6, 6)]


def test_every_mark_is_named_with_its_seal(dilute, panel):
    water = dilute(10, 40)
    (line,) = list_marks(hold(panel(40), water).dilutions)
    assert line == f"10% added water: 40 of 60 right (Triangle test), seal {water.seal}"


def test_readings_speak_of_how_readily_and_never_of_what(dilute, panel):
    said = " ".join(tell_reading(hold(panel(40), dilute(10, 40))))
    assert "never what it tastes of" in said
    assert "names are on no record" in said
    written = " ".join(value for name, value in vars(words).items() if name.isupper())
    assert not FORBIDDEN.search(written)
    assert not FORBIDDEN.search(labels.INTERVAL_ONLY)


def test_the_picture_shows_every_mark_and_says_it_in_words(dilute):
    found = [*find_dilutions(dilute(5, 28).analyse()), *find_dilutions(dilute(10, 60).analyse())]
    marks = pool(found)
    assert b"<svg" in draw_ruler(marks, 0.95)
    said = describe_ruler(marks, 0.95)
    assert "5%: d′ " in said
    assert "10%: d′ not estimable" in said
