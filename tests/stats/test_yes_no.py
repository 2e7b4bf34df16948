import dataclasses
import json
import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from server.stats.a_not_a import analyse_a_not_a
from server.stats.fixed_margins import Layout, permutation_p
from server.stats.same_different import analyse_same_different
from server.stats.two_rates import compare_rates
from server.stats.yes_no import (
    ANSWERS_REPEATED,
    ASSESSORS_UNKNOWN,
    EVERYBODY_ANSWERED_TWICE,
    FISHER,
    MCNEMAR,
    NOBODY_SERVED_BOTH,
    WITHIN,
    Answer,
    analyse_yes_no,
)

tables = st.lists(st.integers(0, 30), min_size=4, max_size=4).filter(
    lambda cells: sum(cells[:2]) and sum(cells[2:])
)
BOTH_KINDS = [(True, True), (True, False), (False, True), (False, False)]


def build_answers(*cells: int) -> list[Answer]:
    return [Answer(*kind, count=n) for kind, n in zip(BOTH_KINDS, cells, strict=True)]


def build_pairs(plus: int, minus: int, both: int, neither: int) -> list[Answer]:
    """Everybody answers once to the first kind and once to the second."""
    said = [(True, False)] * plus + [(False, True)] * minus
    said += [(True, True)] * both + [(False, False)] * neither
    return [
        Answer(first, yes, f"assessor {place}")
        for place, (to_first, to_second) in enumerate(said)
        for first, yes in ((True, to_first), (False, to_second))
    ]


def test_a_students_sheet_of_40_panellists_is_a_paired_test_of_14_and_12_changes():
    # Student's laboratory sheet: 18 of 40 and 16 of 40, discordant 14 and 12. Printed: Pearson
    # 0.2046, McNemar with correction 0.0385; exact one-sided p is half of all but the middle.
    found = analyse_yes_no("same-different", build_pairs(14, 12, 4, 10))
    assert (found.rates.first_yes, found.rates.second_yes) == (18, 16)
    assert found.rates.pearson.statistic == pytest.approx(0.2046, abs=5e-5)
    assert found.paired.corrected.statistic == pytest.approx(0.0385, abs=5e-5)
    assert (found.used, found.p_value) == (
        MCNEMAR,
        pytest.approx((1 - math.comb(26, 13) / 2**26) / 2),
    )


@pytest.mark.parametrize(
    ("right", "ways"),
    # Fisher's tea tasting (1935, from memory): 1/70 and 17/70 as printed in an article of 2009.
    [(4, 1), (3, 17)],
)
def test_one_assessor_with_eight_cups_is_tested_within_herself(right, ways):
    wrong = 4 - right
    cells = zip(BOTH_KINDS, (right, wrong, wrong, right), strict=True)
    found = analyse_yes_no("a-not-a", [Answer(*kind, "lady", n) for kind, n in cells])
    assert (found.used, found.p_value) == (WITHIN, pytest.approx(ways / 70))
    assert found.notes[-1] == ANSWERS_REPEATED


@given(tables)
def test_without_assessors_the_table_is_tested_as_fisher_does(cells):
    found = analyse_yes_no("a-not-a", build_answers(*cells))
    counts = cells[0], cells[0] + cells[1], cells[2], cells[2] + cells[3]
    assert found.rates == compare_rates(*counts)
    assert (found.used, found.p_value) == (FISHER, found.rates.exact_one_sided)
    assert (found.paired, found.within, found.notes[-1]) == (None, None, ASSESSORS_UNKNOWN)


def test_the_distance_is_that_of_the_design():
    answers = build_answers(60, 40, 40, 60)
    assert analyse_yes_no("a-not-a", answers).distance == analyse_a_not_a(60, 100, 40, 100)
    expected = analyse_same_different(60, 100, 40, 100)
    assert analyse_yes_no("same-different", answers).distance == expected


def test_answers_one_by_one_are_answers_counted():
    counted = build_answers(3, 2, 1, 4)
    single = [
        dataclasses.replace(answer, count=1) for answer in counted for _ in range(answer.count)
    ]
    assert analyse_yes_no("a-not-a", single) == analyse_yes_no("a-not-a", counted)


def test_one_of_each_for_everybody_comes_with_its_reason():
    found = analyse_yes_no("a-not-a", build_pairs(6, 2, 1, 1))
    assert found.notes[-1] == EVERYBODY_ANSWERED_TWICE
    assert found.within == pytest.approx(found.paired.exact_one_sided)


def test_assessors_with_several_answers_are_tested_within_themselves():
    ann = [Answer(True, True, "ann", 3), Answer(False, True, "ann", 1), Answer(False, False, "ann")]
    bo = [Answer(True, True, "bo"), Answer(True, False, "bo", 2), Answer(False, False, "bo", 2)]
    found = analyse_yes_no("same-different", ann + bo)
    assert found.p_value == permutation_p([Layout(3, 2, 4, 3), Layout(3, 2, 1, 1)])
    assert (found.used, found.paired) == (WITHIN, None)


def test_assessors_who_were_served_one_kind_only_are_tested_as_fisher_does():
    answers = [
        Answer(True, True, "ann", 5),
        Answer(False, True, "bo"),
        Answer(False, False, "bo", 4),
    ]
    found = analyse_yes_no("a-not-a", answers)
    assert (found.used, found.within, found.notes[-1]) == (FISHER, None, NOBODY_SERVED_BOTH)


@given(tables, st.sampled_from(["a-not-a", "same-different"]))
def test_the_result_is_strict_json(cells, design):
    found = analyse_yes_no(design, build_answers(*cells))
    assert json.loads(json.dumps(dataclasses.asdict(found), allow_nan=False))["design"] == design


def test_assessors_of_different_habits_who_perceive_nothing_are_seldom_found_to_perceive():
    # Twenty assessors, six servings of either kind each, readiness to say yes from 5 to 95 %.
    rng = np.random.default_rng(70)
    habits = np.linspace(0.05, 0.95, 20)
    drawn = rng.binomial(6, habits, (400, 2, 20)).tolist()
    values = [
        permutation_p([Layout(6, 6, x + y, x) for x, y in zip(first, second, strict=True)])
        for first, second in drawn
    ]
    assert np.mean(np.array(values) <= 0.05) < 0.075


@pytest.mark.parametrize(
    ("design", "answers", "message"),
    [
        ("a-or-b", build_answers(1, 1, 1, 1), "design must be one of a-not-a, .* not 'a-or-b'"),
        ("a-not-a", build_answers(1, 1, 0, 0), "both kinds served, not none to the second"),
        ("a-not-a", build_answers(0, 0, 1, 1), "both kinds served, not none to the first"),
        ("a-not-a", build_answers(-1, 3, 1, 1), "counts of 0 or more, not -1"),
        ("a-not-a", [*build_answers(1, 1, 1, 1), Answer(True, True, "ann")], "only some of them"),
        ("a-not-a", [], "none to the first"),
    ],
)
def test_impossible_answers_are_refused(design, answers, message):
    with pytest.raises(ValueError, match=message):
        analyse_yes_no(design, answers)
