import dataclasses
import json

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from server.stats.binomial import power
from server.stats.replicated_power import pooled_distribution, replicated_power

THIRD = 1 / 3


def simulate(panels: int, assessors: int, replicates: int, share: float, gamma: float):
    """Return the correct answers of whole panels in triangles."""
    rng = np.random.default_rng(1999)
    each = (1 - gamma) / gamma
    u = rng.beta(share * each, (1 - share) * each, (panels, assessors))
    return rng.binomial(replicates, THIRD + (1 - THIRD) * u).sum(axis=1)


@pytest.fixture(scope="module")
def twelve_by_six():
    """12 assessors with 6 triangles each, mean share and over-dispersion 0.3."""
    return replicated_power(12, 6, THIRD, 0.05, 0.3, 0.3)


def test_pooling_keeps_the_level_of_a_difference_test(twelve_by_six):
    # Kunert & Meyners (1999) and AS 2542.2.4 clause 6.2 (read): pooled replicates are valid
    # for a difference test. Critical number 32 of 72 and its level were recomputed.
    assert twelve_by_six.critical == 32
    assert twelve_by_six.achieved_alpha == pytest.approx(0.0323502935, abs=5e-11)


def test_the_variance_inflation_is_a_fraction(twelve_by_six):
    # Computed independently: 1 + 5 * 0.3 * 0.2 / (8/15) = 1.5625 exactly.
    assert twelve_by_six.variance_inflation == pytest.approx(1.5625, rel=1e-14)


def test_over_dispersion_costs_power(twelve_by_six):
    # Computed independently: 0.9483 by the binomial, 0.9046 by simulation, whose last two
    # digits are noise: the convolution gives 0.9037, as does the simulation below.
    assert twelve_by_six.binomial_power == pytest.approx(0.9483, abs=5e-5)
    assert twelve_by_six.power == pytest.approx(0.9046, abs=2e-3)


@pytest.mark.parametrize("panels", [60_000, pytest.param(300_000, marks=pytest.mark.long)])
def test_simulated_panels_reject_as_often_as_the_power_says(twelve_by_six, panels):
    counts = simulate(panels, 12, 6, 0.3, 0.3)
    error = (twelve_by_six.power * (1 - twelve_by_six.power) / counts.size) ** 0.5
    assert np.mean(counts >= 32) == pytest.approx(twelve_by_six.power, abs=4 * error)


def test_similarity_by_pooling_would_err_twice_as_often_as_it_claims():
    # At most 30 of 72 correct would be called similar at a limit of 0.3 with beta 0.05.
    # Computed independently: true risk 0.0669 (simulated) where the binomial says 0.0311.
    lower = pooled_distribution(12, 6, THIRD, 0.3, 0.3)[:31].sum()
    alike = pooled_distribution(12, 6, THIRD, 0.3, 0.0)[:31].sum()
    assert (lower, alike) == (pytest.approx(0.0669, abs=2e-3), pytest.approx(0.0311, abs=5e-5))


@pytest.mark.parametrize(("share", "gamma"), [(0.3, 0.3), (0.1, 0.7), (0.6, 0.05)])
def test_simulated_panels_follow_the_distribution(share, gamma):
    expected = pooled_distribution(4, 3, THIRD, share, gamma)
    counts = np.bincount(simulate(100_000, 4, 3, share, gamma), minlength=13)
    assert stats.chisquare(counts, 100_000 * expected).pvalue > 0.001


def test_the_distribution_is_the_sum_over_assessors_one_after_the_other():
    one = pooled_distribution(1, 4, THIRD, 0.3, 0.4)
    expected = np.ones(1)
    for _ in range(7):
        expected = np.convolve(expected, one)
    assert pooled_distribution(7, 4, THIRD, 0.3, 0.4) == pytest.approx(expected, rel=1e-12)


@given(st.integers(1, 12), st.integers(1, 12), st.floats(0, 1), st.floats(0, 1))
def test_mean_and_variance_are_those_of_the_model(assessors, replicates, share, gamma):
    counts = pooled_distribution(assessors, replicates, THIRD, share, gamma)
    x, n, pc = np.arange(counts.size), assessors * replicates, THIRD + (1 - THIRD) * share
    found = replicated_power(assessors, replicates, THIRD, 0.05, share, gamma)
    assert counts @ x == pytest.approx(n * pc, rel=1e-10)
    assert counts @ (x - n * pc) ** 2 == pytest.approx(
        n * pc * (1 - pc) * (found.variance_inflation or 0), rel=1e-8, abs=1e-9
    )


@pytest.mark.parametrize(
    ("assessors", "replicates", "gamma"),
    [(24, 1, 0.0), (24, 1, 0.5), (24, 1, 1.0), (4, 6, 0.0), (1, 24, 0.0)],
)
def test_one_answer_each_or_equal_assessors_give_the_binomial_power(assessors, replicates, gamma):
    found = replicated_power(assessors, replicates, THIRD, 0.05, 0.4, gamma)
    assert found.power == pytest.approx(power(24, THIRD, 0.05, THIRD + 0.4 * 2 / 3), rel=1e-11)


@pytest.mark.parametrize("gamma", [0.0, 0.4, 1.0])
def test_where_nobody_notices_the_power_is_the_level(gamma):
    found = replicated_power(6, 5, THIRD, 0.05, 0.0, gamma)
    assert found.power == pytest.approx(found.achieved_alpha, rel=1e-12)


def test_assessors_who_notice_always_or_never_count_as_so_many_persons():
    # 3 persons, 2 answers each, no guessing: X is twice a binomial number of persons.
    found = pooled_distribution(3, 2, 0.0, 0.25, 1.0)
    assert found[::2] == pytest.approx(stats.binom.pmf(range(4), 3, 0.25), rel=1e-12)
    assert found[1::2].sum() == 0


def test_a_test_of_good_power_loses_some_the_more_its_assessors_differ():
    powers = [replicated_power(12, 6, THIRD, 0.05, 0.3, c).power for c in np.linspace(0, 1, 11)]
    assert (np.diff(powers) < 0).all()


def test_a_panel_too_small_to_be_significant_gets_a_sentence_and_no_power():
    found = replicated_power(1, 2, THIRD, 0.05, 0.3, 0.3)
    assert (found.critical, found.achieved_alpha, found.power) == (None, None, None)
    assert "too few answers" in found.notes[-1]


def test_a_panel_that_always_notices_has_no_variance_to_inflate():
    found = replicated_power(6, 5, THIRD, 0.05, 1.0, 0.3)
    assert (found.power, found.variance_inflation) == (pytest.approx(1), None)
    assert "inflation" in found.notes[-1]


@pytest.mark.parametrize("panel", [(1, 1, 0.5, 0.3), (12, 6, 1.0, 1.0), (2000, 10, 0.05, 0.3)])
def test_results_are_plain_data_within_0_to_1(panel):
    assessors, replicates, share, gamma = panel
    found = replicated_power(assessors, replicates, THIRD, 0.05, share, gamma)
    plain = json.loads(json.dumps(dataclasses.asdict(found), allow_nan=False))
    assert all(0 <= (plain[name] or 0) <= 1 for name in ("power", "binomial_power"))


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        ((0, 6, THIRD, 0.05, 0.3, 0.3), r"assessors .* not 0"),
        ((True, 6, THIRD, 0.05, 0.3, 0.3), r"assessors .* not True"),
        ((12, 1.5, THIRD, 0.05, 0.3, 0.3), r"replicates .* not 1.5"),
        ((5000, 5, THIRD, 0.05, 0.3, 0.3), r"assessors times replicates .* 20,000, not 25000"),
        ((1, 1001, THIRD, 0.05, 0.3, 0.3), r"trials .* not 1001"),
        ((12, 6, 0.0, 0.05, 0.3, 0.3), r"chance .* not 0.0"),
        ((12, 6, THIRD, 1.0, 0.3, 0.3), r"alpha .* not 1.0"),
        ((12, 6, THIRD, 0.05, 1.3, 0.3), r"share .* not 1.3"),
        ((12, 6, THIRD, 0.05, 0.3, -0.1), r"gamma .* not -0.1"),
    ],
)
def test_impossible_panels_are_refused_by_name_and_value(arguments, message):
    with pytest.raises(ValueError, match=message):
        replicated_power(*arguments)
