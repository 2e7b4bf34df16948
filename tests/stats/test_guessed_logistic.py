import numpy as np
import pytest
from scipy import optimize

from server.stats.guessed_logistic import (
    SHALLOWEST,
    STEEPEST,
    GuessedLogistic,
    find_peak,
    information,
    profile,
)


def build(correct, trials, chance=1 / 3, x=None):
    places = np.linspace(-1, 1, len(correct)) if x is None else np.array(x)
    sizes = np.broadcast_to(np.array(trials, dtype=float), len(correct))
    return GuessedLogistic(places, np.array(correct, dtype=float), sizes, chance)


def draw(rng, chance):
    """Answers at three to seven random places from a random curve, or from none."""
    x = np.concatenate([[-1], np.sort(rng.uniform(-1, 1, rng.integers(1, 6))), [1]])
    trials = rng.integers(1, 30, len(x))
    slope, midpoint = np.exp(rng.normal(1.2, 1)), rng.normal(0, 0.8)
    pc = chance + (1 - chance) / (1 + np.exp(-slope * (x - midpoint)))
    if rng.random() < 0.25:
        pc = rng.random(len(x))
    return build(rng.binomial(trials, pc), trials, chance, x)


def search(answers):
    """The largest log-likelihood that a general-purpose optimiser finds from a net's best."""
    midpoints, logs = np.linspace(-2, 2, 81)[:, None], np.linspace(-4, 6, 81)
    net = answers.log_likelihood(midpoints, np.exp(logs))
    best = np.unravel_index(net.argmax(), net.shape)

    def lost(curve):
        slope = np.exp(np.clip(curve[1], np.log(SHALLOWEST), np.log(STEEPEST)))
        return -answers.log_likelihood(curve[0], slope).item()

    options = {"xatol": 1e-7, "fatol": 1e-9, "maxiter": 2000}
    start = midpoints[best[0], 0], logs[best[1]]
    found = optimize.minimize(lost, start, method="Nelder-Mead", options=options)
    return max(net.max(), -found.fun)


@pytest.mark.parametrize("chance", [0, 1 / 3, 1 / 2])
def test_no_curve_is_likelier_than_the_peak_or_what_it_tends_to(chance):
    rng = np.random.default_rng(13301)
    for _ in range(6):
        answers = draw(rng, chance)
        peak = find_peak(answers).log_likelihood
        most = max(peak, answers.level_peak(chance, 1), answers.jump_peak())
        assert search(answers) <= most + 1e-7


def test_a_shallow_peak_is_found_beside_a_jump_that_is_nearly_as_likely():
    x = [-1, -0.5253311, -0.37106875, -0.27902749, 1]
    answers = build([5, 0, 0, 1, 10], [29, 8, 5, 7, 11], 0.1, x)
    assert find_peak(answers).midpoint == pytest.approx(0.7771252, abs=1e-5)
    assert find_peak(answers).log_likelihood > answers.jump_peak() + 5e-6


@pytest.mark.parametrize("slope", [1e-3, 1, 5])
def test_the_likelihood_is_that_of_the_proportions_correct(slope):
    answers = build([9, 15, 23], 24)
    pc = answers.pc(0.2, slope)
    binomial = answers.correct * np.log(pc) + (24 - answers.correct) * np.log1p(-pc)
    assert answers.log_likelihood(0.2, slope).item() == pytest.approx(binomial.sum(), rel=1e-12)


def test_a_curve_passes_half_way_at_its_midpoint():
    assert build([1, 2, 3], 3).pc(0.0, 7.0)[1] == pytest.approx((1 + 1 / 3) / 2)


def test_the_likelihood_takes_arrays_of_curves():
    answers = build([9, 15, 23], 24)
    heights = answers.log_likelihood(np.zeros((4, 1)), np.arange(1.0, 6.0))
    assert heights.shape == (4, 5)


def test_the_likelihood_stays_finite_on_the_steepest_curves():
    assert np.isfinite(build([0, 24, 0], 24, 0).log_likelihood([-20, 0.5, 20], STEEPEST)).all()


def test_the_most_likely_level_curve_keeps_to_its_bounds():
    answers = build([3, 3], 12)
    guessing = 6 * np.log(1 / 3) + 18 * np.log(2 / 3)
    assert answers.level_peak(1 / 3, 1) == pytest.approx(guessing)
    assert answers.level_peak(1 / 6, 1) == pytest.approx(6 * np.log(1 / 4) + 18 * np.log(3 / 4))


def test_a_jump_may_take_any_rate_at_one_dose():
    answers = build([4, 6, 12], 12)
    exact = 4 * np.log(1 / 3) + 8 * np.log(2 / 3) + 12 * np.log(1 / 2)
    assert answers.jump_peak() == pytest.approx(exact)


def test_no_jump_passes_a_miss_below_the_last_dose_that_guessing_explains():
    assert build([12, 5, 12], 12, 0).jump_peak() == -np.inf


@pytest.mark.parametrize("observed", [False, True])
def test_information_is_minus_the_curvature_of_the_likelihood(observed):
    # Counts that lie on the curve make expected and observed information equal.
    pc = build([0, 0, 0, 0], 1).pc(0.1, 3.0)
    answers = build(240 * pc, 240)
    peak = find_peak(answers)
    step = 1e-3
    moves = step * np.array([-1.0, 0, 1])
    around = answers.log_likelihood(peak.midpoint + moves[:, None], peak.slope + moves)
    by_midpoint = -(around[0, 1] - 2 * around[1, 1] + around[2, 1]) / step**2
    by_slope = -(around[1, 0] - 2 * around[1, 1] + around[1, 2]) / step**2
    both = -(around[2, 2] - around[2, 0] - around[0, 2] + around[0, 0]) / (4 * step**2)
    found = information(answers, peak, observed)
    assert found.ravel() == pytest.approx([by_midpoint, both, both, by_slope], rel=1e-4, abs=1e-3)


def test_a_profile_is_the_best_likelihood_over_slopes():
    answers = build([9, 11, 12, 17, 21, 24], 24)
    midpoints = np.array([-0.5, 0.0, 0.3, 0.9])
    best = [
        -optimize.minimize_scalar(
            lambda log, t=t: -answers.log_likelihood(t, np.exp(log)).item(), bounds=(-8, 8)
        ).fun
        for t in midpoints
    ]
    assert profile(answers, midpoints) == pytest.approx(best, abs=1e-8)


@pytest.mark.parametrize("chance", [0, 1 / 3, 1 / 2])
def test_no_profile_is_higher_than_the_peak_or_what_it_tends_to(chance):
    rng = np.random.default_rng(679)
    for _ in range(10):
        answers = draw(rng, chance)
        peak = find_peak(answers).log_likelihood
        most = max(peak, answers.level_peak(chance, 1), answers.jump_peak())
        assert profile(answers, np.linspace(-3, 3, 25)).max() <= most + 1e-9
