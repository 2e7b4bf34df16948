"""Agreement on categories: Fleiss' κ with its test, and AC1, which rare categories upset less."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from server.stats.crossed import read_crossed

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from server.stats.crossed import Table

    Counts = NDArray[np.intp] | Sequence[Sequence[int]]

ONE_CATEGORY = "κ is not estimable: all answers fell into one category, so none could disagree."
UNUSED = "No κ for category {}: {} answers fell into it."
ONE_NAMED = "AC1 is not estimable with one category: none could disagree."
NO_PAIR = "AC1 is not estimable: no subject was judged by two assessors."


@dataclass(frozen=True)
class Fleiss:
    """Fleiss' κ of n subjects sorted by m assessors each.

    What cannot be estimated is None and has a sentence in `notes`.

    Attributes
    ----------
    value : float or None
        1 for full agreement, 0 for what chance gives.
    observed, expected : float
        Share of agreeing pairs, and what chance gives.
    by_category : tuple of float or None
        κ of each category against all others together.
    se : float or None
        Standard error of `value` if there is no agreement beyond chance; so for
        tests, not for intervals.
    z, p_value : float or None
        `value` over `se`, and the one-sided chance of as much agreement or more.
    se_by_category : float
        Standard error, under the same hypothesis, of each of `by_category`.
    notes : tuple of str
    """

    value: float | None
    observed: float
    expected: float
    by_category: tuple[float | None, ...]
    se: float | None
    z: float | None
    p_value: float | None
    se_by_category: float
    notes: tuple[str, ...]


@dataclass(frozen=True)
class ChanceCorrected:
    """AC1.

    Attributes
    ----------
    value : float or None
    observed, expected : float or None
        Share of agreeing pairs, and what chance gives.
    notes : tuple of str
        Why it is None.
    """

    value: float | None
    observed: float | None
    expected: float | None
    notes: tuple[str, ...]


def analyse_fleiss(counts: "Counts") -> Fleiss:
    """Find Fleiss' κ.

    Parameters
    ----------
    counts : ndarray or rows of int, shape (n, categories)
        How many assessors put each subject into each category; every row adds up
        to the same m, 2 or more.

    Returns
    -------
    Fleiss

    Raises
    ------
    ValueError
        If `counts` is no table, has a negative or broken number, or its rows add
        up to different numbers or to fewer than 2.

    Notes
    -----
    κ = (P - P_e) / (1 - P_e), P the mean share of agreeing pairs, P_e = Σ p_j² [1]_. The
    standard error without agreement is that of [2]_, not of [1]_, which is wrong:
    √2 / (Σ p q √(n m (m - 1))) √((Σ p q)² - Σ p q (q - p)), and √(2 / (n m (m - 1))) for
    one category.

    References
    ----------
    .. [1] Fleiss, J. L. (1971). Measuring nominal scale agreement among many
       raters. Psychological Bulletin, 76, 378-382.
    .. [2] Fleiss, J. L., Nee, J. C. M. & Landis, J. R. (1979). Large sample
       variance of kappa in the case of different sets of raters. Psychological
       Bulletin, 86, 974-977.

    Examples
    --------
    >>> found = analyse_fleiss([[3, 0], [0, 3], [2, 1]])
    >>> round(found.value, 6), round(found.observed, 6)
    (0.55, 0.777778)
    """
    read = _read_counts(counts)
    subjects, judges = len(read), _find_judges(read)
    pairs = subjects * judges * (judges - 1)
    shares = read.sum(axis=0) / (subjects * judges)
    observed = float((read * (read - 1)).sum() / pairs)
    expected = float((shares**2).sum())
    se_one = math.sqrt(2 / pairs)
    by_category, notes = _split_categories(read, judges)
    if (read.sum(axis=0) > 0).sum() == 1:
        notes = (ONE_CATEGORY, *notes)
        return Fleiss(None, observed, expected, by_category, None, None, None, se_one, notes)
    value = (observed - expected) / (1 - expected)
    se = _find_se(shares, se_one)
    z = value / se
    p_value = math.erfc(z / math.sqrt(2)) / 2
    return Fleiss(value, observed, expected, by_category, se, z, p_value, se_one, notes)


def find_ac1(counts: "Counts") -> ChanceCorrected:
    """Find AC1, a chance-corrected agreement that stays high where nearly all answers agree.

    Parameters
    ----------
    counts : ndarray or rows of int, shape (n, categories)
        How many assessors put each subject into each category; rows may add up to
        different numbers. A column counts as a category also if it is empty.

    Returns
    -------
    ChanceCorrected

    Raises
    ------
    ValueError
        If `counts` is no table, or has a negative or broken number.

    Notes
    -----
    (P - P_e) / (1 - P_e): P is the mean share of agreeing pairs over subjects with two
    answers or more, P_e = Σ π (1 - π) / (Q - 1), π the mean over all answered subjects of
    the share of their answers in a category, Q the number of categories [1]_.

    References
    ----------
    .. [1] Gwet, K. L. (2008). Computing inter-rater reliability and its variance
       in the presence of high agreement. British Journal of Mathematical and
       Statistical Psychology, 61, 29-48.

    Examples
    --------
    >>> round(find_ac1([[3, 0], [0, 3], [2, 1]]).value, 6)
    0.560976
    """
    read = _read_counts(counts)
    if read.shape[1] == 1:
        return ChanceCorrected(None, None, None, (ONE_NAMED,))
    totals = read.sum(axis=1)
    paired, judged = read[totals > 1], read[totals > 0]
    if not len(paired):
        return ChanceCorrected(None, None, None, (NO_PAIR,))
    judges = totals[totals > 1]
    observed = float(((paired * (paired - 1)).sum(axis=1) / (judges * (judges - 1))).mean())
    shares = (judged / totals[totals > 0][:, None]).mean(axis=0)
    expected = float((shares * (1 - shares)).sum() / (read.shape[1] - 1))
    return ChanceCorrected((observed - expected) / (1 - expected), observed, expected, ())


def count_categories(table: "Table") -> "tuple[tuple[float, ...], NDArray[np.intp]]":
    """Count how many assessors put each sample into each category.

    Parameters
    ----------
    table : ndarray or rows of float, shape (assessors, samples)
        A number for each category; empty cells are NaN or None.

    Returns
    -------
    categories : tuple of float
        The numbers that occur, ascending.
    counts : ndarray of int, shape (samples, categories)

    Raises
    ------
    ValueError
        If `table` holds no value or an infinite one.

    Examples
    --------
    >>> categories, counts = count_categories([[1, 2, 2], [1, 5, None]])
    >>> categories, counts.tolist()
    ((1.0, 2.0, 5.0), [[2, 0, 0], [0, 1, 1], [0, 1, 0]])
    """
    import numpy as np

    read = read_crossed(table)
    categories = np.unique(read[~np.isnan(read)])
    counts = (read[:, :, None] == categories).sum(axis=0)
    return tuple(categories.tolist()), np.asarray(counts, dtype=np.intp)


def _read_counts(counts: "Counts") -> "NDArray[np.intp]":
    import numpy as np

    read = np.asarray(counts, dtype=np.float64)
    if read.ndim != 2 or not read.size:
        raise ValueError(f"counts must have subjects and categories, not the shape {read.shape}")
    wrong = read[~((read >= 0) & (read == np.floor(read)) & np.isfinite(read))]
    if len(wrong):
        raise ValueError(f"counts must be whole numbers of 0 or more, not {wrong[0]}")
    return read.astype(np.intp)


def _find_judges(read: "NDArray[np.intp]") -> int:
    totals = read.sum(axis=1)
    low, high = int(totals.min()), int(totals.max())
    if low != high or low < 2:
        told = f"{low} to {high}" if low != high else low
        raise ValueError(f"counts must add up to one number, 2 or more, in every row, not {told}")
    return low


def _split_categories(
    read: "NDArray[np.intp]", judges: int
) -> tuple[tuple[float | None, ...], tuple[str, ...]]:
    """Return κ of each category against the rest, and why one has none."""
    found: list[float | None] = []
    notes = []
    answers = int(read.sum())
    for place, column in enumerate(read.T):
        inside = int(column.sum())
        if inside in (0, answers):
            found.append(None)
            notes.append(UNUSED.format(place + 1, "all" if inside else "no"))
            continue
        apart = int((column * (judges - column)).sum())
        share = inside / answers
        found.append(1 - apart / (answers * (judges - 1) * share * (1 - share)))
    return tuple(found), tuple(notes)


def _find_se(shares: "NDArray[np.float64]", se_one: float) -> float:
    mixed = shares * (1 - shares)
    whole = float(mixed.sum())
    return se_one / whole * math.sqrt(whole**2 - float((mixed * (1 - 2 * shares)).sum()))
