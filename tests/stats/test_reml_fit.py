"""Maxima against a general-purpose library and against moments; seeded synthetic values."""

import math
import sys
import time

import numpy as np
import pytest
from statsmodels.regression.mixed_linear_model import MixedLM, VCSpec

from server.stats.panel_sums import PanelSums, forget_bowls, sum_panel
from server.stats.ratings import Ratings, build_ratings
from server.stats.reml import ASSESSOR, BOWL, CELL, find_heights
from server.stats.reml_fit import Fit, find_leftover, fit_reml, tell_apart

OWN, SHARED = (ASSESSOR, CELL), (ASSESSOR, CELL, BOWL)


def pour(
    shape: tuple[int, int, int], variances: tuple[float, float, float], lost: float, seed: int
) -> Ratings:
    """Values of assessors on samples, from bowls of each; error has variance 1."""
    rng = np.random.default_rng(seed)
    people, samples, bowls = shape
    a, s, b = (grid.ravel() for grid in np.indices(shape))
    person, cell, bowl = np.sqrt(variances)
    values = rng.normal(5 + s, 1) + person * rng.normal(size=people)[a]
    values += cell * rng.normal(size=(people, samples))[a, s]
    values += bowl * rng.normal(size=(samples, bowls))[s, b]
    kept = rng.random(len(a)) >= lost
    names = ([f"a{i:02}" for i in a[kept]], [f"s{i:02}" for i in s[kept]])
    return build_ratings(*names, values[kept].tolist(), [f"b{i:02}" for i in (s * bowls + b)[kept]])


def name_variances(sums: PanelSums, fit: Fit) -> tuple[float, ...]:
    """Return the variances of the effects, error last, and the log-likelihood."""
    error = fit.point.error * sums.unit**2
    likelihood = fit.point.log_likelihood - (sums.values - sums.samples) * math.log(sums.unit)
    return *(fit.point.ratios[list(fit.kinds)] * error), error, likelihood


def build_nested(ratings: Ratings) -> MixedLM:
    """Own cups, an assessor a group: the fastest formulation the library has."""
    samples = len(ratings.samples)
    fixed, groups = np.eye(samples)[ratings.sample], ratings.assessor
    cells = [fixed[groups == group] for group in range(len(ratings.assessors))]
    names = [[f"cell{place}" for place in range(samples)]] * len(cells)
    effects = VCSpec(["cell"], [names], [cells])
    one = np.ones((len(groups), 1))
    return MixedLM(ratings.value, fixed, groups, exog_re=one, exog_vc=effects)


def build_crossed(ratings: Ratings) -> MixedLM:
    """Shared bowls, everything in one group."""
    samples = len(ratings.samples)
    fixed = np.eye(samples)[ratings.sample]
    cells = np.unique(ratings.assessor * samples + ratings.sample, return_inverse=True)[1]
    columns = (ratings.assessor, cells, ratings.bowl)
    mats = [np.eye(column.max() + 1)[column] for column in columns]
    names = [[[f"{k}{place}" for place in range(mat.shape[1])]] for k, mat in enumerate(mats)]
    effects = VCSpec(["0", "1", "2"], names, [[mat] for mat in mats])
    one = np.ones(len(cells), dtype=int)
    return MixedLM(ratings.value, fixed, one, exog_vc=effects)


@pytest.mark.parametrize("seed", [1, 2, 3])
def test_own_cups_with_gaps_equal_a_general_purpose_library(seed):
    ratings = forget_bowls(pour((8, 5, 3), (1, 0.5, 0), 0.15, seed))
    theirs = build_nested(ratings).fit(reml=True)
    sums = sum_panel(ratings)
    *ours, likelihood = name_variances(sums, fit_reml(sums, OWN))
    assert ours == pytest.approx([*theirs.cov_re.ravel(), *theirs.vcomp, theirs.scale], rel=2e-3)
    assert likelihood == pytest.approx(theirs.llf, abs=1e-5)


@pytest.mark.parametrize("seed", [1, 2, 3])
def test_shared_bowls_with_gaps_equal_a_general_purpose_library(seed):
    ratings = pour((8, 4, 3), (1, 0.5, 0.6), 0.15, seed)
    theirs = build_crossed(ratings).fit(reml=True)
    sums = sum_panel(ratings)
    *ours, likelihood = name_variances(sums, fit_reml(sums, SHARED))
    assert ours == pytest.approx([*theirs.vcomp, theirs.scale], rel=5e-3)
    assert likelihood == pytest.approx(theirs.llf, abs=1e-5)


def test_balanced_own_cups_give_the_variances_by_moments():
    # Expected mean squares, with 7 assessors, 4 samples, 3 cups: E, E + 3 C, E + 3 C + 12 A.
    ratings = forget_bowls(pour((7, 4, 3), (1, 0.5, 0), 0, 4))
    cube = ratings.value.reshape(7, 4, 3)
    cells = cube.mean(axis=2)
    rows = cells.mean(axis=1, keepdims=True)
    crossed = cells - rows - cells.mean(axis=0) + cells.mean()
    error = cube.var(axis=2, ddof=1).mean()
    cell = (3 * (crossed**2).sum() / 18 - error) / 3
    person = (12 * rows.var(ddof=1) - error - 3 * cell) / 12
    sums = sum_panel(ratings)
    *ours, _ = name_variances(sums, fit_reml(sums, OWN))
    assert ours == pytest.approx([person, cell, error], rel=1e-8)


def test_balanced_shared_bowls_give_the_variances_by_moments():
    # 8 assessors taste 3 bowls each of 4 samples once; expected mean squares: error E,
    # assessor x sample E + 3 C, bowls within samples E + 8 B, assessors E + 3 C + 12 A.
    ratings = pour((8, 4, 3), (1, 0.5, 0.6), 0, 11)
    cube = ratings.value.reshape(8, 4, 3)
    cells, bowls = cube.mean(axis=2), cube.mean(axis=0)
    left = cube - cells[:, :, None] - bowls + cells.mean(axis=0)[:, None]
    error = (left**2).sum() / (7 * 4 * 2)
    rows = cells.mean(axis=1, keepdims=True)
    crossed = cells - rows - cells.mean(axis=0) + cells.mean()
    cell = (3 * (crossed**2).sum() / 21 - error) / 3
    bowl = (8 * bowls.var(axis=1, ddof=1).mean() - error) / 8
    person = (12 * rows.var(ddof=1) - error - 3 * cell) / 12
    sums = sum_panel(ratings)
    *ours, _ = name_variances(sums, fit_reml(sums, SHARED))
    assert ours == pytest.approx([person, cell, bowl, error], rel=1e-8)


def test_known_variances_come_back_on_average():
    # 30 panels; 4 standard errors of the mean estimate (a zero bound adds little to it here).
    truth = (1.0, 0.5, 0.6)
    found = []
    for seed in range(30):
        sums = sum_panel(pour((10, 5, 4), truth, 0.1, seed))
        found.append(name_variances(sums, fit_reml(sums, SHARED))[:4])
    spread = np.std(found, axis=0, ddof=1) / math.sqrt(len(found))
    assert (np.abs(np.mean(found, axis=0) - [*truth, 1]) < 4 * spread).all()


def test_a_variance_that_would_be_negative_is_zero_and_not_free():
    rng = np.random.default_rng(6)
    people, names = list("aabbccdd") * 2, list("XYXYXYXY") * 2
    half = rng.normal(size=8)  # repeats that contradict each other: no interaction is left
    sums = sum_panel(build_ratings(people, names, [*(half + 1), *(1 - half)]))
    fit = fit_reml(sums, OWN)
    assert fit.point.ratios.tolist() == [0, 0, 0]
    assert fit.free == (2,)


@pytest.mark.parametrize("seed", range(12))
def test_no_other_variances_are_likelier(seed):
    rng = np.random.default_rng(seed)
    ratings = pour((4, 3, 2), tuple(rng.choice([0, 0.1, 1, 20], 3)), 0.2, 100 + seed)
    sums = sum_panel(ratings)
    kinds = next(kinds for kinds in (SHARED, OWN, (ASSESSOR,)) if tell_apart(sums, kinds))
    best = fit_reml(sums, kinds)
    others = np.zeros((300, 3))
    others[:, list(kinds)] = np.exp(rng.uniform(-6, 6, (300, len(kinds))))
    others[:100] = best.point.ratios * np.exp(rng.normal(0, 0.1, (100, 3)))
    assert best.settled
    assert find_heights(sums, others).max() <= best.point.log_likelihood + 1e-9


@pytest.mark.parametrize(
    ("shape", "kinds", "apart"),
    [
        ((4, 3, 2), SHARED, True),
        ((4, 3, 1), OWN, False),  # one value a cell
        ((4, 3, 1), (ASSESSOR,), True),
        ((4, 3, 1), (ASSESSOR, BOWL), False),  # one bowl a sample
        ((1, 3, 2), (ASSESSOR,), False),
    ],
)
def test_what_values_cannot_tell_apart_is_found(shape, kinds, apart):
    assert tell_apart(sum_panel(pour(shape, (1, 0.5, 0.3), 0, 7)), kinds) is apart


@pytest.mark.parametrize("cells", [True, False])
@pytest.mark.parametrize("bowls", [True, False])
def test_what_is_left_over_equals_least_squares(cells, bowls):
    ratings = pour((5, 3, 3), (1, 0.5, 0.3), 0.2, 8)
    rows = np.eye(15)[ratings.assessor * 3 + ratings.sample] if cells else None
    groups = np.eye(5)[ratings.assessor] if rows is None else rows
    columns = np.eye(9)[ratings.bowl] if bowls else np.eye(3)[ratings.sample]
    design = np.column_stack((groups, columns))
    beta, _, rank, _ = np.linalg.lstsq(design, ratings.value)
    sums = sum_panel(ratings)
    squares, df = find_leftover(sums, cells, bowls)
    assert squares * sums.unit**2 == pytest.approx(((ratings.value - design @ beta) ** 2).sum())
    assert df == len(ratings.value) - rank


def test_sixty_assessors_are_fitted_faster_than_by_a_general_purpose_library(capsys):
    ratings = forget_bowls(pour((60, 12, 3), (1, 0.5, 0), 0.1, 9))
    model, spans = build_nested(ratings), []
    for _ in range(3):
        start = time.perf_counter()
        sums = sum_panel(ratings)
        fit = fit_reml(sums, OWN)
        spans.append(time.perf_counter() - start)
    start = time.perf_counter()
    theirs = model.fit(reml=True)
    span = time.perf_counter() - start
    with capsys.disabled():
        sys.stdout.write(f"\n60 × 12 × 3: {min(spans):.3f} s, {span / min(spans):.0f} × as fast\n")
    assert name_variances(sums, fit)[-1] == pytest.approx(theirs.llf, abs=1e-3)
    assert min(spans) < span
