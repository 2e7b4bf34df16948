"""The likelihood against its definition with full matrices; seeded synthetic values."""

import math
from collections.abc import Callable

import numpy as np
import pytest

from server.stats.panel_sums import sum_panel
from server.stats.ratings import Ratings, build_ratings
from server.stats.reml import evaluate, find_heights

RATIOS = [(1, 0.5, 0.3), (0, 0, 0), (3, 0, 2), (0, 2, 0), (40, 0.01, 7)]


def code_means(samples: int) -> np.ndarray:
    return np.eye(samples)


def code_differences(samples: int) -> np.ndarray:
    return np.column_stack((np.ones(samples), np.eye(samples)[:, 1:]))


def code_deviations(samples: int) -> np.ndarray:
    last = np.vstack((np.eye(samples - 1), -np.ones(samples - 1)))
    return np.column_stack((np.ones(samples), last))


def pour(seed: int = 1) -> Ratings:
    """Five assessors, four samples, three shared bowls of each, about 15 % of values lost."""
    rng = np.random.default_rng(seed)
    rows = [(i, j, k) for i in range(5) for j in range(4) for k in range(3) if rng.random() > 0.15]
    values = [rng.normal() + 0.3 * i for i, _, _ in rows]
    people, samples = [f"a{i}" for i, _, _ in rows], [f"s{j}" for _, j, _ in rows]
    return build_ratings(people, samples, values, [f"b{j}{k}" for _, j, k in rows])


def evaluate_dense(
    ratings: Ratings, ratios: tuple[float, ...], code: Callable[[int], np.ndarray]
) -> tuple[float, float, np.ndarray]:
    """Return log-likelihood, error variance and coefficients by generalised least squares."""
    effects = [np.eye(ratings.assessor.max() + 1)[ratings.assessor]]
    effects.append(np.eye(100)[ratings.assessor * 10 + ratings.sample])
    effects.append(np.eye(len(ratings.bowls))[ratings.bowl])
    fixed = code(len(ratings.samples))[ratings.sample]
    y, freedom = ratings.value, len(ratings.value) - fixed.shape[1]
    v = np.eye(len(y)) + sum(r * z @ z.T for r, z in zip(ratios, effects, strict=True))
    precision = fixed.T @ np.linalg.solve(v, fixed)
    beta = np.linalg.solve(precision, fixed.T @ np.linalg.solve(v, y))
    error = (y - fixed @ beta) @ np.linalg.solve(v, y - fixed @ beta) / freedom
    logs = np.linalg.slogdet(v)[1] + np.linalg.slogdet(precision)[1]
    return -(freedom * (1 + math.log(2 * math.pi * error)) + logs) / 2, error, beta


def test_many_points_at_once_have_the_likelihoods_of_the_full_matrices():
    sums = sum_panel(pour())
    expected = [evaluate_dense(pour(), ratios, code_means)[0] for ratios in RATIOS]
    shift = (sums.values - sums.samples) * math.log(sums.unit)
    heights = find_heights(sums, np.array(RATIOS, dtype=float))
    assert heights - shift == pytest.approx(expected, rel=1e-9)


@pytest.mark.parametrize("ratios", RATIOS)
def test_the_likelihood_is_that_of_the_full_matrices(ratios):
    sums = sum_panel(pour())
    point = evaluate(sums, np.array(ratios, dtype=float))
    likelihood, error, beta = evaluate_dense(pour(), ratios, code_means)
    shift = (sums.values - sums.samples) * math.log(sums.unit)
    assert point.log_likelihood - shift == pytest.approx(likelihood, abs=1e-10)
    assert point.error * sums.unit**2 == pytest.approx(error, rel=1e-10)
    assert point.means * sums.unit + sums.centres == pytest.approx(beta, rel=1e-10)


def test_means_and_differences_to_a_first_sample_give_the_same_likelihood():
    means, differences = (
        evaluate_dense(pour(), RATIOS[0], code)[0] for code in (code_means, code_differences)
    )
    assert means == pytest.approx(differences, abs=1e-10)


def test_deviations_from_a_general_mean_give_one_lower_by_the_log_of_the_samples():
    means, deviations = (
        evaluate_dense(pour(), RATIOS[0], code)[0] for code in (code_means, code_deviations)
    )
    assert means - deviations == pytest.approx(math.log(4), abs=1e-10)


def test_own_cups_are_bowls_without_a_variance():
    poured = pour()
    own = build_ratings(
        [poured.assessors[at] for at in poured.assessor],
        [poured.samples[at] for at in poured.sample],
        poured.value.tolist(),
    )
    ratios = np.array([1.0, 0.5, 0.0])
    found = [evaluate(sum_panel(ratings), ratios) for ratings in (own, poured)]
    assert found[0].log_likelihood == pytest.approx(found[1].log_likelihood, abs=1e-10)
