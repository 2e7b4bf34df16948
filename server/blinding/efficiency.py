"""Efficiency of serving orders: how precisely samples are compared within them."""

from collections.abc import Sequence

Group = Sequence[str]


def find_efficiency(samples: Sequence[str], groups: Sequence[Group]) -> float | None:
    """Return the average efficiency factor of a plan.

    Parameters
    ----------
    samples : sequence of str
        All samples t, at least 2.
    groups : sequence of sequence of str
        The samples of each serving, in any order and number.

    Returns
    -------
    float or None
        Variance of a difference of two samples with complete servings, over the same
        with these and as many cups, differences of servings taken out; on average over
        all pairs. 1 for complete servings. Nothing if a pair cannot be compared.

    Notes
    -----
    The samples' information matrix is C = diag(r) - Σ J / k over the servings. Its
    inverse on contrasts gives an average variance of 2 σ² tr(C⁺) / (t - 1), against
    2 σ² / r in complete blocks [1]_; with unequal servings their mean is taken as r.
    In a balanced design it is λ t / (r k). C⁺ is (C + J / t)⁻¹ - J / t.

    References
    ----------
    .. [1] J. A. John and E. R. Williams, Cyclic and Computer Generated Designs (1995),
       sections 1.4 and 2.2 (from memory).

    Examples
    --------
    >>> round(find_efficiency("ABC", ["AB", "AC", "BC"]), 12)
    0.75
    >>> find_efficiency("ABCD", ["AB", "CD"]) is None
    True
    """
    if not _is_connected(samples, groups):
        return None
    many = len(samples)
    place = {name: number for number, name in enumerate(samples)}
    matrix = [[1 / many] * many for _ in samples]
    for group in groups:
        for one in group:
            row = matrix[place[one]]
            row[place[one]] += 1
            for other in group:
                row[place[other]] -= 1 / len(group)
    mean_servings = sum(len(group) for group in groups) / many
    return (many - 1) / (mean_servings * (_trace_of_inverse(matrix) - 1))


def _is_connected(samples: Sequence[str], groups: Sequence[Group]) -> bool:
    """Say whether any two samples are tied together by servings that share samples."""
    parts: list[set[str]] = [{name} for name in samples]
    for group in groups:
        apart = [part for part in parts if part.isdisjoint(group)]
        joined = set().union(*(part for part in parts if not part.isdisjoint(group)))
        parts = [*apart, joined]
    return len(parts) == 1


def _trace_of_inverse(matrix: Sequence[Sequence[float]]) -> float:
    """Return the trace of the inverse of a positive definite matrix (Gauss and Jordan)."""
    size = len(matrix)
    rows = [[*row, *(float(n == place) for n in range(size))] for place, row in enumerate(matrix)]
    for column in range(size):
        own = [value / rows[column][column] for value in rows[column]]
        rows = [
            own
            if place == column
            else [value - row[column] * base for value, base in zip(row, own, strict=True)]
            for place, row in enumerate(rows)
        ]
    return sum(rows[place][size + place] for place in range(size))
