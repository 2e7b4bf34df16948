from itertools import combinations
from random import Random

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from server.blinding.efficiency import find_efficiency

PLANS = st.lists(st.sets(st.sampled_from("ABCDEF"), min_size=2).map(sorted), max_size=12)


def mean_variance(samples: str, groups: list[list[str]]) -> float | None:
    """Fit samples and servings by least squares and average the variances of differences."""
    rows = []
    for number, group in enumerate(groups):
        for name in group:
            row = np.zeros(len(samples) + len(groups))
            row[samples.index(name)] = row[len(samples) + number] = 1
            rows.append(row)
    design = np.array(rows or np.zeros((1, len(samples))))
    inverse = np.linalg.pinv(design.T @ design)
    variances = []
    for one, other in combinations(range(len(samples)), 2):
        contrast = np.zeros(design.shape[1])
        contrast[one], contrast[other] = 1, -1
        if not np.allclose(contrast @ inverse @ design.T @ design, contrast):
            return None
        variances.append(contrast @ inverse @ contrast)
    return float(np.mean(variances))


# Reference: least squares on the cups themselves by a general linear algebra library (numpy).
@given(PLANS)
def test_it_is_the_ratio_of_least_squares_variances(groups: list[list[str]]) -> None:
    variance = mean_variance("ABCDEF", groups)
    found = find_efficiency("ABCDEF", groups)
    if variance is None:
        assert found is None
    else:
        servings = sum(len(group) for group in groups) / 6
        assert found == pytest.approx(2 / servings / variance, rel=1e-9)


# λ t / (r k): Cochran and Cox 1957, section 11.1 (from memory).
@pytest.mark.parametrize(("samples", "size"), [(4, 2), (6, 3), (7, 5), (9, 4)])
def test_all_combinations_have_the_efficiency_of_a_balanced_design(samples: int, size: int) -> None:
    names = "ABCDEFGHI"[:samples]
    found = find_efficiency(names, list(combinations(names, size)))
    assert found == pytest.approx(samples * (size - 1) / (size * (samples - 1)), rel=1e-12)


@given(st.integers(2, 12), st.integers(1, 5))
def test_complete_servings_have_efficiency_one(samples: int, many: int) -> None:
    names = "ABCDEFGHIJKL"[:samples]
    assert find_efficiency(names, [names] * many) == pytest.approx(1, rel=1e-12)


@given(PLANS)
def test_it_is_never_above_one(groups: list[list[str]]) -> None:
    found = find_efficiency("ABCDEF", groups)
    assert found is None or 0 < found <= 1 + 1e-12


def test_samples_that_never_meet_through_others_cannot_be_compared() -> None:
    assert find_efficiency("ABCD", ["AB", "CD"]) is None
    assert find_efficiency("ABCD", ["AB", "CD", "BC"]) is not None


def test_many_samples_are_no_trouble() -> None:
    rng, names = Random(3), [str(n) for n in range(40)]
    found = find_efficiency(names, [rng.sample(names, 8) for _ in range(40)])
    assert found is not None
    assert 0.7 < found < 0.9
