"""How each assessor works: telling samples apart, repeating, agreeing with the rest."""

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from server.stats.anova import DUST, FTest, Line, compare
from server.stats.copies import drop_copies
from server.stats.rankings import rank_row
from server.stats.ratings import Ratings
from server.stats.rest_of_panel import find_cell_means, find_rest, fit_additive

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

COPIES = "Every value stands {} times in its cell, as copies would: counted once."
ALONE = "One assessor: there is no rest of the panel to agree with."
TWO = (
    "With two assessors the interaction falls on both by arithmetic, and each is the rest of the "
    "other: neither can be said to differ from the panel."
)
SINGLE = "One value a cell: the share of the interaction holds repeat error too."
NO_INTERACTION = (
    "Nobody has a share of the interaction: all gave the same differences, to the last digit."
)
GAPS = "Gaps leave the samples not comparable across the panel: nobody has a level."

NO_REPEAT = "{} rated no sample twice: neither discrimination nor repeatability is estimable."
ONE_SAMPLE = "{} rated one sample only: discrimination and spread are not estimable."
EXACT = "{} repeated every value exactly: repeat error is 0, and discrimination has no F."
CONSTANT = "{} gave every sample the same mean: agreement with the rest is not estimable."
FEW = "{} shares fewer than two samples with a comparable rest of the panel: no agreement."
REST_CONSTANT = "The rest of the panel tells no sample apart: {} has nothing to agree with."
TWO_SAMPLES = "{} shares two samples with the rest: agreement can be nothing but 1 or -1."


@dataclass(frozen=True)
class Indicators:
    """How one assessor works, on one attribute.

    What cannot be estimated is None and has a sentence in `notes`.

    Attributes
    ----------
    discrimination : FTest or None
        Samples over this assessor's own repeat error.
    repeatability_mse, repeatability_sd : float or None
        Variance of repeated values within samples, and its root.
    agreement_r, agreement_rho : float or None
        Pearson and Spearman correlation of the assessor's sample means with
        those of all others, the assessor's own left out.
    slope, intercept : float or None
        Of the least-squares line of the own means on those of the others.
    shared_samples : int
        Samples that the four figures above come from.
    interaction : float
        The assessor's sum of squares in the interaction of assessor and sample.
    interaction_share : float or None
        Of that of all assessors; 0 to 1.
    level : float or None
        Mean of the assessor less that of the panel, on the same samples.
    spread : float or None
        Standard deviation of the assessor's sample means.
    notes : tuple of str
    """

    discrimination: FTest | None
    repeatability_mse: float | None
    repeatability_sd: float | None
    agreement_r: float | None
    agreement_rho: float | None
    slope: float | None
    intercept: float | None
    shared_samples: int
    interaction: float
    interaction_share: float | None
    level: float | None
    spread: float | None
    notes: tuple[str, ...]


@dataclass(frozen=True)
class Performance:
    """How the assessors of a panel work, on one attribute.

    Attributes
    ----------
    assessors : dict of str to Indicators
    notes : tuple of str
        On the panel as a whole; what concerns one assessor stands there.
    """

    assessors: dict[str, Indicators]
    notes: tuple[str, ...]


@dataclass(frozen=True)
class _Agreement:
    r: float | None
    rho: float | None
    slope: float | None
    intercept: float | None
    shared: int
    reason: str | None


def analyse_assessors(ratings: Ratings) -> Performance:
    """Describe how each assessor of a panel works.

    Parameters
    ----------
    ratings : Ratings
        One attribute; gaps and unequal numbers of values are allowed.

    Returns
    -------
    Performance

    Notes
    -----
    The indicators are those of ISO 11132 [1]_. Discrimination is a one-way
    analysis of variance of the assessor's own values, samples over repeats, so
    it needs repeats. Its F and p, with the error mean square beside them, are
    what the plot of p against mean square error shows [2]_. Agreement leaves
    the assessor's own values out of the panel it is compared with; with them
    in, small panels would agree with anybody. The sums of squares of the
    interaction are those of the two-way analysis, split by assessor.

    Without gaps, level and agreement are of plain means. With gaps, the panel's
    means come from the additive model of assessors and samples, so that nobody
    is blamed for having rated other samples.

    References
    ----------
    .. [1] ISO 11132:2021, 4.2 (an excerpt was read), names discrimination,
       agreement and repeatability; the formulas are common practice.
    .. [2] Næs, T. & Solheim, R. (1991); Lea, P., Næs, T. & Rødbotten, M. (1997),
       Analysis of Variance for Sensory Data (both from memory).

    Examples
    --------
    >>> from server.stats.ratings import build_ratings
    >>> people, names = ["ann"] * 4 + ["bo"] * 4 + ["cy"] * 4, ["X", "X", "Y", "Y"] * 3
    >>> values = [2, 3, 6, 7, 3, 3, 6, 8, 5, 6, 3, 4]
    >>> found = analyse_assessors(build_ratings(people, names, values)).assessors
    >>> round(found["ann"].discrimination.f, 6), found["cy"].agreement_r
    (32.0, -1.0)
    """
    ratings, copies = drop_copies(ratings)
    repeats = _split_by_assessor(ratings)
    crossed = fit_additive(find_cell_means(ratings), ratings.counts())
    squares = (ratings.counts() * crossed.residual**2).sum(axis=1)
    squares[squares <= _dust(ratings)] = 0.0
    total, levels = float(squares.sum()), _find_levels(ratings)
    means = ratings.means()
    found = {}
    for place, (name, rest) in enumerate(zip(ratings.assessors, find_rest(means), strict=True)):
        share = float(squares[place]) / total if total else None
        level = None if levels is None else float(levels[place])
        agreement = _agree(name, means[place], rest, alone=len(means) == 1)
        spread = _find_spread(means[place])
        found[name] = _collect(
            name, repeats[place], agreement, (float(squares[place]), share), (level, spread)
        )
    return Performance(found, _panel_notes(ratings, copies, total, levels is not None))


def _collect(
    name: str,
    repeats: tuple[Line, Line],
    agreement: _Agreement,
    interaction: tuple[float, float | None],
    scale_use: tuple[float | None, float | None],
) -> Indicators:
    between, within = repeats
    mse = within.mean_square
    return Indicators(
        discrimination=compare(between, within),
        repeatability_mse=mse,
        repeatability_sd=None if mse is None else math.sqrt(mse),
        agreement_r=agreement.r,
        agreement_rho=agreement.rho,
        slope=agreement.slope,
        intercept=agreement.intercept,
        shared_samples=agreement.shared,
        interaction=interaction[0],
        interaction_share=interaction[1],
        level=scale_use[0],
        spread=scale_use[1],
        notes=_notes(name, between, within, agreement),
    )


def _split_by_assessor(ratings: Ratings) -> list[tuple[Line, Line]]:
    """Return every assessor's own one-way table: between samples, and within."""
    import numpy as np

    counts, cells = ratings.counts(), find_cell_means(ratings)
    numbers = counts.sum(axis=1)
    own = (counts * cells).sum(axis=1) / numbers
    between = (counts * (cells - own[:, None]) ** 2).sum(axis=1)
    within, size = np.zeros(len(counts)), np.zeros(len(counts))
    np.add.at(within, ratings.assessor, (ratings.value - _spell(ratings, cells)) ** 2)
    np.add.at(size, ratings.assessor, ratings.value**2)
    above, below = (counts > 0).sum(axis=1) - 1, numbers - (counts > 0).sum(axis=1)
    return [
        (
            _build_line(between[place], above[place], size[place]),
            _build_line(within[place], below[place], size[place]),
        )
        for place in range(len(counts))
    ]


def _spell(ratings: Ratings, cells: "NDArray[np.float64]") -> "NDArray[np.float64]":
    """Return, for every value, the mean of its cell."""
    spelt: NDArray[np.float64] = cells[ratings.assessor, ratings.sample]
    return spelt


def _build_line(squares: float, df: int, size: float) -> Line:
    squares = 0.0 if squares <= DUST * size else float(squares)
    return Line(squares, int(df), squares / int(df) if df else None)


def _dust(ratings: Ratings) -> float:
    return DUST * float((ratings.value**2).sum())


def _find_levels(ratings: Ratings) -> "NDArray[np.float64] | None":
    """Return every assessor's level less the panel's, on an average sample."""
    fitted = fit_additive(find_cell_means(ratings), (ratings.counts() > 0).astype("f8"))
    if not fitted.connected:
        return None
    levels: NDArray[np.float64] = fitted.assessor - fitted.assessor.mean()
    return levels


def _find_spread(means: "NDArray[np.float64]") -> float | None:
    import numpy as np

    known = means[~np.isnan(means)]
    return float(known.std(ddof=1)) if len(known) > 1 else None


def _agree(
    name: str, means: "NDArray[np.float64]", rest: "NDArray[np.float64]", alone: bool
) -> _Agreement:
    """Compare an assessor's means with those of the rest of the panel."""
    import numpy as np

    shared = ~np.isnan(means) & ~np.isnan(rest)
    own, others = means[shared], rest[shared]
    number = len(own)
    if alone:
        return _Agreement(None, None, None, None, 0, None)
    if number < 2:
        return _Agreement(None, None, None, None, number, FEW.format(name))
    if np.ptp(others) == 0:
        return _Agreement(None, None, None, None, number, REST_CONSTANT.format(name))
    slope = _covary(own, others) / _covary(others, others)
    intercept = float(own.mean() - slope * others.mean())
    if np.ptp(own) == 0:
        return _Agreement(None, None, 0.0, float(own[0]), number, CONSTANT.format(name))
    r = _correlate(own, others)
    rho = _correlate(np.array(rank_row(own.tolist())), np.array(rank_row(others.tolist())))
    reason = TWO_SAMPLES.format(name) if number == 2 else None
    return _Agreement(r, rho, slope, intercept, number, reason)


def _covary(one: "NDArray[np.float64]", other: "NDArray[np.float64]") -> float:
    return float(((one - one.mean()) * (other - other.mean())).sum())


def _correlate(one: "NDArray[np.float64]", other: "NDArray[np.float64]") -> float:
    """Return Pearson's correlation; neither side is constant."""
    r = _covary(one, other) / math.sqrt(_covary(one, one) * _covary(other, other))
    return max(-1.0, min(1.0, float(r)))


def _notes(name: str, between: Line, within: Line, agreement: _Agreement) -> tuple[str, ...]:
    reasons = {
        NO_REPEAT: within.df == 0,
        ONE_SAMPLE: between.df == 0,
        EXACT: within.mean_square == 0,
    }
    told = [sentence.format(name) for sentence, holds in reasons.items() if holds]
    return tuple(told + ([agreement.reason] if agreement.reason else []))


def _panel_notes(ratings: Ratings, copies: int, total: float, connected: bool) -> tuple[str, ...]:
    people = len(ratings.assessors)
    reasons = {
        COPIES.format(copies): copies > 1,
        ALONE: people == 1,
        TWO: people == 2,
        SINGLE: bool((ratings.counts() <= 1).all()),
        NO_INTERACTION: total == 0,
        GAPS: not connected,
    }
    return tuple(sentence for sentence, holds in reasons.items() if holds)
