import dataclasses
import json
from collections.abc import Callable

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from scipy import stats

from server.stats.binomial import clopper_pearson
from server.stats.similarity import (
    FEWER_THAN_ADVISED,
    FEWER_THAN_GUESSING,
    PLANNED_AHEAD,
    TOO_FEW_ANSWERS,
    judge_similarity,
    largest_passing,
    most_correct,
    most_correct_normal,
    similarity_power,
)

THIRD = 1 / 3
CHANCES = (1 / 2, 1 / 3, 1 / 6, 1 / 10)
LIMITS = (10, 20, 30, 40, 50)

counts = st.integers(1, 300).flatmap(lambda n: st.tuples(st.integers(0, n), st.just(n)))
chances = st.sampled_from(CHANCES)
risks = st.floats(0.001, 0.3)
shares = st.floats(0.05, 0.9)


def find_row(find: Callable[..., int | None], row: dict[str, str]) -> list[int | None]:
    return [find(int(row["n"]), THIRD, limit / 100, float(row["beta"])) for limit in LIMITS]


def test_the_largest_number_equals_the_triangle_table(triangle_similarity_row):
    # ISO 4120, Table A.2, from memory and recomputed: see the file's head.
    exact = [int(triangle_similarity_row[f"exact_{limit}"]) for limit in LIMITS]
    assert find_row(largest_passing, triangle_similarity_row) == exact


def test_no_number_is_given_where_the_standard_prints_none(triangle_similarity_row):
    # ISO 4120, clause 8.2 (read in a national edition): no conclusion below a third.
    exact = [int(triangle_similarity_row[f"exact_{limit}"]) for limit in LIMITS]
    expected = [x if 3 * x >= int(triangle_similarity_row["n"]) else None for x in exact]
    assert find_row(most_correct, triangle_similarity_row) == expected


def test_the_normal_formula_equals_computed_numbers(triangle_similarity_row):
    # The formula in the footnote of ISO 4120, Table A.2: see the file's head.
    normal = [int(triangle_similarity_row[f"normal_{limit}"]) for limit in LIMITS]
    assert find_row(most_correct_normal, triangle_similarity_row) == normal


@pytest.mark.parametrize(
    ("beta", "printed"),
    [
        (0.01, (55, 62, 68, 75, 82)),
        (0.05, (59, 66, 72, 79, 85)),
        (0.1, (61, 68, 74, 81, 87)),
        (0.2, (64, 70, 76, 83, 89)),
    ],
)
def test_numbers_at_chance_one_half_equal_the_printed_ones(beta, printed):
    # ISO 5495:2005, Table A.3, n = 126 (read in a national edition with identical text),
    # recomputed; the cells below half of the answers are blank in print.
    found = [largest_passing(126, 0.5, limit / 100, beta) for limit in LIMITS]
    given_ones = [most_correct(126, 0.5, limit / 100, beta) for limit in LIMITS]
    assert found == list(printed)
    assert given_ones == [x if x >= 63 else None for x in printed]


def test_the_normal_formula_lets_pass_what_the_exact_risk_does_not():
    # Triangle, n = 36, limit 20 %, beta 0.05: the formula allows 12, exactly it is 11
    # (both computed independently); with 12 the risk of passing is above 0.05.
    allowed = most_correct_normal(36, THIRD, 0.2, 0.05)
    assert (allowed, largest_passing(36, THIRD, 0.2, 0.05)) == (12, 11)
    assert stats.binom.cdf(allowed, 36, THIRD + 0.2 * 2 / 3) > 0.05


@pytest.mark.parametrize(
    ("correct", "similar", "upper"), [(25, True, 0.29652243), (26, False, 0.32134138)]
)
def test_25_of_60_pass_at_30_percent_and_26_do_not(correct, similar, upper):
    # Triangle, beta 0.05; limits computed independently from Clopper & Pearson's definition.
    found = judge_similarity(correct, 60, THIRD, 0.3)
    assert (found.most_correct, found.similar) == (25, similar)
    assert found.upper == pytest.approx(upper, abs=5e-9)


@given(counts, chances, shares, risks)
def test_the_upper_limit_decides_as_the_number_does(count, chance, limit, beta):
    found = judge_similarity(*count, chance, limit, beta)
    assume(found.similar is not None)
    assert found.similar == (found.upper <= limit + 1e-12)


@given(counts, chances, shares, risks)
def test_every_number_passing_has_its_upper_limit_below_the_limit(count, chance, limit, beta):
    # Also far below guessing, where the standards give no number.
    correct, trials = count
    largest = largest_passing(trials, chance, limit, beta)
    upper = clopper_pearson(correct, trials, 1 - beta, sided="upper").high
    passes = largest is not None and correct <= largest
    assert passes == (upper <= chance + (1 - chance) * limit + 1e-12)


@given(st.integers(1, 300), chances, shares, risks)
def test_the_largest_number_is_the_last_within_the_risk(trials, chance, limit, beta):
    # scipy.stats.binom
    below = stats.binom.cdf(range(trials + 1), trials, chance + (1 - chance) * limit)
    within = np.flatnonzero(below <= beta)
    found = largest_passing(trials, chance, limit, beta)
    assert found == (int(within[-1]) if within.size else None)


@given(st.integers(1, 300), chances, shares, shares, risks)
def test_a_wider_limit_lets_more_correct_answers_pass(trials, chance, one, other, beta):
    narrow, wide = (largest_passing(trials, chance, x, beta) for x in sorted((one, other)))
    assert (-1 if narrow is None else narrow) <= (-1 if wide is None else wide)


def test_the_number_never_falls_with_more_answers():
    found = [largest_passing(trials, THIRD, 0.3, 0.05) for trials in range(5, 300)]
    steps = [x if x is not None else -1 for x in found]
    assert steps == sorted(steps)


def test_a_number_exactly_at_guessing_is_given():
    # 7 of 70 at chance 1/10; 70 x 0.1 is 7.000000000000001 in floating point.
    limit = next(x / 1000 for x in range(1, 999) if largest_passing(70, 0.1, x / 1000, 0.05) == 7)
    assert most_correct(70, 0.1, limit, 0.05) == 7


def test_three_answers_allow_no_conclusion():
    found = judge_similarity(0, 3, THIRD, 0.3)
    assert (found.most_correct, found.similar) == (None, None)
    assert found.notes == (TOO_FEW_ANSWERS, FEWER_THAN_ADVISED, PLANNED_AHEAD)


def test_far_below_guessing_nothing_is_concluded():
    found = judge_similarity(10, 60, THIRD, 0.3)
    assert (found.most_correct, found.similar, found.upper) == (25, None, None)
    assert found.notes == (FEWER_THAN_GUESSING, PLANNED_AHEAD)


def test_everything_correct_does_not_pass():
    found = judge_similarity(60, 60, THIRD, 0.3)
    assert (found.similar, found.upper) == (False, 1)


@given(counts, shares, risks)
def test_two_sided_it_does_not_matter_which_sample_was_counted(count, limit, beta):
    correct, trials = count
    one = judge_similarity(correct, trials, 0.5, limit, beta, "two")
    other = judge_similarity(trials - correct, trials, 0.5, limit, beta, "two")
    assert dataclasses.astuple(one)[2:4] == dataclasses.astuple(other)[2:4]
    assert one.upper == pytest.approx(other.upper, abs=1e-9)


@given(counts, shares, risks)
def test_two_sided_the_folded_upper_limit_decides_as_the_larger_count_does(count, limit, beta):
    found = judge_similarity(*count, 0.5, limit, beta, "two")
    assume(found.similar is not None)
    assert found.similar == (found.upper <= limit + 1e-12)


@pytest.mark.parametrize("chance", CHANCES)
@pytest.mark.parametrize("trials", [10, 60, 301])
@given(limit=shares, beta=risks)
def test_the_attained_risk_stays_within_beta(chance, trials, limit, beta):
    assert similarity_power(trials, chance, limit, beta, limit) <= beta * (1 + 1e-9)


@pytest.mark.parametrize("trials", [10, 60, 301])
@given(limit=shares, beta=risks)
def test_the_attained_risk_of_a_two_sided_test_stays_within_beta(trials, limit, beta):
    assert similarity_power(trials, 0.5, limit, beta, limit, "two") <= beta * (1 + 1e-9)


@pytest.mark.parametrize("true_share", [0, 0.1, 0.25])
@pytest.mark.parametrize("trials", [60, 72, 150, 10_000])
def test_power_is_the_chance_of_few_enough_correct_answers(trials, true_share):
    # scipy.stats.binom
    most = most_correct(trials, THIRD, 0.3, 0.05)
    reference = stats.binom.cdf(most, trials, THIRD + true_share * 2 / 3)
    assert similarity_power(trials, THIRD, 0.3, 0.05, true_share) == pytest.approx(
        reference, abs=1e-12
    )


@pytest.mark.parametrize("true_share", [0, 0.1])
def test_two_sided_power_equals_a_simulation(true_share):
    # 200,000 paired comparisons of 100 answers, limit 30 %, beta 0.05.
    more = np.random.default_rng(5).binomial(100, 0.5 + true_share / 2, 200_000)
    passed = np.mean(np.maximum(more, 100 - more) <= most_correct(100, 0.5, 0.3, 0.05, "two"))
    exact = similarity_power(100, 0.5, 0.3, 0.05, true_share, "two")
    assert exact == pytest.approx(passed, abs=4 * (exact * (1 - exact) / 200_000) ** 0.5)


def test_power_without_a_number_is_nothing():
    assert similarity_power(3, THIRD, 0.3) == 0


@pytest.mark.parametrize("panels", [50_000, pytest.param(200_000, marks=pytest.mark.long)])
def test_pooled_replicates_carry_no_similarity_claim(panels):
    # Why they are refused: 12 assessors judge 6 triangles each; shares differ between them
    # (beta distributed, mean 0.3, intraclass correlation 0.3). The number for 72 single
    # judgements, 30, is passed with a risk of 0.067 instead of 0.031 (computed
    # independently); here simulated.
    rng = np.random.default_rng(3)
    spread = 1 / 0.3 - 1
    noticing = rng.beta(0.3 * spread, 0.7 * spread, (panels, 12))
    correct = rng.binomial(6, THIRD + 2 / 3 * noticing).sum(axis=1)
    assert most_correct(72, THIRD, 0.3, 0.05) == 30
    assert similarity_power(72, THIRD, 0.3, 0.05, 0.3) == pytest.approx(0.0311, abs=5e-5)
    assert np.mean(correct <= 30) == pytest.approx(0.0669, abs=0.003)


def test_the_result_becomes_strict_json():
    found = json.dumps(dataclasses.asdict(judge_similarity(0, 3, THIRD, 0.3)), allow_nan=False)
    assert list(json.loads(found)) == ["limit", "beta", "most_correct", "similar", "upper", "notes"]


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: judge_similarity(61, 60, THIRD, 0.3), "correct .* not 61"),
        (lambda: judge_similarity(1, 60, THIRD, 0.0), "limit .* not 0.0"),
        (lambda: judge_similarity(1, 60, THIRD, 0.3, 1.0), "beta .* not 1.0"),
        (lambda: judge_similarity(1, 60, 0.0, 0.3), "chance .* not 0.0"),
        (lambda: judge_similarity(1, 60, THIRD, 0.3, 0.05, "two"), "chance must be 0.5"),
        (
            lambda: judge_similarity(1, 60, THIRD, 0.3, judgements_per_assessor=2),
            "judgements_per_assessor must be 1, not 2",
        ),
        (lambda: largest_passing(0, THIRD, 0.3, 0.05), "trials .* not 0"),
        (lambda: most_correct_normal(60, THIRD, 1.0, 0.05), "limit .* not 1.0"),
        (lambda: similarity_power(60, THIRD, 0.3, 0.05, -0.1), "share .* not -0.1"),
    ],
)
def test_impossible_arguments_are_refused_by_name_and_value(call, message):
    with pytest.raises(ValueError, match=message):
        call()
