"""Exact test of answers within assessors: each one's own servings and answers stay as they are."""

from collections.abc import Sequence
from typing import TYPE_CHECKING, NamedTuple

from server.stats.two_rates import count_chances

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray


class Layout(NamedTuple):
    """What one assessor was served and answered.

    Attributes
    ----------
    first, second : int
        Servings of either sample.
    yes : int
        Yes answers to both together.
    first_yes : int
        Yes answers to the first sample.
    """

    first: int
    second: int
    yes: int
    first_yes: int


def permutation_p(layouts: Sequence[Layout]) -> float:
    """Return the exact p-value of answers that follow the servings.

    Parameters
    ----------
    layouts : sequence of Layout
        One of every assessor, at least one.

    Returns
    -------
    float
        Chance of as many or more yes answers to the first sample in all, if
        every assessor's answers fell on the own servings at random.

    Raises
    ------
    ValueError
        If there is no layout, or its numbers do not fit together.

    Notes
    -----
    Fisher's tea-tasting argument [1]_: what was served and how often yes was said are
    fixed for each assessor, so that the first yes answers of one are hypergeometric
    and the total is a convolution. An assessor who says yes more readily than
    another, or answers several times, does no harm; nor does one who knows
    how many cups there are of each. If everybody gets one serving of each sample, it is the
    one-sided exact sign test of those who gave two different answers.

    References
    ----------
    .. [1] Fisher, R. A. (1935). The Design of Experiments, chapter 2.

    Examples
    --------
    >>> round(permutation_p([Layout(first=4, second=4, yes=4, first_yes=4)]) * 70, 10)
    1.0
    """
    observed = sum(layout.first_yes for layout in layouts)
    return min(1.0, float(permutation_chances(layouts)[observed:].sum()))


def permutation_chances(layouts: Sequence[Layout]) -> "NDArray[np.float64]":
    """Return the chance of every number of yes answers to the first sample, as `permutation_p`.

    Returns
    -------
    ndarray of float, shape (servings of the first sample + 1,)

    Raises
    ------
    ValueError
        If there is no layout, or its numbers do not fit together.

    Examples
    --------
    >>> permutation_chances([Layout(1, 1, 1, 0), Layout(1, 1, 1, 1)]).tolist()
    [0.25, 0.5, 0.25]
    """
    import numpy as np

    if not layouts:
        raise ValueError("layouts must hold at least one assessor, not none")
    total = np.ones(1)
    for layout in layouts:
        _check(layout)
        total = np.convolve(total, count_chances(layout.first, layout.second, layout.yes))
    return np.asarray(total, dtype=np.float64)


def _check(layout: Layout) -> None:
    least = max(0, layout.yes - layout.second)
    most = min(layout.first, layout.yes)
    served = min(layout.first, layout.second) >= 0 and layout.first + layout.second > 0
    if not (served and least <= layout.first_yes <= most):
        raise ValueError(f"layouts must hold numbers that fit together, not {tuple(layout)}")
