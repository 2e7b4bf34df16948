import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from server.stats.dispersion import (
    NO_COMPANY,
    NO_REPLICATES,
    NO_SPREAD,
    measure_dispersion,
)

FIVES = [0, 1, 1, 1, 1, 2, 2, 2, 2, 2, 3, 3, 4, 5, 5, 5]
FOURS = [0, 1, 1, 1, 1, 2, 2, 2, 2, 2, 2, 2, 3, 3, 3, 3, 4, 4, 4, 4]
# Boys among the first 12 children of 6,115 Saxon families, 0 to 12 (Geissler 1889, as
# printed in general encyclopedias beside the fit of the beta-binomial).
FAMILIES = (3, 24, 104, 286, 670, 1033, 1343, 1112, 829, 478, 181, 45, 7)

panels = st.lists(
    st.integers(1, 9).flatmap(lambda n: st.tuples(st.integers(0, n), st.just(n))),
    min_size=2,
    max_size=30,
)


def beta_from_moments(first: float, second: float, trials: int) -> tuple[float, float]:
    """Return a and b from the first two raw moments of the counts, as printed."""
    size = trials * (second / first - first - 1) + first
    return (trials * first - second) / size, (trials - first) * (trials - second / first) / size


@pytest.mark.parametrize(("answers", "each", "z"), [(FIVES, 5, 2.83991915), (FOURS, 4, 1.24206479)])
def test_tarones_statistic_equals_computed_values(answers, each, z):
    # Synthetic counts, computed independently.
    found = measure_dispersion(answers, [each] * len(answers))
    assert found.tarone_z == pytest.approx(z, abs=5e-9)
    assert found.tarone_p == pytest.approx(stats.norm.sf(z), rel=1e-7)


def test_moment_estimates_equal_computed_values():
    # The same counts, divisor 16 and divisor 15.
    found = measure_dispersion(FIVES, [5] * 16)
    assert found.gamma_by_people == pytest.approx(0.22451532, abs=5e-9)
    assert found.gamma_by_freedom == pytest.approx(0.25614968, abs=5e-9)


@pytest.mark.parametrize("freedom", [0, 1])
def test_with_equal_trials_moments_are_those_of_the_variance(freedom):
    shares = np.array(FIVES) / 5
    inflation = 5 * shares.var(ddof=freedom) / (shares.mean() * (1 - shares.mean()))
    found = measure_dispersion(FIVES, [5] * 16)
    gamma = found.gamma_by_freedom if freedom else found.gamma_by_people
    assert gamma == pytest.approx((inflation - 1) / 4, rel=1e-12)


def test_moments_of_the_families_equal_the_printed_fit():
    # Printed: a = 34.1350, b = 31.6085 from m1 = 6.23058..., m2 = 42.3094...
    boys = np.repeat(np.arange(13), FAMILIES)
    gamma = measure_dispersion(boys.tolist(), [12] * len(boys)).gamma_by_people
    mean = boys.mean() / 12
    fitted = (mean * (1 - gamma) / gamma, (1 - mean) * (1 - gamma) / gamma)
    assert fitted == pytest.approx((34.13502118, 31.60849205), abs=5e-7)
    assert fitted == pytest.approx(beta_from_moments(boys.mean(), (boys**2).mean(), 12), rel=1e-9)


def test_rounded_moments_give_another_fit():
    # Two decimals of the moments, as printed (6.23, 42.31), move a from 34.14 to 33.59:
    # why the function takes answers and no moments.
    assert beta_from_moments(6.23, 42.31, 12) == pytest.approx((33.592579, 31.112228), abs=5e-7)


def test_pearsons_statistic_is_that_of_the_reference_library():
    # scipy.stats.chi2_contingency on correct and wrong answers by person.
    correct, trials = [3, 2, 5, 1], [4, 4, 9, 1]
    wrong = [n - k for k, n in zip(correct, trials, strict=True)]
    reference = stats.chi2_contingency([correct, wrong], correction=False).statistic
    assert measure_dispersion(correct, trials).pearson == pytest.approx(reference, rel=1e-12)


def test_people_more_alike_than_by_chance_have_a_negative_gamma():
    found = measure_dispersion([2] * 10, [4] * 10)
    assert found.gamma_by_people == pytest.approx(-1 / 3)  # the least: -1 / (n - 1)
    assert found.tarone_z < 0


def test_moment_estimates_are_right_on_average():
    # 20,000 people with 6 answers each, mean 0.4 and gamma 0.25; seeded.
    rng = np.random.default_rng(7)
    answers = rng.binomial(6, rng.beta(0.4 * 3, 0.6 * 3, 20_000))
    found = measure_dispersion(answers.tolist(), [6] * 20_000)
    assert found.gamma_by_freedom == pytest.approx(0.25, abs=0.015)


def test_unequal_trials_are_right_on_average():
    rng = np.random.default_rng(8)
    trials = rng.integers(1, 9, 20_000)
    answers = rng.binomial(trials, rng.beta(0.4 * 3, 0.6 * 3, 20_000))
    found = measure_dispersion(answers.tolist(), trials.tolist())
    assert found.gamma_by_freedom == pytest.approx(0.25, abs=0.015)
    assert found.gamma_by_people == pytest.approx(0.25, abs=0.015)


@given(panels)
def test_answers_and_misses_are_spread_alike(panel):
    trials = [n for _, n in panel]
    found = measure_dispersion([k for k, _ in panel], trials)
    turned = measure_dispersion([n - k for k, n in panel], trials)
    assert turned.notes == found.notes
    if not found.notes:
        assert turned.tarone_z == pytest.approx(found.tarone_z, abs=1e-9)


@pytest.mark.parametrize(
    ("correct", "trials", "note"),
    [
        ([3], [6], NO_COMPANY),
        ([1, 0, 1], [1, 1, 1], NO_REPLICATES),
        ([0, 0], [4, 4], NO_SPREAD),
        ([4, 4], [4, 4], NO_SPREAD),
    ],
)
def test_what_has_no_spread_to_measure_says_so(correct, trials, note):
    found = measure_dispersion(correct, trials)
    assert (found.tarone_z, found.gamma_by_people, found.gamma_by_freedom) == (None, None, None)
    assert found.notes == (note,)


def test_more_correct_answers_than_trials_are_refused():
    with pytest.raises(ValueError, match=r"correct .* not 5"):
        measure_dispersion([5], [4])
