"""Whether assessors order the samples alike: Kendall's W and rank correlations."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from server.stats.chi_square import build_chi_square
from server.stats.correlations import correlate_ranks, correlate_values
from server.stats.crossed import read_crossed
from server.stats.friedman import friedman_statistic
from server.stats.rankings import Rankings, build_rankings, rank_row, untied_rows
from server.stats.ratings import DECIMALS_OF_MEANS
from server.stats.results import ChiSquare

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from server.stats.crossed import Table

ONE_ASSESSOR = "Concordance is not estimable with one assessor."
ONE_SAMPLE = "Concordance is not estimable with one sample."
TOO_FEW_WHOLE = "Kendall's W is not estimable: fewer than two samples were rated by all assessors."
WHOLE_ONLY = "Kendall's W is of the {} of {} samples that all assessors rated."
ALL_TIED = "Kendall's W is not estimable: every assessor gave all samples the same value."
CONSTANT = (
    "{} gave the same value to every sample: without rank correlation, and for Kendall's W "
    "somebody who ties all of them."
)
NO_PAIR = "No two assessors have a rank correlation: none share two samples told apart by both."
SOME_PAIRS = "{} of {} pairs of assessors have no correlation and are left out of its mean."
NO_REST = "{}: no rank correlation with the rest of the panel, who do not tell apart what it does."


@dataclass(frozen=True)
class Concordance:
    """Agreement of assessors on the order of samples.

    What cannot be estimated is None and has a sentence in `notes`.

    Attributes
    ----------
    w : float or None
        Kendall's coefficient of concordance, 0 to 1, corrected for ties.
    w_uncorrected : float or None
        The same as if there were no ties.
    chi_square : ChiSquare or None
        Test of W above what random orders give: J (P - 1) W on P - 1 degrees
        of freedom; Friedman's statistic. Approximate: poor below six samples or assessors.
    mean_spearman, mean_pearson : float or None
        Mean correlation over pairs of assessors, of ranks and of values.
    with_rest : dict of str to float or None
        Spearman's correlation of each assessor with the mean of the others.
    samples : int
        P, the number of samples that W is of: those that all assessors rated.
    notes : tuple of str
    """

    w: float | None
    w_uncorrected: float | None
    chi_square: ChiSquare | None
    mean_spearman: float | None
    mean_pearson: float | None
    with_rest: dict[str, float | None]
    samples: int
    notes: tuple[str, ...]


def analyse_concordance(table: "Table", assessors: Sequence[str] | None = None) -> Concordance:
    """Find how far assessors order the samples alike.

    Parameters
    ----------
    table : ndarray or rows of float, shape (assessors, samples)
        One value a cell, such as `Ratings.means()`, or ranks; empty cells are NaN or None.
    assessors : sequence of str, optional
        Labels, all different; "1", "2", ... if left out.

    Returns
    -------
    Concordance

    Raises
    ------
    ValueError
        If `table` holds no value or an infinite one, or the labels do not fit.

    Notes
    -----
    W = 12 S / (J² (P³ - P) - J Σ (t³ - t)), S the squared deviations of the rank
    sums from their mean, t the sizes of the groups of ties [1]_. The mean rank
    correlation over pairs is (J W - 1) / (J - 1) without ties, and only nearly so
    with them, so it is computed pair by pair: from the samples that both rated,
    ranked anew. An assessor is compared with the mean of the others, self left
    out: with self included even random values would agree with the mean.

    References
    ----------
    .. [1] Kendall, M. G. & Gibbons, J. D. (1990). Rank Correlation Methods, 5th
       ed., chapter 6 (chapter from memory).

    Examples
    --------
    >>> found = analyse_concordance([[1, 2, 3], [1, 3, 2], [1, 2, 3]], ["ann", "bo", "cy"])
    >>> round(found.w, 6), round(found.mean_spearman, 6)
    (0.777778, 0.666667)
    >>> {name: round(r, 6) for name, r in found.with_rest.items()}
    {'ann': 0.866025, 'bo': 0.5, 'cy': 0.866025}
    """
    read = read_crossed(table)
    names = _name(assessors, len(read))
    if len(names) == 1 or read.shape[1] == 1:
        reason = ONE_ASSESSOR if len(names) == 1 else ONE_SAMPLE
        return Concordance(None, None, None, None, None, dict.fromkeys(names), 0, (reason,))
    correlations, rankings = correlate_ranks(read), _rank_whole(read, names)
    uncorrected, w, chi_square = _find_w(rankings)
    with_rest = {name: _correlate_with_rest(read, place) for place, name in enumerate(names)}
    return Concordance(
        w=w,
        w_uncorrected=uncorrected,
        chi_square=chi_square,
        mean_spearman=_mean_pair(correlations),
        mean_pearson=_mean_pair(correlate_values(read)),
        with_rest=with_rest,
        samples=len(rankings.samples) if rankings else 0,
        notes=tuple(_explain(read, names, (rankings, w), correlations, with_rest)),
    )


def _name(assessors: Sequence[str] | None, number: int) -> tuple[str, ...]:
    names = tuple(str(place + 1) for place in range(number)) if assessors is None else assessors
    if len(set(names)) != number or len(names) != number:
        raise ValueError(f"assessors must be {number} different labels, not {', '.join(names)}")
    return tuple(names)


def _rank_whole(read: "NDArray[np.float64]", names: Sequence[str]) -> Rankings | None:
    """Return the rankings of the samples that all assessors rated; None if below two."""
    import numpy as np

    whole = read[:, ~np.isnan(read).any(axis=0)]
    if whole.shape[1] < 2:
        return None
    return build_rankings([rank_row(row) for row in whole.tolist()], assessors=names)


def _find_w(rankings: Rankings | None) -> tuple[float | None, float | None, ChiSquare | None]:
    """Return W without and with the correction for ties, and its test."""
    if rankings is None:
        return None, None, None
    sums, people, samples = rankings.rank_sums(), len(rankings.assessors), len(rankings.samples)
    statistic = friedman_statistic(sums, rankings.rows())
    raw = friedman_statistic(sums, untied_rows(people, samples))
    if statistic is None or raw is None:
        return None, None, None
    most = people * (samples - 1)
    return raw / most, min(1.0, statistic / most), build_chi_square(statistic, samples - 1)


def _mean_pair(correlations: "NDArray[np.float64]") -> float | None:
    import numpy as np

    pairs = correlations[np.triu_indices(len(correlations), 1)]
    known = pairs[~np.isnan(pairs)]
    return float(known.mean()) if len(known) else None


def _correlate_with_rest(read: "NDArray[np.float64]", place: int) -> float | None:
    import numpy as np

    others = np.delete(read, place, axis=0)
    counts = (~np.isnan(others)).sum(axis=0)
    rest = np.full(read.shape[1], np.nan)
    np.divide(np.nansum(others, axis=0), counts, out=rest, where=counts > 0)
    rest = np.round(rest, DECIMALS_OF_MEANS)
    found = float(correlate_ranks(np.stack([read[place], rest]))[0, 1])
    return None if math.isnan(found) else found


def _explain(
    read: "NDArray[np.float64]",
    names: Sequence[str],
    found: tuple[Rankings | None, float | None],
    correlations: "NDArray[np.float64]",
    with_rest: dict[str, float | None],
) -> Iterator[str]:
    """Yield a sentence for what is None or was left out."""
    import numpy as np

    rankings, w = found
    if rankings is None:
        yield TOO_FEW_WHOLE
    elif w is None:
        yield ALL_TIED
    elif len(rankings.samples) < read.shape[1]:
        yield WHOLE_ONLY.format(len(rankings.samples), read.shape[1])
    pairs = np.isnan(correlations[np.triu_indices(len(names), 1)])
    if pairs.any():
        yield NO_PAIR if pairs.all() else SOME_PAIRS.format(int(pairs.sum()), len(pairs))
    constant = np.nanmax(read, axis=1) == np.nanmin(read, axis=1)
    for name, alike in zip(names, constant, strict=True):
        if with_rest[name] is None:
            yield (CONSTANT if alike else NO_REST).format(name)
