import pytest

from server.reports.table_figures.profile import build_profile, describe, judge, tabulate
from server.reports.table_figures.profile_drawing import draw
from server.reports.table_figures.shown import Names, show_limits, show_value
from server.reports.table_figures.themes import THEMES
from server.sheets.analysis import analyse_scores
from server.sheets.scores import Score
from tests.panels import read_fish
from tests.reports.table_figures.conftest import ATTRIBUTES
from tests.reports.table_figures.reading import list_marks, list_words, read_axis

LIGHT = THEMES["light"]
TEA = {"ann": {"X": (3,), "Y": (5,)}, "bo": {"X": (4,), "Y": (7,)}, "cy": {"X": (2,), "Y": (3,)}}


@pytest.fixture
def fish():
    """Six batches of fish scored three times by four assessors: ISO 8586."""
    ratings = read_fish()
    rows = zip(ratings.assessor, ratings.sample, ratings.value, strict=True)
    return [
        Score(ratings.assessors[who], ratings.samples[what], "flavour", float(value))
        for who, what, value in rows
    ]


def test_the_table_holds_the_numbers_of_the_analysis(make_table):
    analysis, scores = make_table()
    rows = iter(tabulate(build_profile(analysis, scores)).rows)
    for name, one in analysis.attributes.items():
        for sample, mean in one.samples.means.items():
            limits = show_limits(one.samples.intervals[sample])
            assert next(rows)[:5:2] == (name, sample, limits)
            assert mean is not None


def test_means_of_a_published_panel_stand_in_the_table(fish):
    # ISO 8586, table C.1: the mean of a batch is that of its twelve scores.
    rows = tabulate(build_profile(analyse_scores(fish), fish)).rows
    batches = sorted({one.sample for one in fish})
    means = [[one.value for one in fish if one.sample == name] for name in batches]
    assert [row[3] for row in rows] == [show_value(sum(of) / 12) for of in means]


def test_dots_stand_at_the_means(make_table):
    analysis, scores = make_table(attributes=1)
    svg = draw(build_profile(analysis, scores, Names(ends={"bitterness": (0, 100)})), "light")
    value_at = read_axis(svg, "0", "100")
    drawn = sorted(value_at(x) for x, _ in list_marks(svg, LIGHT.ink))
    means = sorted(analysis.attributes["bitterness"].samples.means.values())
    assert drawn == pytest.approx(means, abs=0.06)


def test_crosses_stand_at_the_scores_of_those_against_the_rest(make_table):
    analysis, scores = make_table(attributes=1)
    assert analysis.attributes["bitterness"].against == ("Di with a rather long name indeed",)
    svg = draw(build_profile(analysis, scores, Names(ends={"bitterness": (0, 100)})), "light")
    value_at = read_axis(svg, "0", "100")
    drawn = sorted(round(value_at(x)) for x, _ in list_marks(svg, LIGHT.alarm))
    assert drawn == sorted(one.value for one in scores if one.assessor.startswith("Di"))


def test_every_score_has_a_stroke(make_table):
    analysis, scores = make_table(attributes=1, down=())
    paths = draw(build_profile(analysis, scores), "light").decode().split("<path")[1:]
    drawn = [one.split(">")[0] for one in paths]
    strokes = sum(one.count("V") for one in drawn if LIGHT.soft in one)
    assert strokes == len(scores)


def test_the_words_name_findings_and_leads_apart(make_table):
    analysis, scores = make_table(primary=ATTRIBUTES[0])
    said = describe(build_profile(analysis, scores))
    assert said.startswith("Means of 6 samples in 6 attributes, each with its 95% limits")
    assert "Samples differ in bitterness" in said


def test_without_a_declared_primary_nothing_is_called_a_finding(make_table):
    analysis, scores = make_table()
    data = build_profile(analysis, scores)
    assert "Leads, not findings: " in describe(data)
    assert {panel.standing for panel in data.panels} <= {"lead", "none"}


def test_no_difference_found_is_not_called_none(tell):
    analysis, scores = tell(TEA)
    said = describe(build_profile(analysis, scores))
    assert said.endswith("No attribute tells the samples apart beyond chance by its own test.")


def test_one_assessor_leaves_means_without_limits_and_a_test_in_words(tell):
    analysis, scores = tell({"ann": {"X": (3, 4), "Y": (5, 7)}})
    data = build_profile(analysis, scores)
    assert judge(analysis, "body") == "untested"
    assert describe(data).endswith("Not testable: body.")
    assert "not estimable" in [one.words for one in list_words(draw(data, "light"))]


def test_a_hollow_dot_is_explained(tell):
    analysis, scores = tell({"ann": {"X": (3, 4), "Y": (5, 7)}})
    svg = draw(build_profile(analysis, scores), "light")
    assert len(list_marks(svg, LIGHT.paper)) == 2
    assert "hollow dot: the mean has no limits" in [one.words for one in list_words(svg)]


def test_all_ties_are_drawn_and_said_not_to_be_testable(tell):
    analysis, scores = tell({who: {"X": (4,), "Y": (4,), "Z": (4,)} for who in ("ann", "bo", "cy")})
    data = build_profile(analysis, scores)
    assert data.panels[0].standing == "untested"
    assert data.panels[0].ends == (3.5, 4.5)
    assert draw(data, "print")


def test_a_sample_nobody_scored_says_so():
    scores = [Score(who, "X", "body", value) for who, value in (("ann", 3), ("bo", 5))]
    scores += [Score(who, "Y", "body", None) for who in ("ann", "bo")]
    scores += [Score("ann", "Y", "sweet", 2)]
    data = build_profile(analyse_scores(scores), scores, attributes=["body"])
    assert data.panels[0].rows[1].mean is None
    assert "no score" in [one.words for one in list_words(draw(data, "light"))]


def test_names_replace_what_the_sheet_calls_things(tell):
    analysis, scores = tell(TEA)
    names = Names({"body": "Body"}, {"X": "Batch 9"}, {"ann": "Ann"})
    [first, _] = tabulate(build_profile(analysis, scores, names)).rows
    assert (first[0], first[2], first[6]) == ("Body", "Batch 9", "Ann 3, bo 4, cy 2")
