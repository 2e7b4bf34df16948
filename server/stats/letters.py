"""Letters beside means: two samples share one if and only if they are not told apart."""

import string
from collections.abc import Sequence
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

LETTERS = string.ascii_lowercase + string.ascii_uppercase


def assign_letters(means: Sequence[float], differ: "NDArray[np.bool_]") -> tuple[str, ...]:
    """Return the letters of every sample.

    Parameters
    ----------
    means : sequence of float, length J
        Means of the samples; the highest has the letter a.
    differ : ndarray of bool, shape (J, J)
        Which pairs were told apart; symmetric, its diagonal ignored.

    Returns
    -------
    tuple of str, length J
        Letters in alphabetical order, one or more a sample.

    Raises
    ------
    ValueError
        If `differ` does not fit the means or is not symmetric, or more than 52
        letters would be needed.

    Notes
    -----
    Insert and absorb [1]_: begin with one group of all; whenever a group holds
    two samples that differ, put in its place the two groups without the one and
    without the other; drop every group that another contains. It is right for
    any pattern of differences, also where standard errors are unequal and two
    neighbours differ although the means around them do not.

    References
    ----------
    .. [1] Piepho, H.-P. (2004). An algorithm for a letter-based representation
       of all-pairwise comparisons. Journal of Computational and Graphical
       Statistics, 13, 456-466.

    Examples
    --------
    >>> import numpy as np
    >>> differ = np.array([[0, 1, 0], [1, 0, 0], [0, 0, 0]], dtype=bool)
    >>> assign_letters([7.5, 5.0, 6.0], differ)
    ('a', 'b', 'ab')
    """
    _check(means, differ)
    order = sorted(range(len(means)), key=lambda place: -means[place])
    groups = [frozenset(order)]
    for at, one in enumerate(order):
        for other in order[at + 1 :]:
            if differ[one, other]:
                groups = _absorb(_insert(groups, one, other))
    ranks = {place: rank for rank, place in enumerate(order)}
    groups.sort(key=lambda group: sorted(ranks[place] for place in group))
    if len(groups) > len(LETTERS):
        raise ValueError(f"differ must need at most {len(LETTERS)} letters, not {len(groups)}")
    named = list(zip(LETTERS, groups, strict=False))
    return tuple(
        "".join(letter for letter, group in named if place in group) for place in range(len(means))
    )


def _insert(groups: list[frozenset[int]], one: int, other: int) -> list[frozenset[int]]:
    split = []
    for group in groups:
        both = one in group and other in group
        split += [group - {one}, group - {other}] if both else [group]
    return split


def _absorb(groups: list[frozenset[int]]) -> list[frozenset[int]]:
    distinct = set(groups)
    return [group for group in distinct if not any(group < larger for larger in distinct)]


def _check(means: Sequence[float], differ: "NDArray[np.bool_]") -> None:
    if differ.shape != (len(means), len(means)):
        raise ValueError(f"differ must be {len(means)} × {len(means)}, not {differ.shape}")
    if (differ != differ.T).any():
        raise ValueError("differ must be symmetric, and is not")
