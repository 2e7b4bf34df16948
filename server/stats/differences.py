"""Differences between the means of samples: least significant ones, and every pair's."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from server.stats.checks import check_open_unit
from server.stats.letters import assign_letters
from server.stats.results import Interval
from server.stats.studentized_range import studentized_range_quantile, studentized_range_tail

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

NODES, WIDEST = 8, 4.0  # exact quantiles of a polynomial, over at most this range of df

UNEQUAL = (
    "The pairs have different standard errors, so that no one difference is the least "
    "significant; letters come from each pair's own test."
)


@dataclass(frozen=True)
class Pair:
    """Two samples compared.

    Attributes
    ----------
    first, second : int
        Their places among the means.
    difference : float
        First less second.
    se : float
        Its standard error.
    df : float
        Degrees of freedom of it.
    p_value : float
        Two-sided, by Student's t, as if this were the only pair.
    p_adjusted : float
        By the studentised range of all means (Tukey-Kramer).
    interval : Interval
        Of the difference, all pairs together at 1 - alpha.
    """

    first: int
    second: int
    difference: float
    se: float
    df: float
    p_value: float
    p_adjusted: float
    interval: Interval


@dataclass(frozen=True)
class Differences:
    """All pairs of means compared.

    Attributes
    ----------
    pairs : tuple of Pair
        In the order (0, 1), (0, 2), ..., (1, 2), ...
    lsd, hsd : float or None
        Least significant difference of one pair, and of all pairs together;
        None where standard errors differ.
    letters_lsd, letters_hsd : tuple of str
        Letters by either; two samples share one if and only if not told apart.
    alpha : float
    notes : tuple of str
    """

    pairs: tuple[Pair, ...]
    lsd: float | None
    hsd: float | None
    letters_lsd: tuple[str, ...]
    letters_hsd: tuple[str, ...]
    alpha: float
    notes: tuple[str, ...]


def compare_means(
    means: Sequence[float],
    se: "float | NDArray[np.float64]",
    df: "float | NDArray[np.float64]",
    alpha: float = 0.05,
) -> Differences:
    """Compare the means of samples pair by pair.

    Parameters
    ----------
    means : sequence of float, length J
        The means, 2 or more.
    se : float or ndarray of float, shape (J, J)
        Standard error of a difference, one for all pairs or each pair's own.
    df : float or ndarray of float, shape (J, J)
        Degrees of freedom of it, likewise.
    alpha : float
        Level, above 0 and below 1.

    Returns
    -------
    Differences

    Raises
    ------
    ValueError
        If there are fewer than two means, or a number is out of range.

    Notes
    -----
    LSD = t(1 - α/2; df) se; HSD = q(1 - α; J, df) se / √2, q being the quantile of
    the studentised range of J means [1]_. The first keeps α for one pair, so
    that among many pairs some come out by chance; the second keeps it for all.
    Where standard errors differ, each pair has q se / √2 of its own, which is
    known to err on the cautious side [2]_.

    References
    ----------
    .. [1] Tukey, J. W. (1953). The problem of multiple comparisons (from memory).
    .. [2] Kramer, C. Y. (1956). Extension of multiple range tests to group means
       with unequal numbers of replications. Biometrics, 12, 307-310; Hayter, A. J.
       (1984), Annals of Statistics, 12, 61-75, proves the cautious side.

    Examples
    --------
    >>> found = compare_means([7.5, 5.0, 6.9], se=0.6, df=15)
    >>> round(found.lsd, 4), round(found.hsd, 4), found.letters_hsd
    (1.2789, 1.5585, ('a', 'b', 'a'))
    """
    import numpy as np

    count = len(means)
    if count < 2:
        raise ValueError(f"means must be 2 or more, not {count}")
    check_open_unit("alpha", alpha)
    errors = np.broadcast_to(np.asarray(se, dtype=np.float64), (count, count))
    freedom = np.broadcast_to(np.asarray(df, dtype=np.float64), (count, count))
    places = [(one, other) for one in range(count) for other in range(one + 1, count)]
    for name, values in (("se", errors), ("df", freedom)):
        bad = [values[place] for place in places if not 0 < values[place] < np.inf]
        if bad:
            raise ValueError(f"{name} must be above 0 and finite, not {bad[0]}")
    quantiles = _find_quantiles([float(freedom[place]) for place in places], count, alpha)
    pairs = tuple(
        _compare(means, place, errors, freedom, quantile)
        for place, quantile in zip(places, quantiles, strict=True)
    )
    alike = len({(pair.se, pair.df) for pair in pairs}) == 1
    return Differences(
        pairs=pairs,
        lsd=_least(pairs[0], alpha) if alike else None,
        hsd=_least_of_all(pairs[0], count, alpha) if alike else None,
        letters_lsd=_letter(means, [pair.p_value <= alpha for pair in pairs]),
        letters_hsd=_letter(means, [pair.p_adjusted <= alpha for pair in pairs]),
        alpha=alpha,
        notes=() if alike else (UNEQUAL,),
    )


def _find_quantiles(freedom: Sequence[float], means: int, alpha: float) -> Sequence[float]:
    """Return the quantile of the studentised range for every pair's degrees of freedom.

    It is a smooth function of their inverse. Many pairs take it from a polynomial
    through a few exact values; over a narrow range nothing is lost by that.
    """
    import numpy as np

    inverse = 1 / np.array(freedom)
    if len(set(freedom)) <= NODES or inverse.max() > WIDEST * inverse.min():
        return [studentized_range_quantile(alpha, means, df) for df in freedom]
    nodes = np.polynomial.chebyshev.chebpts1(NODES)
    middle, half = (inverse.max() + inverse.min()) / 2, (inverse.max() - inverse.min()) / 2
    exact = [studentized_range_quantile(alpha, means, float(1 / x)) for x in middle + half * nodes]
    series = np.polynomial.chebyshev.chebfit(nodes, exact, NODES - 1)
    at = np.polynomial.chebyshev.chebval((inverse - middle) / half, series)
    return [float(quantile) for quantile in at]


def _compare(
    means: Sequence[float],
    place: tuple[int, int],
    errors: "NDArray[np.float64]",
    freedom: "NDArray[np.float64]",
    quantile: float,
) -> Pair:
    from scipy import special  # takes half a second to load

    first, second = place
    se, df = float(errors[place]), float(freedom[place])
    difference = float(means[first]) - float(means[second])
    t = abs(difference) / se
    reach = quantile * se / 2**0.5
    return Pair(
        first=first,
        second=second,
        difference=difference,
        se=se,
        df=df,
        p_value=float(2 * special.stdtr(df, -t)),
        p_adjusted=studentized_range_tail([2**0.5 * t], len(means), df)[0],
        interval=Interval(difference - reach, difference + reach),
    )


def _least(pair: Pair, alpha: float) -> float:
    from scipy import special  # takes half a second to load

    return float(special.stdtrit(pair.df, 1 - alpha / 2)) * pair.se


def _least_of_all(pair: Pair, means: int, alpha: float) -> float:
    return studentized_range_quantile(alpha, means, pair.df) * pair.se / 2**0.5


def _letter(means: Sequence[float], told_apart: list[bool]) -> tuple[str, ...]:
    import numpy as np

    differ = np.zeros((len(means), len(means)), dtype=np.bool_)
    differ[np.triu_indices(len(means), 1)] = told_apart
    return assign_letters(means, differ | differ.T)
