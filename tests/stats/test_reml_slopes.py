"""Derivatives against their definitions with full matrices; seeded synthetic values."""

import numpy as np
import pytest

from server.stats.panel_sums import sum_panel
from server.stats.ratings import Ratings, build_ratings
from server.stats.reml import ASSESSOR, BOWL, CELL, evaluate
from server.stats.reml_slopes import Slopes, differentiate, multiply

ALL = (ASSESSOR, CELL, BOWL)


def pour(bowls: bool) -> Ratings:
    """Five assessors, four samples, three bowls or cups of each, about 15 % of values lost."""
    rng = np.random.default_rng(2)
    rows = [(i, j, k) for i in range(5) for j in range(4) for k in range(3) if rng.random() > 0.15]
    values = [rng.normal() + 0.3 * i for i, _, _ in rows]
    people, samples = [f"a{i}" for i, _, _ in rows], [f"s{j}" for _, j, _ in rows]
    return build_ratings(people, samples, values, [f"b{j}{k}" for _, j, k in rows] * bowls or None)


def differentiate_dense(ratings: Ratings, ratios, kinds) -> Slopes:
    sums = sum_panel(ratings)
    point = evaluate(sums, ratios)
    y = (ratings.value - sums.centres[ratings.sample]) / sums.unit
    effects = {
        ASSESSOR: np.eye(5)[ratings.assessor],
        CELL: np.eye(20)[ratings.assessor * 4 + ratings.sample],
    }
    if ratings.bowl is not None:
        effects[BOWL] = np.eye(12)[ratings.bowl]
    parts = {kind: z @ z.T for kind, z in effects.items()}
    v = point.error * (np.eye(len(y)) + sum(ratios[kind] * part for kind, part in parts.items()))
    x, inverse = np.eye(4)[ratings.sample], np.linalg.inv(v)
    p = inverse - inverse @ x @ np.linalg.inv(x.T @ inverse @ x) @ x.T @ inverse
    by = [parts[kind] for kind in kinds] + [np.eye(len(y))]
    expected = np.array([[np.trace(p @ one @ p @ other) / 2 for one in by] for other in by])
    forms = np.array([[y @ p @ one @ p @ other @ p @ y for one in by] for other in by])
    gradient = np.array([(y @ p @ one @ p @ y - np.trace(p @ one)) / 2 for one in by])
    return Slopes(gradient, forms - expected, expected)


@pytest.mark.parametrize(
    ("ratios", "kinds"),
    [
        ((1, 0.5, 0.3), ALL),
        ((0, 0, 0), ALL),
        ((3, 0, 2), ALL),
        ((3, 0, 2), (ASSESSOR, BOWL)),
        ((0, 2, 0), ALL),
        ((1, 0.5, 0), (ASSESSOR, CELL)),
        ((4, 0, 0), (ASSESSOR,)),
    ],
)
@pytest.mark.parametrize("bowls", [True, False])
def test_slopes_are_those_of_the_full_matrices(ratios, kinds, bowls):
    ratings, at = pour(bowls), np.array(ratios, dtype=float)
    if not bowls:
        at[BOWL], kinds = 0, tuple(kind for kind in kinds if kind != BOWL)
    sums = sum_panel(ratings)
    point = evaluate(sums, at)
    found, defined = (
        differentiate(sums, point, multiply(sums, point, kinds)),
        differentiate_dense(ratings, at, kinds),
    )
    for name in ("gradient", "observed", "expected"):
        assert getattr(found, name) == pytest.approx(getattr(defined, name), rel=1e-9, abs=1e-10)
