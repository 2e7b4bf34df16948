"""Two answers of everybody: the sign test, and McNemar's, which is a sign test of changes."""

from dataclasses import dataclass

from server.stats.binomial import p_value
from server.stats.chi_square import build_chi_square
from server.stats.results import ChiSquare

NOBODY_DIFFERED = (
    "The chi-square tests are not estimable: nobody gave two different answers. "
    "The exact p-values are then 1."
)


@dataclass(frozen=True)
class SignTest:
    """A sign test.

    Attributes
    ----------
    plus, minus : int
        How many went the one way and the other; ties are left out.
    chi_square, corrected : ChiSquare or None
        Without and with the correction for continuity; two-sided.
    exact_one_sided : float
        Chance of `plus` or more if both ways are equally likely.
    exact_two_sided : float
        Twice the smaller tail, at most 1.
    notes : tuple of str
        Why something is None.
    """

    plus: int
    minus: int
    chi_square: ChiSquare | None
    corrected: ChiSquare | None
    exact_one_sided: float
    exact_two_sided: float
    notes: tuple[str, ...]


def compare_signs(plus: int, minus: int) -> SignTest:
    """Test whether one of two ways is taken more often than the other.

    Parameters
    ----------
    plus, minus : int
        How many went the one way and the other, 0 or more.

    Returns
    -------
    SignTest
        Chi-square and exact tests.

    Raises
    ------
    ValueError
        If a number is negative or not whole.

    Notes
    -----
    (plus - minus)² / (plus + minus) is McNemar's statistic [1]_ when `plus` and
    `minus` count those who changed their answer in either direction; with the
    correction, (|plus - minus| - 1)² in the numerator [2]_, 0 if they are equal.
    Its root is the corrected z of the sign test.

    References
    ----------
    .. [1] McNemar, Q. (1947). Note on the sampling error of the difference
       between correlated proportions or percentages. Psychometrika, 12, 153-157.
    .. [2] Edwards, A. L. (1948). Note on the "correction for continuity" in
       testing the significance of the difference between correlated
       proportions. Psychometrika, 13, 185-187.

    Examples
    --------
    >>> result = compare_signs(27, 13)
    >>> round(result.corrected.statistic, 6), round(result.exact_one_sided, 8)
    (4.225, 0.01923865)
    """
    _check_number("plus", plus)
    _check_number("minus", minus)
    n = plus + minus
    if not n:
        return SignTest(plus, minus, None, None, 1.0, 1.0, (NOBODY_DIFFERED,))
    apart = abs(plus - minus)
    return SignTest(
        plus=plus,
        minus=minus,
        chi_square=build_chi_square(apart * apart / n, 1),
        corrected=build_chi_square(max(0, apart - 1) ** 2 / n, 1),
        exact_one_sided=p_value(plus, n, 0.5),
        exact_two_sided=min(1.0, 2 * p_value(max(plus, minus), n, 0.5)),
        notes=(),
    )


def _check_number(name: str, value: int) -> None:
    if not isinstance(value, int) or isinstance(value, bool) or value < 0:
        raise ValueError(f"{name} must be a whole number, 0 or more, not {value}")
