"""The exact joint distribution of rank sums when every order is equally likely."""

import math
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise
from typing import TYPE_CHECKING

from server.stats.rankings import Row

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

MOST_ORDERS = 40_320  # of one assessor: eight samples without ties
MOST_ADDITIONS = 8_000_000  # of an order to rank sums, all assessors together: seconds
AT_ONCE = 500_000  # additions, so that memory stays small


@dataclass(frozen=True, eq=False)
class RankSums:
    """Sets of rank sums with their probabilities, samples not told apart.

    Attributes
    ----------
    sums : ndarray of int, shape (m, P)
        Doubled rank sums, ascending within a row, all rows different.
    chances : ndarray of float, shape (m,)
        Probability of each row; together 1.
    """

    sums: "NDArray[np.int64]"
    chances: "NDArray[np.float64]"


def find_rank_sums(rows: tuple[Row, ...]) -> RankSums | None:
    """Return the distribution of the rank sums of assessors who order at random.

    Parameters
    ----------
    rows : tuple of Row, length J
        Doubled ranks of every assessor; all with P samples.

    Returns
    -------
    RankSums or None
        None where it would take too long: more than 40,320 orders of one
        assessor, more than 8 million additions, or sums whose digits do not fit
        one number. Without ties it can be done for 3 samples up to 199
        assessors, for 4 up to 37, 5 up to 12, 6 up to 5, 7 up to 3, 8 up to 2.

    Notes
    -----
    The convolution, assessor by assessor, of all distinguishable orders of an
    assessor's ranks, each equally likely. As no sample is special then, sums
    that differ only in which sample has which are one: they are sorted and
    added up after every assessor. Ties stay those that were given: the
    distribution is conditional on them.

    Examples
    --------
    >>> found = find_rank_sums(((2, 4, 6), (2, 4, 6)))
    >>> found.sums.tolist()
    [[4, 8, 12], [4, 10, 10], [6, 6, 12], [6, 8, 10], [8, 8, 8]]
    >>> (6 * found.chances).round(10).tolist()
    [1.0, 1.0, 1.0, 2.0, 1.0]
    """
    return _find_sorted(tuple(sorted(rows)))


@lru_cache(maxsize=8)
def _find_sorted(rows: tuple[Row, ...]) -> RankSums | None:
    import numpy as np

    samples = len(rows[0])
    base = sum(row[-1] for row in rows) + 1
    if base ** (samples - 1) > 2**63 - 1 or any(_count_orders(row) > MOST_ORDERS for row in rows):
        return None
    place_values = base ** np.arange(samples - 2, -1, -1, dtype=np.int64)
    sums, chances = np.zeros((1, samples), dtype=np.int64), np.ones(1)
    additions = total = 0
    for row in rows:
        additions += len(sums) * _count_orders(row)
        if additions > MOST_ADDITIONS:
            return None
        keys, chances = _add_row(sums, chances, _list_orders(row), place_values)
        kept = keys[:, None] // place_values % base
        total += sum(row)
        sums = np.column_stack([kept, total - kept.sum(axis=1)])
    return RankSums(sums, chances)


def _count_orders(row: Row) -> int:
    ties = (math.factorial(count) for count in Counter(row).values())
    return math.factorial(len(row)) // math.prod(ties)


@lru_cache(maxsize=32)
def _list_orders(row: Row) -> "NDArray[np.int64]":
    """Return all distinguishable orders of an assessor's ranks, shape (orders, P)."""
    import numpy as np

    return np.array(list(_walk_orders(list(row))), dtype=np.int64)


def _walk_orders(row: list[int]) -> Iterator[tuple[int, ...]]:
    """Yield the orders of ascending numbers in lexical order, equal ones once."""
    while True:
        yield tuple(row)
        falls = [place for place, (one, other) in enumerate(pairwise(row)) if one < other]
        if not falls:
            return
        pivot = falls[-1]
        swap = max(place for place in range(pivot + 1, len(row)) if row[place] > row[pivot])
        row[pivot], row[swap] = row[swap], row[pivot]
        row[pivot + 1 :] = reversed(row[pivot + 1 :])


def _add_row(
    sums: "NDArray[np.int64]",
    chances: "NDArray[np.float64]",
    orders: "NDArray[np.int64]",
    place_values: "NDArray[np.int64]",
) -> "tuple[NDArray[np.int64], NDArray[np.float64]]":
    """Return the sums after one more assessor and their chances.

    All but the last sum of a set are one number, digits by place values.
    """
    import numpy as np

    parts = []
    step = max(1, AT_ONCE // len(orders))
    for start in range(0, len(sums), step):
        added = (sums[start : start + step, None, :] + orders).reshape(-1, sums.shape[1])
        added.sort(axis=1)
        weights = np.repeat(chances[start : start + step] / len(orders), len(orders))
        parts.append(_merge(added[:, :-1] @ place_values, weights))
    if len(parts) == 1:
        return parts[0]
    keys, weights = (np.concatenate(column) for column in zip(*parts, strict=True))
    return _merge(keys, weights)


def _merge(
    keys: "NDArray[np.int64]", weights: "NDArray[np.float64]"
) -> "tuple[NDArray[np.int64], NDArray[np.float64]]":
    import numpy as np

    unique, place = np.unique(keys, return_inverse=True)
    totals = np.bincount(place, weights, minlength=len(unique))
    return unique, np.asarray(totals, dtype=np.float64)
