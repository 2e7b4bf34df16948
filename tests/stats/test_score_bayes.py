import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import integrate, stats

from server.stats.score_bayes import (
    ALL_EQUAL,
    BEYOND_NUMBERS,
    SCALE,
    TOO_FEW,
    PairWeighed,
    weigh_pair,
    weigh_samples,
)

# Student (1908), Biometrika 6, table on p. 20: hours of sleep gained under two drugs.
SLEEP = [1.2, 2.4, 1.3, 1.3, 0.0, 1.0, 1.8, 0.8, 4.6, 1.4]


def with_t(t: float, n: int) -> list[float]:
    """Make n differences of spread 1 whose paired t is ``t``."""
    values = np.arange(n, dtype=float)
    values = (values - values.mean()) / values.std(ddof=1)
    return [float(one) for one in values + t / math.sqrt(n)]


def find_factor(found: PairWeighed) -> float:
    factor = found.weighed[0].bayes_factor
    assert factor is not None
    return factor


# pingouin 0.7.0, bayesfactor_ttest(t, n, paired=True, r=scale), on scipy 1.17.1. The first
# line is the worked example of Rouder et al. (2009), from memory: t = 2.03 of 80 people,
# "1.56 to 1 for the null" (1/0.642).
@pytest.mark.parametrize(
    ("t", "n", "scale", "factor"),
    [
        (2.03, 80, 1.0, 0.6420764880718569),
        (2.03, 80, SCALE, 0.8611851252737236),
        (2.24, 80, 1.0, 0.9762771154643566),
        (3.5, 20, 0.707, 17.184748951561883),
        (0.6, 8, SCALE, 0.39043103129933004),
        (0.0, 10, 1.0, 0.23232629437642782),
        (-2.5, 6, 0.5, 1.933025767943859),
        (12.0, 12, SCALE, 113397.72380174464),
        (1.2, 2, 1.0, 0.7158153734536264),
    ],
)
def test_the_bayes_factor_is_that_of_a_reference_library(
    t: float, n: int, scale: float, factor: float
) -> None:
    found = weigh_pair(with_t(t, n), [scale])
    assert found.t == pytest.approx(t, abs=1e-12)
    assert find_factor(found) == pytest.approx(factor, rel=1e-9)


# pingouin 0.7.0, ttest(x, y, paired=True, r=0.7071): T 4.062128, BF10 17.259.
def test_students_sleepers_are_weighed_as_elsewhere() -> None:
    found = weigh_pair(SLEEP)
    assert found.t == pytest.approx(4.062128, abs=1e-6)
    assert round(find_factor(found), 3) == 17.259


def test_the_posterior_is_that_of_a_grid_over_mean_and_spread() -> None:
    """No g and no Student's t here: prior times likelihood, point by point."""
    mean, log_spread = np.linspace(-4, 7, 2201), np.linspace(-2.5, 4, 1301)
    mu, spread = np.meshgrid(mean, np.exp(log_spread), indexing="ij")
    prior = stats.cauchy.logpdf(mu / spread, scale=SCALE) - np.log(spread)
    # 1 / sigma on sigma is flat on its logarithm
    fit = sum(stats.norm.logpdf(one, mu, spread) for one in SLEEP)
    density = np.exp(prior + fit - np.max(prior + fit)).sum(axis=1)
    density /= density.sum()
    found = weigh_pair(SLEEP)
    assert found.interval is not None
    assert found.mean == pytest.approx(float(density @ mean), abs=2e-3)
    below = np.cumsum(density)
    assert np.interp([0.025, 0.975], below, mean) == pytest.approx(found.interval, abs=5e-3)
    assert found.above == pytest.approx(1 - np.interp(0.0, mean, below), abs=2e-4)


@pytest.mark.parametrize(("t", "n"), [(0.4, 2), (1.7, 5), (-2.2, 9)])
def test_who_has_more_follows_from_the_noncentral_t_distribution(t: float, n: int) -> None:
    """scipy.stats.nct as the likelihood of the standardised difference."""

    def weigh(size: float) -> float:
        fit = float(stats.nct.pdf(t, n - 1, size * math.sqrt(n)))
        return fit * float(stats.cauchy.pdf(size, scale=SCALE))

    above, below = (integrate.quad(weigh, *ends)[0] for ends in ((0, 30), (-30, 0)))
    found = weigh_pair(with_t(t, n))
    assert found.above == pytest.approx(above / (above + below), abs=1e-4)


def test_zero_lies_as_far_in_the_posterior_as_the_bayes_factor_says() -> None:
    """Savage and Dickey: posterior over prior density of no difference is 1 / B.

    The density of mean / spread at 0, by the noncentral t of scipy.stats.
    """
    found = weigh_pair(with_t(1.7, 9))

    def weigh(size: float) -> float:
        return float(stats.nct.pdf(1.7, 8, 3 * size) * stats.cauchy.pdf(size, scale=SCALE))

    posterior = weigh(0.0) / integrate.quad(weigh, -20, 20)[0]
    prior = float(stats.cauchy.pdf(0.0, scale=SCALE))
    assert prior / posterior == pytest.approx(find_factor(found), rel=1e-4)


@settings(deadline=None, max_examples=30)
@given(
    st.lists(st.integers(-40, 40), min_size=2, max_size=12).filter(lambda x: len(set(x)) > 1),
    st.sampled_from([0.01, 1.0, 25.0]),
)
def test_turning_the_pair_round_turns_the_posterior_and_units_change_nothing(
    given_: list[int], unit: float
) -> None:
    one = weigh_pair([float(x) for x in given_])
    other = weigh_pair([-unit * x for x in given_])
    assert find_factor(other) == pytest.approx(find_factor(one), rel=1e-9)
    assert one.interval is not None
    assert other.interval is not None
    assert other.interval.low == pytest.approx(-unit * one.interval.high, rel=1e-6, abs=1e-6 * unit)
    assert (other.above or 0) + (one.above or 0) == pytest.approx(1, abs=1e-9)


def test_a_wider_prior_speaks_more_for_none_where_the_difference_is_small() -> None:
    found = weigh_pair(with_t(0.5, 12), [SCALE / 2, SCALE, 2 * SCALE])
    factors = [one.log_bayes_factor for one in found.weighed]
    assert factors == sorted(factors, reverse=True)
    assert [one.scale for one in found.weighed] == [SCALE / 2, SCALE, 2 * SCALE]


def test_two_assessors_are_enough_and_say_little() -> None:
    found = weigh_pair([2.0, 4.0])
    assert 1 / 3 < find_factor(found) < 3
    assert found.notes == ()


@pytest.mark.parametrize("differences", [[], [3.0]])
def test_fewer_than_two_assessors_are_not_estimable(differences: list[float]) -> None:
    found = weigh_pair(differences)
    assert (found.people, found.weighed, found.interval) == (len(differences), (), None)
    assert found.notes == (TOO_FEW,)


@pytest.mark.parametrize("differences", [[0.0] * 5, [2.0] * 5, [0.1 + 0.2, 0.3, 0.3]])
def test_differences_that_are_all_equal_are_not_estimable(differences: list[float]) -> None:
    found = weigh_pair(differences)
    assert found.difference == pytest.approx(differences[1])
    assert (found.t, found.weighed) == (None, ())
    assert found.notes == (ALL_EQUAL,)


def test_what_no_number_can_hold_is_told_by_its_logarithm() -> None:
    found = weigh_pair(with_t(1e9, 60))
    assert found.weighed[0].bayes_factor is None
    assert found.weighed[0].log_bayes_factor > 700
    assert found.notes == (BEYOND_NUMBERS,)


# ---- several samples ---------------------------------------------------------------------


def test_two_samples_together_are_weighed_as_the_pair() -> None:
    together = weigh_samples([[5.0, 5.0 + x] for x in SLEEP])
    assert together.weighed[0].bayes_factor == pytest.approx(find_factor(weigh_pair(SLEEP)))
    assert together.df == (1.0, 9.0)


PANEL: list[list[float]] = [[3, 5, 4], [4, 7, 4], [2, 3, 3], [5, 9, 6], [4, 4, 6]]


@pytest.mark.parametrize("scale", [0.4, SCALE, 1.3])
def test_samples_are_weighed_as_by_the_noncentral_f_distribution(scale: float) -> None:
    """Averaged over the prior: p standardised contrasts, multivariate Cauchy.

    Their squared length over p scale² has an F distribution of p and 1 degrees of freedom
    (by the definition of the multivariate Cauchy); scipy.stats.ncf is the likelihood of F.
    """
    found = weigh_samples(PANEL, [scale])
    f, n, p, df = found.f or 0.0, len(PANEL), 2, 8

    def weigh(length: float) -> float:  # substituted, so that the tail ends at 1
        ratio = (length / (1 - length)) ** 2
        slope = 2 * length / (1 - length) ** 3
        fit = float(stats.ncf.pdf(f, p, df, n * p * scale**2 * ratio))
        return fit * float(stats.f.pdf(ratio, p, 1)) * slope

    expected = integrate.quad(weigh, 0, 0.97, limit=200)[0] / float(stats.f.pdf(f, p, df))
    assert found.weighed[0].bayes_factor == pytest.approx(expected, rel=1e-5)


def test_f_of_the_samples_is_that_of_the_two_way_table() -> None:
    """By hand: columns and rows taken out of the sum of squares."""
    table = np.array(PANEL)
    between = 5 * ((table.mean(0) - table.mean()) ** 2).sum()
    within = 3 * ((table.mean(1) - table.mean()) ** 2).sum()
    error = ((table - table.mean()) ** 2).sum() - between - within
    assert weigh_samples(PANEL).f == pytest.approx((between / 2) / (error / 8))


def test_assessors_levels_and_the_order_of_samples_change_nothing() -> None:
    shifted = [[x + 10 * at for x in row[::-1]] for at, row in enumerate(PANEL)]
    one, other = weigh_samples(PANEL), weigh_samples(shifted)
    assert one.weighed[0].bayes_factor == pytest.approx(other.weighed[0].bayes_factor)


def test_an_assessor_with_a_gap_is_left_out() -> None:
    found = weigh_samples([*PANEL, [1.0, math.nan, 2.0]])
    assert (found.people, found.weighed) == (5, weigh_samples(PANEL).weighed)


@pytest.mark.parametrize(
    ("scores", "note"),
    [
        ([[1.0, math.nan], [math.nan, 2.0]], TOO_FEW),
        ([[1.0, 2.0, 3.0], [2.0, 3.0, 4.0]], ALL_EQUAL),
        ([[1.0, 1.0], [2.0, 2.0]], ALL_EQUAL),
    ],
)
def test_samples_that_cannot_be_weighed_say_why(scores: list[list[float]], note: str) -> None:
    found = weigh_samples(scores)
    assert (found.weighed, found.f, found.notes) == ((), None, (note,))


@pytest.mark.parametrize("scales", [[], [0.0], [1.0, -1.0], [math.inf]])
def test_a_prior_without_a_scale_is_refused(scales: list[float]) -> None:
    with pytest.raises(ValueError, match="scales must"):
        weigh_pair(SLEEP, scales)


def test_a_difference_that_is_no_number_is_refused() -> None:
    with pytest.raises(ValueError, match="scores must be finite"):
        weigh_pair([1.0, math.nan])


def test_a_level_out_of_range_is_refused() -> None:
    with pytest.raises(ValueError, match="level"):
        weigh_pair(SLEEP, level=1.0)


def test_a_single_sample_is_refused() -> None:
    with pytest.raises(ValueError, match="two columns or more"):
        weigh_samples([[1.0], [2.0]])
