"""Degrees of freedom against definitions with full matrices, against moments, by simulation.

Seeded synthetic values throughout; scipy.stats is the reference for t tests and tails.
"""

import math

import numpy as np
import pytest
from scipy import stats

from server.stats.panel_sums import PanelSums, forget_bowls, sum_panel
from server.stats.ratings import Ratings, build_ratings
from server.stats.reml import ASSESSOR, BOWL, CELL
from server.stats.reml_fit import Fit, fit_reml
from server.stats.reml_tests import compare_all, find_freedom, measure_uncertainty

OWN, SHARED = (ASSESSOR, CELL), (ASSESSOR, CELL, BOWL)
PANEL = (8, 4, 3)  # assessors, samples, bowls or cups of each


def pour(
    shape: tuple[int, int, int], variances: tuple[float, float, float], lost: float, seed: int
) -> Ratings:
    """Values of samples that do not differ; error has variance 1."""
    rng = np.random.default_rng(seed)
    people, samples, bowls = shape
    a, s, b = (grid.ravel() for grid in np.indices(shape))
    person, cell, bowl = np.sqrt(variances)
    values = rng.normal(size=len(a)) + person * rng.normal(size=people)[a]
    values += cell * rng.normal(size=(people, samples))[a, s]
    values += bowl * rng.normal(size=(samples, bowls))[s, b]
    kept = rng.random(len(a)) >= lost
    names = ([f"a{i:02}" for i in a[kept]], [f"s{i:02}" for i in s[kept]])
    return build_ratings(*names, values[kept].tolist(), [f"b{i:02}" for i in (s * bowls + b)[kept]])


def compare(ratings: Ratings, kinds: tuple[int, ...], widen: bool = False):
    sums = sum_panel(ratings)
    fit = fit_reml(sums, kinds)
    means = fit.point.means + sums.centres / sums.unit
    return compare_all(measure_uncertainty(fit, widen), means, sums.cells[0].sum(axis=0))


class Dense:
    """Everything by full matrices, in units of the sums."""

    def __init__(self, ratings: Ratings, sums: PanelSums, fit: Fit):
        effects = {
            ASSESSOR: np.eye(100)[ratings.assessor],
            CELL: np.eye(500)[ratings.assessor * 10 + ratings.sample],
        }
        if ratings.bowl is not None:
            effects[BOWL] = np.eye(len(ratings.bowls))[ratings.bowl]
        count = len(ratings.value)
        self.parts = [effects[kind] @ effects[kind].T for kind in fit.kinds] + [np.eye(count)]
        self.x = np.eye(sums.samples)[ratings.sample]
        self.y = (ratings.value - sums.centres[ratings.sample]) / sums.unit
        self.best = fit.point.error * np.r_[fit.point.ratios[list(fit.kinds)], 1]

    def invert(self, variances: np.ndarray) -> np.ndarray:
        return np.linalg.inv(sum(v * p for v, p in zip(variances, self.parts, strict=True)))

    def covary(self, variances: np.ndarray) -> np.ndarray:
        return np.linalg.inv(self.x.T @ self.invert(variances) @ self.x)

    def likelihood(self, variances: np.ndarray) -> float:
        inverse, phi = self.invert(variances), self.covary(variances)
        left = self.y - self.x @ phi @ self.x.T @ inverse @ self.y
        logs = np.linalg.slogdet(inverse)[1] + np.linalg.slogdet(phi)[1]
        return (logs - left @ inverse @ left) / 2

    def bend(self) -> np.ndarray:
        """Second differences of the likelihood."""
        steps = np.diag(2e-3 * self.best)
        size = len(steps)
        bends = np.empty((size, size))
        for i in range(size):
            for j in range(size):
                corners = [
                    a * b * self.likelihood(self.best + a * steps[i] + b * steps[j])
                    for a in (-1, 1)
                    for b in (-1, 1)
                ]
                bends[i, j] = sum(corners) / (4 * steps[i, i] * steps[j, j])
        return bends

    def widen(self) -> np.ndarray:
        """Kenward's and Roger's adjusted covariance, formula by formula."""
        inverse, phi = self.invert(self.best), self.covary(self.best)
        p = inverse - inverse @ self.x @ phi @ self.x.T @ inverse
        w = np.linalg.inv([[np.trace(p @ k @ p @ m) / 2 for k in self.parts] for m in self.parts])
        carried = [inverse @ part @ inverse for part in self.parts]
        ps = [-self.x.T @ one @ self.x for one in carried]
        extra = np.zeros_like(phi)
        for i, one in enumerate(carried):
            for j, part in enumerate(self.parts):
                q = self.x.T @ one @ part @ inverse @ self.x
                extra += w[i, j] * (q - ps[i] @ phi @ ps[j])
        return phi + 2 * phi @ extra @ phi


CASES = [(OWN, 0.15, 1), (OWN, 0.3, 2), (SHARED, 0.15, 3)]


def fit_case(kinds: tuple[int, ...], lost: float, seed: int) -> tuple[Fit, Dense]:
    ratings = pour(PANEL, (1, 0.5, 0.6), lost, seed)
    ratings = ratings if BOWL in kinds else forget_bowls(ratings)
    sums = sum_panel(ratings)
    fit = fit_reml(sums, kinds)
    assert len(fit.free) == len(kinds) + 1
    return fit, Dense(ratings, sums, fit)


@pytest.mark.parametrize(("kinds", "lost", "seed"), CASES)
def test_freedom_of_a_contrast_is_satterthwaites_by_numerical_derivatives(kinds, lost, seed):
    fit, dense = fit_case(kinds, lost, seed)
    contrast = np.array([1.0, -1, 0, 0])
    slopes = []
    for place, size in enumerate(dense.best):
        step = np.zeros(len(dense.best))
        step[place] = 1e-4 * size
        up, down = (dense.covary(dense.best + sign * step) for sign in (1, -1))
        slopes.append(contrast @ (up - down) @ contrast / (2 * step[place]))
    variance = contrast @ dense.covary(dense.best) @ contrast
    df = 2 * variance**2 / (slopes @ np.linalg.inv(-dense.bend()) @ slopes)
    found = find_freedom(measure_uncertainty(fit), contrast[None, :])
    assert [one.item() for one in found] == pytest.approx([math.sqrt(variance), df], rel=1e-4)


@pytest.mark.parametrize(("kinds", "lost", "seed"), CASES)
def test_the_widened_covariance_is_that_of_the_formulas(kinds, lost, seed):
    fit, dense = fit_case(kinds, lost, seed)
    assert measure_uncertainty(fit, widen=True).covariance == pytest.approx(dense.widen(), rel=1e-9)


@pytest.mark.parametrize("widen", [False, True])
def test_balanced_own_cups_have_the_f_of_the_analysis_of_variance(widen):
    ratings = forget_bowls(pour((7, 4, 3), (1, 0.5, 0), 0, 4))
    cells = ratings.value.reshape(7, 4, 3).mean(axis=2)
    crossed = cells - cells.mean(axis=1, keepdims=True) - cells.mean(axis=0) + cells.mean()
    f = 7 * cells.mean(axis=0).var(ddof=1) / ((crossed**2).sum() / 18)
    found = compare(ratings, OWN, widen)
    assert (found.f, *found.df) == pytest.approx((f, 3, 18), rel=1e-7)
    assert found.p_value == pytest.approx(stats.f.sf(f, 3, 18), rel=1e-6)


@pytest.mark.parametrize("widen", [False, True])
def test_two_samples_rated_once_make_a_paired_t_test(widen):
    ratings = forget_bowls(pour((9, 2, 1), (1, 0, 0), 0, 5))
    known = stats.ttest_rel(ratings.value[::2], ratings.value[1::2])
    found = compare(ratings, (ASSESSOR,), widen)
    assert (found.f, found.df[1]) == pytest.approx((known.statistic**2, 8))
    assert found.p_value == pytest.approx(known.pvalue)


def test_balanced_shared_bowls_have_the_quasi_f_of_the_mean_squares():
    # 8 assessors taste 3 bowls each of 4 samples once. The sample mean square is expected to be
    # that of assessor x sample + bowls - error (Satterthwaite 1946, from memory).
    ratings = pour(PANEL, (1, 0.5, 0.6), 0, 11)
    cube = ratings.value.reshape(8, 4, 3)
    cells, bowls = cube.mean(axis=2), cube.mean(axis=0)
    left = cube - cells[:, :, None] - bowls + cells.mean(axis=0)[:, None]
    crossed = cells - cells.mean(axis=1, keepdims=True) - cells.mean(axis=0) + cells.mean()
    squares = np.array(
        [3 * (crossed**2).sum() / 21, 8 * bowls.var(axis=1, ddof=1).mean(), -(left**2).sum() / 56]
    )
    below = squares.sum()
    df = below**2 / (squares**2 / [21, 8, 56]).sum()
    found = compare(ratings, SHARED)
    f = 24 * cells.mean(axis=0).var(ddof=1) / below
    assert (found.f, *found.df) == pytest.approx((f, 3, df), rel=1e-7)


def pour_few_bowls() -> Ratings:
    """Three samples of very different bowls, of which only the first has a second one."""
    poured = pour((6, 3, 2), (1, 0.5, 40), 0, 12)
    kept = np.isin(poured.bowl, [0, 1, 2, 4])
    people = [poured.assessors[at] for at in poured.assessor[kept]]
    samples = [poured.samples[at] for at in poured.sample[kept]]
    bowls = [poured.bowls[at] for at in poured.bowl[kept]]
    return build_ratings(people, samples, poured.value[kept].tolist(), bowls)


def test_one_spare_bowl_gives_one_degree_of_freedom():
    found = compare(pour_few_bowls(), SHARED)
    assert found.df == pytest.approx((2, 1))
    assert found.p_value == pytest.approx(stats.f.sf(found.f, 2, 1))


def test_too_few_degrees_of_freedom_for_the_widened_test_give_none():
    assert compare(pour_few_bowls(), SHARED, widen=True) is None


def count_errors(panels: int, shape, variances, lost: float, kinds) -> int:
    """Return how many of so many panels find a difference at 5 % where there is none."""
    found = (pour(shape, variances, lost, 1000 + seed) for seed in range(panels))
    own = BOWL not in kinds
    tests = (compare(forget_bowls(one) if own else one, kinds) for one in found)
    return sum(test.p_value <= 0.05 for test in tests)


SITUATIONS = {
    "own cups": ((8, 4, 2), (1, 0.5, 0), 0, OWN),
    "own cups, a fifth lost": ((8, 4, 2), (1, 0.5, 0), 0.2, OWN),
    "one value a cell, a fifth lost": ((8, 4, 1), (1, 0, 0), 0.2, (ASSESSOR,)),
    "shared bowls": (PANEL, (1, 0.3, 0.5), 0, SHARED),
    "shared bowls, a fifth lost": (PANEL, (1, 0.3, 0.5), 0.2, SHARED),
}


@pytest.mark.parametrize("situation", SITUATIONS.values(), ids=SITUATIONS.keys())
def test_alike_samples_differ_in_one_panel_of_twenty(situation):
    # 40 panels, error rate 5 %; a chance of one in a thousand that a right test fails this.
    assert count_errors(40, *situation) <= stats.binom.ppf(0.999, 40, 0.05)


@pytest.mark.long
@pytest.mark.timeout(1200)
@pytest.mark.parametrize("situation", SITUATIONS.values(), ids=SITUATIONS.keys())
def test_alike_samples_differ_in_one_panel_of_twenty_seen_closely(situation):
    # 2000 panels; the approximations are allowed 3.5 to 6.5 %.
    assert 70 <= count_errors(2000, *situation) <= 130


def test_shared_bowls_taken_for_own_cups_find_differences_that_are_none():
    # What the variance of bowls is for: without it these panels would err far too often.
    shape, variances, lost, _ = SITUATIONS["shared bowls"]
    assert count_errors(25, shape, variances, lost, OWN) >= 6
