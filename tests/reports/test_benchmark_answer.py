"""What is said of a recipe against the house reference: no rank, no grade, no guess."""

import re
from dataclasses import replace
from itertools import product

import pytest

from server.brewing.extraction import Form
from server.reports import benchmark_words as words
from server.reports.benchmark import Point, RecipeNumbers, sum_up
from server.reports.benchmark_answer import answer, show_mean, show_yields
from server.reports.benchmark_tastings import MeanRow, Outcome, Said
from server.stats.results import Interval

LABELS = "Cone", "Flat bed"
LIKED = Said("“Cone” was preferred in 17 of 18 servings.", Outcome.APART, LABELS, liking=True)


def make_numbers(*strengths, form=Form.BEVERAGE, yields=(20.1, 20.4), instrument=""):
    points = [Point(one, 0.006, 0.017) for one in strengths]
    extracted = sum_up([Point(one, 0.1, 0.2) for one in yields])
    return RecipeNumbers(
        len(points),
        sum_up(points),
        {form: extracted} if extracted else {},
        instruments=frozenset({instrument} - {""}),
    )


HOUSE = make_numbers(1.30, 1.31, 1.29)


def make_said(*outcomes):
    return [Said("A headline.", one, LABELS) for one in outcomes]


def tell(mine=HOUSE, house=HOUSE, said=()):
    return "\n".join(answer(mine, house, said))


def test_a_recipe_that_reads_stronger_is_called_so_with_limits():
    told = tell(make_numbers(1.42, 1.40, 1.41))
    assert re.search(r"It is stronger by 0\.11 %TDS on average \(95% limits 0\.\d\d to", told)


def test_a_weaker_one_is_called_weaker_and_its_limits_have_no_sign():
    told = tell(HOUSE, make_numbers(1.42, 1.40, 1.41))
    assert re.search(
        r"It is weaker by 0\.11 %TDS on average \(95% limits 0\.\d\d to 0\.\d\d\)", told
    )


def test_a_difference_that_is_not_shown_has_its_limits():
    told = tell(make_numbers(1.30, 1.36))
    assert "A difference in strength is not shown: +0.03 %TDS on average (95% limits −" in told


def test_one_brew_is_not_compared_and_more_brews_come_next():
    told = tell(make_numbers(1.42))
    assert "Strength is not compared: that takes 2 brews of each" in told
    assert "Next: brew each of them at least 2 times" in told


def test_yields_of_two_forms_are_not_compared():
    assert words.FORMS_DIFFER in tell(make_numbers(1.30, 1.31, form=Form.SOLIDS))


def test_two_instruments_are_said_beside_the_difference():
    told = tell(
        make_numbers(1.30, 1.31, instrument="blue one"),
        make_numbers(1.30, 1.31, instrument="grey one"),
    )
    assert words.INSTRUMENTS in told


@pytest.mark.parametrize("outcome", words.TASTED)
def test_every_outcome_has_a_sentence_of_its_own(outcome):
    assert words.TASTED[outcome] in tell(said=make_said(outcome))


def test_tastings_that_do_not_agree_are_said_not_to():
    told = tell(said=make_said(Outcome.APART, Outcome.NOT_SHOWN, Outcome.NOT_SHOWN))
    assert "told apart in 1 tasting and not shown in 2 tastings" in told
    assert "Next: plan one larger test" in told


@pytest.mark.parametrize(
    ("mine", "said", "step"),
    [
        (make_numbers(1.30, 1.31), (), "taste"),
        (make_numbers(1.50, 1.51), (), "match"),
        (HOUSE, (Outcome.NONE,), "taste"),
        (HOUSE, (Outcome.CLOUDED,), "again"),
        (HOUSE, (Outcome.NOT_SHOWN,), "few"),
        (HOUSE, (Outcome.FEW,), "other"),
        (HOUSE, (Outcome.APART,), "like"),
    ],
)
def test_the_next_step_follows_from_what_is_missing(mine, said, step):
    assert words.STEPS[step] in tell(mine, said=make_said(*said))


def test_a_preference_that_was_asked_is_quoted_and_not_asked_for_again():
    told = tell(said=[LIKED, Said("Told.", Outcome.APART, LABELS)])
    assert LIKED.headline in told
    assert words.UNASKED["liking"] not in told
    assert words.STEPS["other"] in told


def test_a_preference_with_another_cause_possible_is_still_unknown():
    told = tell(said=[replace(LIKED, outcome=Outcome.CLOUDED), *make_said(Outcome.APART)])
    assert words.UNASKED["liking"] in told
    assert words.STEPS["again"] in told


def test_a_preference_alone_does_not_say_that_anybody_noticed():
    assert words.NOT_TASTED in tell(said=[LIKED])


def test_no_answer_ranks_or_grades():
    numbers = (HOUSE, make_numbers(1.5, 1.52), make_numbers(1.5), RecipeNumbers())
    for mine, outcome in product(numbers, Outcome):
        told = tell(mine, said=make_said(outcome)).replace(words.UNASKED["liking"], "").lower()
        for word in ("better", "worse", "best", "worst", "rank", "grade", "quality", "superior"):
            assert word not in told.replace("liked better", "")


def test_a_mean_without_limits_says_so():
    assert show_mean(MeanRow("“Sweet”", -1.25, None, False, "none")) == (
        "“Sweet”", "−1.2", "not estimable", "no",
    )  # fmt: skip
    assert show_mean(MeanRow("“Sweet”", 2.0, Interval(-1, 5), True, "lead"))[1:] == (
        "+2.0", "−1.0 to 5.0", "a lead",
    )  # fmt: skip


def test_a_yield_is_shown_with_its_form():
    assert show_yields(HOUSE.yields)[0][1] == "of 2 brews, from the weighed beverage"
