"""Copied rows found and counted once: degrees of freedom do not come from a copier."""

from server.stats.ratings import Ratings
from server.stats.subsets import keep_rows


def drop_copies(ratings: Ratings) -> tuple[Ratings, int]:
    """Return the ratings with copies counted once, and how many copies there were.

    Parameters
    ----------
    ratings : Ratings

    Returns
    -------
    Ratings
        The same object if nothing was copied.
    int
        How often every row stands there; 1 if not copied.

    Notes
    -----
    The greatest m such that every value of every cell (and bowl) stands there a
    multiple of m times. A panel that repeated each of its values to the digit
    looks the same, and is read as one replicate.

    Examples
    --------
    >>> from server.stats.ratings import build_ratings
    >>> twice = build_ratings(["ann", "bo"] * 2, ["X", "X"] * 2, [4, 6] * 2)
    >>> once, copies = drop_copies(twice)
    >>> once.value.tolist(), copies
    ([4.0, 6.0], 2)
    """
    import numpy as np

    columns = [ratings.assessor, ratings.sample, ratings.value]
    if ratings.bowl is not None:
        columns.append(ratings.bowl)
    order = np.lexsort(columns)
    rows = np.column_stack(columns)[order]
    begins = np.flatnonzero(np.r_[True, (rows[1:] != rows[:-1]).any(axis=1)])
    lengths = np.diff(np.r_[begins, len(rows)])
    copies = int(np.gcd.reduce(lengths))
    if copies == 1:
        return ratings, 1
    within = np.arange(len(rows)) - np.repeat(begins, lengths)
    return keep_rows(ratings, np.sort(order[within % copies == 0])), copies
