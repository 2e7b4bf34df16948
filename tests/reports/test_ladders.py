"""Steps of a ladder side by side: when there is a trend, and what it may be called."""

from dataclasses import replace

import pytest

from server.blinding.bench_plans import Ladder
from server.reports import ladder_words as words
from server.reports.ladders import StepResult, judge_ladder, read_step
from tests.reports.test_words import FORBIDDEN

STEP = StepResult(
    step="no part",
    at=0,
    correct=0,
    trials=12,
    share="50% (21% to 79%)",
    noticed="0% (0% to 58%)",
    headline="Not detected.",
    rivals=(),
    asked=("2-afc", "foreign smell", "B", "panel"),
    alpha=0.05,
)
RISING = ((0, 6), (1, 8), (2, 10), (4, 12))


def steps(*places, **changed):
    return [
        replace(STEP, step=f"{at} parts", at=at, correct=correct, **changed)
        for at, correct in places
    ]


def judge(places=RISING, kind="dose", **more):
    return judge_ladder(kind, steps(*places), still_open=more.pop("still_open", 0), **more)


def test_a_share_that_rises_with_the_parts_speaks_for_them_and_settles_nothing():
    found = judge()
    assert found.said[:2] == (words.RISES, words.SUPPORTS)
    assert words.MONOTONE[True] in found.said
    assert found.trend.sided == "rising"
    assert words.NO_TRACE in found.said


# Steps 0 and 1 are then a table of two rows: the trend is Fisher's exact test, one-sided.
def test_two_steps_are_tested_as_a_table_of_two_rows():
    from scipy.stats import fisher_exact

    p = fisher_exact([[11, 1], [6, 6]], alternative="greater").pvalue
    assert judge(((0, 6), (1, 11))).trend.p_value == pytest.approx(float(p))


def test_a_fall_is_no_rise_and_a_change_of_state_either_way_is_one():
    falling = tuple((at, 18 - correct) for at, correct in RISING)
    assert judge(falling).said[0] == words.NO_RISE
    found = judge(falling, kind="state")
    assert found.said[0] == words.CHANGES[False]
    assert found.trend.sided == "two"


def test_nothing_is_tested_while_a_step_is_still_open():
    found = judge(still_open=1)
    assert found.trend is None
    assert found.said[0] == words.OPEN


def test_steps_asked_in_different_ways_have_no_trend():
    mixed = [*steps((0, 6)), *steps((1, 8), asked=("triangle", "", "", "panel"))]
    found = judge_ladder("dose", mixed, still_open=0)
    assert (found.said[0], found.trend) == (words.METHODS, None)


def test_a_step_that_is_left_out_does_not_count():
    spoilt = [*steps((0, 6)), *steps((1, 12), left_out=words.EXPLORATORY)]
    assert judge_ladder("dose", spoilt, still_open=0).said[0] == words.FEW


def test_answers_that_are_all_right_can_not_rise():
    assert judge(((0, 12), (1, 12))).said[0] == words.ALL_ALIKE


def test_a_rival_cause_at_a_step_is_named():
    apart = [*steps((0, 6)), *steps((1, 12), rivals=("temperature",))]
    said = judge_ladder("dose", apart, still_open=0).said
    assert "At “1 parts” temperature may be why as well." in said
    assert said[1] == words.LEAD
    assert words.SUPPORTS not in said


def test_a_step_planned_when_results_were_known_makes_it_a_lead():
    said = judge(late=("4 parts",)).said
    assert any(one.startswith("“4 parts” was planned when every result") for one in said)
    assert said[1] == words.LEAD


@pytest.mark.parametrize("kind", ["dose", "state"])
@pytest.mark.parametrize("places", [RISING, ((0, 12), (4, 6)), ((0, 6), (1, 6)), ((0, 6),)])
@pytest.mark.parametrize("still_open", [0, 1])
def test_no_ladder_uses_a_forbidden_word_or_pools_its_steps(kind, places, still_open):
    said = judge(places, kind, still_open=still_open).said
    assert not FORBIDDEN.search(" ".join(said))
    assert not any("{" in one for one in said)
    assert said[-2:] == (words.NOT_COMPARED, words.NOT_POOLED)


def ladder(kind="dose", step="1 part", at=1):
    return Ladder(line="x", kind=kind, title="?", step=step, at=at)


def test_a_step_is_read_from_its_own_analysis(tell_whole):
    story = tell_whole(12)
    found = read_step(ladder(), story.analyse(), story.conclude())
    assert (found.correct, found.trials, found.left_out) == (12, 18, "")
    assert found.share == "66.7% (41% to 86.7%)"  # Clopper and Pearson
    assert found.noticed == "50% (11.5% to 80%)"


def test_what_was_stopped_short_open_or_washed_is_left_out(tell_whole):
    told = tell_whole(12, pourer="taster")
    found = read_step(ladder(), told.analyse(), told.conclude())
    assert found.left_out == words.EXPLORATORY
    washed = tell_whole(12)
    found = read_step(ladder("state", "washed", 0), washed.analyse(), washed.conclude())
    assert found.left_out == words.WASHED
