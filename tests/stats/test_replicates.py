import dataclasses
import functools
import json

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from server.methods.registry import COUNTED
from server.stats.binomial import p_value
from server.stats.forced_choice import TRIANGLE, TWO_AFC
from server.stats.replicates import (
    FIRM_CHOICES,
    NO_CRITICAL,
    ONE_ANSWER_EACH,
    ONE_ASSESSOR,
    THIS_PANEL,
    TWO_SIDED,
    UNEQUAL,
    analyse_replicates,
)

THIRD = 1 / 3
# Synthetic: 16 assessors with 5 answers each, 20 with 4, 12 with 6.
FIVES = [0, 1, 1, 1, 1, 2, 2, 2, 2, 2, 3, 3, 4, 5, 5, 5]
FOURS = [0, 1, 1, 1, 1, 2, 2, 2, 2, 2, 2, 2, 3, 3, 3, 3, 4, 4, 4, 4]
ALIKE = [1, 2, 2, 2, 2, 2, 3, 2, 1, 3, 2, 2]


@functools.cache
def analyse_once(answers, each):
    return analyse_replicates(TRIANGLE, answers, [each] * len(answers))


@pytest.mark.parametrize(
    ("answers", "each", "total", "expected"),
    [
        # The exact binomial test of the totals, recomputed independently.
        (FIVES, 5, (39, 80), 0.00306642),
        (FOURS, 4, (46, 80), 7.90769e-06),
        (ALIKE, 6, (24, 72), 0.54421553),
    ],
)
def test_pooled_p_values_equal_computed_ones(answers, each, total, expected):
    pooled = analyse_once(tuple(answers), each).pooled
    assert (pooled.correct, pooled.trials) == total
    assert pooled.p_value == pytest.approx(expected, rel=2e-6)


@pytest.mark.parametrize(("last", "detected"), [(6, False), (7, True)])
def test_the_pooled_difference_test_needs_32_of_72(last, detected):
    # AS 2542.2.4 clause 6.2 (read) and Kunert & Meyners (1999): pooled replicates serve the
    # difference test. Critical number and exact level, 0.0323502935, recomputed.
    pooled = analyse_replicates(TRIANGLE, [3, 2] * 5 + [1, last - 1], [6] * 12).pooled
    assert (pooled.critical, pooled.detected) == (32, detected)
    assert p_value(32, 72, THIRD) == pytest.approx(0.0323502935, abs=5e-11)


def test_the_parts_are_those_of_their_own_modules():
    # Fits of the same counts computed independently: see the tests of the models.
    result = analyse_once(tuple(FIVES), 5)
    assert result.beta_binomial.gamma == pytest.approx(0.227460, abs=1e-6)
    assert result.corrected.gamma == pytest.approx(0.869954, abs=1e-6)
    assert result.dispersion.tarone_z == pytest.approx(2.83991915, abs=5e-9)
    assert result.mean_against_chance.df == 15
    assert result.all_guessing.p_value < 0.001
    assert result.corrected.mean < result.share_upper < 1


def test_the_upper_limit_goes_with_the_number_of_people_not_of_answers():
    few = analyse_replicates(TRIANGLE, [4, 16, 9, 11], [20] * 4).share_upper
    many = analyse_replicates(TRIANGLE, [1, 2, 1, 3, 2, 3, 2, 2] * 2 + [2] * 4, [4] * 20)
    assert many.pooled.trials == 80
    assert many.share_upper < few


def test_two_sided_there_is_no_correction_for_guessing():
    result = analyse_replicates(TWO_AFC, [4, 3, 4, 1, 4], [4] * 5, sided="two")
    assert (result.corrected, result.all_guessing, result.share_upper) == (None, None, None)
    assert result.notes == (FIRM_CHOICES, TWO_SIDED)


def test_two_sided_few_choices_count_as_well_as_many():
    many, few = (
        analyse_replicates(TWO_AFC, answers, [6] * 4, sided="two").pooled
        for answers in ([6, 5, 6, 4], [0, 1, 0, 2])
    )
    assert many.p_value == few.p_value == pytest.approx(stats.binomtest(21, 24).pvalue)
    assert (many.critical, many.detected, few.detected) == (18, True, True)


def test_one_answer_each_is_an_analysis_of_counts():
    result = analyse_replicates(TRIANGLE, [1] * 14 + [0] * 10, [1] * 24)
    assert (result.corrected.gamma, result.dispersion.tarone_z) == (None, None)
    assert result.notes == (ONE_ANSWER_EACH,)


def test_one_assessor_is_tested_but_carries_no_limit_for_people():
    result = analyse_replicates(TRIANGLE, [14], [24])
    assert (result.pooled.detected, result.share_upper) == (True, None)
    assert result.mean_against_chance.p_value is None
    assert result.notes == (THIS_PANEL, ONE_ASSESSOR)


def test_unequal_numbers_of_answers_are_said():
    assert UNEQUAL in analyse_replicates(TRIANGLE, [1, 2, 3], [3, 4, 4]).notes


def test_too_few_answers_have_no_critical_number():
    result = analyse_replicates(TRIANGLE, [1, 1], [1, 1])
    assert (result.pooled.critical, result.pooled.detected) == (None, False)
    assert NO_CRITICAL in result.notes


@pytest.mark.parametrize("name", COUNTED)
def test_every_method_can_be_replicated(name):
    method = COUNTED[name]
    result = analyse_replicates(method.model, [3, 2, 4, 1], [4] * 4, sided=method.sided)
    assert result.chance == method.model.chance


panels = st.lists(
    st.integers(1, 4).flatmap(lambda n: st.tuples(st.integers(0, n), st.just(n))),
    min_size=1,
    max_size=5,
)


@given(panels)
@settings(max_examples=5)
def test_every_result_is_strict_json(panel):
    correct, trials = zip(*panel, strict=True)
    result = analyse_replicates(TRIANGLE, correct, trials)
    text = json.dumps(dataclasses.asdict(result), allow_nan=False)
    assert json.loads(text)["correct"] == list(correct)


def test_the_same_seed_gives_the_same_result():
    twice = [analyse_replicates(TRIANGLE, [1, 2, 3], [4, 4, 4], seed=9) for _ in range(2)]
    assert twice[0] == twice[1]


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: analyse_replicates(TRIANGLE, [], []), "correct .* not none"),
        (lambda: analyse_replicates(TRIANGLE, [5], [4]), r"correct .* not 5"),
        (lambda: analyse_replicates(TRIANGLE, [1], [4], alpha=0.0), r"alpha .* not 0.0"),
        (lambda: analyse_replicates(TRIANGLE, [1], [4], level=0.5), r"level .* not 0.5"),
        (lambda: analyse_replicates(TRIANGLE, [1], [4], seed=-1), r"seed .* not -1"),
        (lambda: analyse_replicates(TRIANGLE, [1], [4], sided="two"), r"chance must be 0.5"),
    ],
)
def test_impossible_arguments_are_refused_by_name_and_value(call, message):
    with pytest.raises(ValueError, match=message):
        call()
