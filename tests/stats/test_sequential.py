import json
from dataclasses import asdict
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from server.stats.sequential import (
    BETWEEN_LOOKS,
    NEARER_AT_CAP,
    NO_OTHER_LIMITS,
    NOTHING_AT_CAP,
    PLANNED_AHEAD,
    SMALLER_NOT_EXCLUDED,
    TOO_MANY_ANSWERS,
    follow_path,
)
from server.stats.sequential_plan import (
    DIFFERENCE,
    GO_ON,
    NO_DECISION,
    NO_DIFFERENCE,
    SequentialPlan,
    judge_count,
)

FIRST = SequentialPlan(1 / 3, 2 / 3, 0.05, 0.1)
ALTERNATING = [1, 0] * 40

answers = st.lists(st.booleans(), min_size=1, max_size=80)
plans = st.builds(
    SequentialPlan,
    st.just(1 / 3),
    st.floats(0.45, 0.8),
    st.floats(0.01, 0.2),
    st.floats(0.01, 0.2),
    st.integers(1, 8),
)


def uncumulate(counts: str) -> list[int]:
    return [then - now for now, then in pairwise([0, *map(int, counts.split())])]


@pytest.mark.parametrize(
    ("counts", "decision", "decided_at"),
    [
        ("0 0 0 1 1 2 2 3 3 4 4", NO_DIFFERENCE, 11),
        ("1 2 3 4 4 5 6 7 7 8 9 10", DIFFERENCE, 12),
    ],
    ids=["test A", "test C"],
)
def test_a_standards_example_ends_where_it_is_printed(counts, decision, decided_at):
    # ISO 16820, Annex A, Table A.1, example 2, read in a national edition with identical text:
    # duo-trio, warmed-over flavour of patties; A "similar" after 11, C "different" after 12.
    # Its parameters stood on a page not read; alpha = beta = 0.10 and 40 % noticing are the
    # only ones of a grid of usual values that end all its tests where it does (recomputed).
    path = follow_path(SequentialPlan(0.5, 0.7, 0.1, 0.1), uncumulate(counts))
    assert (path.decision, path.decided_at) == (decision, decided_at)


@pytest.mark.parametrize("counts", ["0 0 0 1 1 2 2 3 3 4", "1 2 3 4 4 5 6 7 7 8 9"])
def test_a_standards_example_goes_on_one_answer_earlier(counts):
    path = follow_path(SequentialPlan(0.5, 0.7, 0.1, 0.1), uncumulate(counts))
    assert (path.decision, path.decided_at) == (GO_ON, None)


def test_the_path_shows_both_limits_after_every_answer():
    # Chance 1/3, planned 2/3, alpha 0.05, beta 0.1; the counts that stop computed independently.
    steps = follow_path(FIRST, [1, 0, 1, 0, 1, 0]).path
    assert [(step.low, step.high) for step in steps[2:]] == [
        (None, None),
        (0, None),
        (0, 5),
        (1, 6),
    ]
    assert [(step.trials, step.correct) for step in steps] == [
        (1, 1),
        (2, 1),
        (3, 2),
        (4, 2),
        (5, 3),
        (6, 3),
    ]


def test_five_right_answers_end_at_once():
    path = follow_path(FIRST, [1] * 9)
    assert (path.decision, path.decided_at, path.left_out) == (DIFFERENCE, 5, 4)
    assert TOO_MANY_ANSWERS in path.notes


def test_four_wrong_answers_end_at_once():
    path = follow_path(FIRST, [0] * 4)
    assert (path.decision, path.decided_at) == (NO_DIFFERENCE, 4)
    assert SMALLER_NOT_EXCLUDED in path.notes


def test_one_answer_decides_nothing():
    path = follow_path(FIRST, [1])
    assert (path.decision, path.notes) == (GO_ON, (PLANNED_AHEAD, NO_OTHER_LIMITS))


def test_an_incomplete_round_is_not_judged():
    plan = SequentialPlan(1 / 3, 2 / 3, 0.05, 0.1, block=4)
    path = follow_path(plan, [1] * 7)
    assert (path.decision, [step.judged for step in path.path]) == (
        GO_ON,
        [False, False, False, True, False, False, False],
    )
    assert BETWEEN_LOOKS in path.notes


def test_a_line_crossed_within_a_round_counts_only_if_it_is_still_crossed_after_it():
    # 5 of 5 is on the upper line, 5 of 7 is between the lines.
    plan = SequentialPlan(1 / 3, 2 / 3, 0.05, 0.1, block=7)
    assert follow_path(plan, [1, 1, 1, 1, 1, 0, 0]).decision == GO_ON


def test_rounds_that_lost_an_answer_are_judged_where_they_ended():
    path = follow_path(SequentialPlan(1 / 3, 2 / 3, block=4), [1] * 11, looks=[4, 7, 11])
    assert path.decided_at == 7


def test_the_cap_without_a_rule_decides_nothing():
    path = follow_path(SequentialPlan(1 / 3, 2 / 3, cap=20), ALTERNATING)
    assert (path.decision, path.decided_at, path.left_out) == (NO_DECISION, 20, 60)
    assert NOTHING_AT_CAP in path.notes


@pytest.mark.parametrize(
    ("correct", "decision"),
    [([1, *ALTERNATING][:21], DIFFERENCE), ([0, *ALTERNATING][:21], NO_DIFFERENCE)],
)
def test_at_the_cap_the_nearer_line_may_decide(correct, decision):
    plan = SequentialPlan(1 / 3, 2 / 3, cap=21, at_cap="nearer line")
    path = follow_path(plan, correct)
    assert (path.decision, path.decided_at) == (decision, 21)
    assert NEARER_AT_CAP in path.notes


def test_a_line_met_at_the_cap_is_no_matter_of_the_cap():
    plan = SequentialPlan(1 / 3, 2 / 3, 0.05, 0.1, cap=5, at_cap="nearer line")
    path = follow_path(plan, [1] * 5)
    assert (path.decision, path.notes) == (DIFFERENCE, (PLANNED_AHEAD, NO_OTHER_LIMITS))


def test_a_cap_between_rounds_is_reached_with_the_next_complete_one():
    plan = SequentialPlan(1 / 3, 2 / 3, block=4, cap=8)
    path = follow_path(plan, ALTERNATING[:12], looks=[4, 7, 11])
    assert (path.decision, path.decided_at) == (NO_DECISION, 11)


@given(plans, answers)
def test_the_end_is_the_first_complete_round_beyond_a_line(plan, correct):
    rounds = range(plan.block, len(correct) + 1, plan.block)
    ends = [n for n in rounds if judge_count(plan, sum(correct[:n]), n) != GO_ON]
    path = follow_path(plan, correct)
    assert path.decided_at == (ends[0] if ends else None)
    assert path.trials + path.left_out == len(correct)


@given(plans, answers, answers)
def test_later_answers_change_no_decision(plan, correct, later):
    before, after = follow_path(plan, correct), follow_path(plan, correct + later)
    assert before.decision == GO_ON or before.decision == after.decision
    assert after.path[: len(before.path)] == before.path


@given(st.floats(0.01, 0.2), st.floats(0.01, 0.2), answers)
def test_swapping_right_and_wrong_swaps_the_decision(alpha, beta, correct):
    # Chance 1/3 and planned 2/3 mirror each other, and so do their risks.
    one = follow_path(SequentialPlan(1 / 3, 2 / 3, alpha, beta), correct)
    other = follow_path(SequentialPlan(1 / 3, 2 / 3, beta, alpha), [not x for x in correct])
    swapped = {DIFFERENCE: NO_DIFFERENCE, NO_DIFFERENCE: DIFFERENCE, GO_ON: GO_ON}
    assert (swapped[one.decision], one.decided_at) == (other.decision, other.decided_at)


def test_the_result_becomes_strict_json():
    found = json.loads(json.dumps(asdict(follow_path(FIRST, [1] * 3)), allow_nan=False))
    assert list(found) == [
        "plan",
        "lines",
        "decision",
        "decided_at",
        "trials",
        "correct",
        "left_out",
        "path",
        "notes",
    ]


@pytest.mark.parametrize(
    ("correct", "looks", "message"),
    [
        ([], None, "correct must hold 1 to 1,000,000 answers, not 0"),
        ([1, 2], None, r"correct must be 1 or 0, not 2 \(answer 2\)"),
        ([1, 1], [0], "looks must rise and be from 1 to 2 answers, not 0"),
        ([1, 1], [2, 2], "looks must rise and be from 1 to 2 answers, not 2"),
        ([1, 1], [3], "looks must rise and be from 1 to 2 answers, not 3"),
    ],
)
def test_impossible_answers_are_refused_by_name_and_value(correct, looks, message):
    with pytest.raises(ValueError, match=message):
        follow_path(FIRST, correct, looks)
