"""Ratings of one attribute by a panel, a row a value, and their cells."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

# Means that are equal on paper differ in their last bits; rounded so, they tie.
DECIMALS_OF_MEANS = 10


@dataclass(frozen=True, eq=False)
class Ratings:
    """One attribute rated by assessors on samples, in long form.

    Attributes
    ----------
    assessors, samples : tuple of str
        Labels, sorted.
    assessor, sample : ndarray of int, shape (n,)
        Who gave each value, on what; places in `assessors` and `samples`.
    value : ndarray of float, shape (n,)
        The values, all finite.
    bowls : tuple of str
        Labels of the shared bowls, sorted; empty if every assessor had own cups.
    bowl : ndarray of int, shape (n,), or None
        Which bowl each value is of; a bowl holds one sample.
    """

    assessors: tuple[str, ...]
    samples: tuple[str, ...]
    assessor: "NDArray[np.intp]"
    sample: "NDArray[np.intp]"
    value: "NDArray[np.float64]"
    bowls: tuple[str, ...] = ()
    bowl: "NDArray[np.intp] | None" = None

    def counts(self) -> "NDArray[np.intp]":
        """Return the number of values in every cell, shape (assessors, samples).

        Examples
        --------
        >>> build_ratings(["ann", "ann", "bo"], ["X", "X", "Y"], [1, 2, 3]).counts().tolist()
        [[2, 0], [0, 1]]
        """
        import numpy as np

        counts = np.zeros((len(self.assessors), len(self.samples)), dtype=np.intp)
        np.add.at(counts, (self.assessor, self.sample), 1)
        return counts

    def means(self) -> "NDArray[np.float64]":
        """Return the mean of every cell, shape (assessors, samples); NaN where it is empty.

        Notes
        -----
        Rounded to ten decimals, so that floating-point dust makes no false
        order among means that are equal.

        Examples
        --------
        >>> build_ratings(["ann", "ann", "ann"], ["X", "X", "X"], [0.1, 0.2, 0.3]).means().tolist()
        [[0.2]]
        """
        import numpy as np

        counts = self.counts()
        sums = np.zeros(counts.shape)
        np.add.at(sums, (self.assessor, self.sample), self.value)
        means = np.full(counts.shape, np.nan)
        np.divide(sums, counts, out=means, where=counts > 0)
        return np.asarray(np.round(means, DECIMALS_OF_MEANS), dtype=np.float64)

    def replicates(self) -> int | None:
        """Return how many values every cell holds; None if the cells differ.

        Examples
        --------
        >>> build_ratings(["ann", "ann"], ["X", "Y"], [1, 2]).replicates()
        1
        """
        counts = self.counts()
        return int(counts.flat[0]) if (counts == counts.flat[0]).all() else None


def build_ratings(
    assessors: Sequence[str],
    samples: Sequence[str],
    values: Sequence[float],
    bowls: Sequence[str] | None = None,
) -> Ratings:
    """Build ratings from rows of labels and values.

    Parameters
    ----------
    assessors, samples : sequence of str, length n
        Who gave each value, on which sample.
    values : sequence of float, length n
        The values; leave out what is missing.
    bowls : sequence of str, length n, optional
        Which shared bowl each value is of.

    Raises
    ------
    ValueError
        If there is no value, the lengths differ, a value is not finite, or a
        bowl holds two samples.

    Examples
    --------
    >>> ratings = build_ratings(["bo", "ann"], ["X", "X"], [3, 4.5])
    >>> ratings.assessors, ratings.assessor.tolist(), ratings.value.tolist()
    (('ann', 'bo'), [1, 0], [3.0, 4.5])
    """
    import numpy as np

    value = np.asarray(values, dtype=np.float64)
    if not len(value):
        raise ValueError("values must hold at least one value, not none")
    _check_lengths(len(value), assessors, samples, bowls)
    if not np.isfinite(value).all():
        raise ValueError(f"values must be finite, not {value[~np.isfinite(value)][0]}")
    people, assessor = _code(assessors)
    names, sample = _code(samples)
    if bowls is None:
        return Ratings(people, names, assessor, sample, value)
    vessels, bowl = _code(bowls)
    _check_bowls(vessels, bowl, sample)
    return Ratings(people, names, assessor, sample, value, vessels, bowl)


def _code(labels: Sequence[str]) -> "tuple[tuple[str, ...], NDArray[np.intp]]":
    import numpy as np

    names = sorted(set(labels))
    places = {name: place for place, name in enumerate(names)}
    return tuple(names), np.array([places[label] for label in labels], dtype=np.intp)


def _check_lengths(
    n: int, assessors: Sequence[str], samples: Sequence[str], bowls: Sequence[str] | None
) -> None:
    for name, column in (("assessors", assessors), ("samples", samples), ("bowls", bowls)):
        if column is not None and len(column) != n:
            raise ValueError(f"{name} must be as many as values ({n}), not {len(column)}")


def _check_bowls(
    vessels: tuple[str, ...], bowl: "NDArray[np.intp]", sample: "NDArray[np.intp]"
) -> None:
    held = set(zip(bowl.tolist(), sample.tolist(), strict=True))
    for place, name in enumerate(vessels):
        if sum(1 for vessel, _ in held if vessel == place) > 1:
            raise ValueError(f"bowls must hold one sample each, not several as {name!r} does")
