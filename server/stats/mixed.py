"""Ratings with gaps or shared bowls: samples tested in a mixed model fitted by REML."""

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from server.stats.anova import (
    COPIES,
    NO_INTERACTION,
    ONE_ASSESSOR,
    ONE_REPLICATE,
    ONE_SAMPLE,
    FTest,
)
from server.stats.checks import check_open_unit
from server.stats.copies import drop_copies
from server.stats.differences import Differences, compare_means
from server.stats.panel_sums import PanelSums, drop_repeats, forget_bowls, sum_panel
from server.stats.ratings import DECIMALS_OF_MEANS, Ratings
from server.stats.reml import ASSESSOR, BOWL, CELL
from server.stats.reml_fit import Fit, find_leftover, fit_reml, tell_apart
from server.stats.reml_tests import Uncertainty, compare_all, find_freedom, measure_uncertainty
from server.stats.results import Interval

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Array = NDArray[np.float64]

Freedom = Literal["satterthwaite", "kenward-roger"]
FREEDOMS: tuple[Freedom, ...] = ("satterthwaite", "kenward-roger")
NAMES = {ASSESSOR: "assessor", CELL: "assessor:sample", BOWL: "bowl"}
RESIDUAL = "residual"
NOTHING = 1e-12  # of the sum of squares within samples
SAME = 1e-8  # standard errors, or degrees of freedom, relatively closer are one number

DISCONNECTED = (
    "The samples fall into groups that no assessor connects, so that a difference between "
    "groups could be one between people: {} were never rated by anyone who rated {}."
)
TOO_FEW = (
    "There are too few values to test samples: none is left to show how far assessors differ "
    "about them."
)
CONSTANT = "Within every sample all values are the same: there is no variation to test against."
REPEATS_AGREE = (
    "Wherever an assessor gave a sample several values they are equal, to the last digit: "
    "each counts once."
)
NO_ERROR = "Samples cannot be tested: their effects leave nothing of the values unexplained."
THESE_BOWLS = (
    "Every sample came from one bowl: what the bowl did cannot be told from what the sample "
    "is, so that the test and the means speak of these bowls only."
)
NOT_SHARED = "No bowl was tasted by two assessors: the bowls count as everyone's own cups."
BOWLS_APART = "The bowls were shared too little for a variance of their own."
AT_ZERO = "A variance was estimated as 0, and the tests take it for 0: {}."
NOT_SETTLED = "The search for the most likely variances did not come to rest."
NO_WIDENED = "Too few degrees of freedom for the test by Kenward and Roger."


@dataclass(frozen=True)
class SampleMean:
    """The mean of a sample.

    Attributes
    ----------
    mean : float
        Of the model, every assessor counting as if nothing were missing; the
        plain mean if no model could be fitted.
    se, df : float or None
        Standard error for another panel, and its degrees of freedom.
    interval : Interval or None
        By Student's t, at 1 - alpha.
    """

    mean: float
    se: float | None
    df: float | None
    interval: Interval | None


@dataclass(frozen=True)
class MixedAnalysis:
    """A panel's ratings analysed by REML.

    What cannot be estimated is None and has a sentence in `notes`.

    Attributes
    ----------
    assessors, samples, bowls : tuple of str
        Labels; `bowls` is empty if none count as shared.
    values : int
        Number of values, copies counted once.
    freedom : {"satterthwaite", "kenward-roger"}
        How degrees of freedom were found.
    components : dict of str to float or None
        Variances of ``assessor``, ``assessor:sample``, ``bowl`` if bowls were
        given, and ``residual``; none below 0.
    log_likelihood : float or None
        The restricted one, means coded as such or as differences to a first one.
    sample_test : FTest or None
    means : tuple of SampleMean
        In the order of `samples`.
    differences : Differences or None
        All pairs, with letters.
    alpha : float
    notes : tuple of str
    """

    assessors: tuple[str, ...]
    samples: tuple[str, ...]
    bowls: tuple[str, ...]
    values: int
    freedom: Freedom
    components: dict[str, float | None]
    log_likelihood: float | None
    sample_test: FTest | None
    means: tuple[SampleMean, ...]
    differences: Differences | None
    alpha: float
    notes: tuple[str, ...]


def analyse_mixed(
    ratings: Ratings, alpha: float = 0.05, freedom: Freedom = "satterthwaite"
) -> MixedAnalysis:
    """Analyse ratings of which any may be missing, of own cups or of shared bowls.

    Parameters
    ----------
    ratings : Ratings
        One attribute.
    alpha : float
        One minus the level of the intervals, above 0 and below 1.
    freedom : {"satterthwaite", "kenward-roger"}
        How to find degrees of freedom; the second also widens standard errors.

    Returns
    -------
    MixedAnalysis

    Raises
    ------
    ValueError
        If `alpha` is out of range or `freedom` is neither.

    Notes
    -----
    Samples are fixed; assessors, assessor x sample and, where bowls were shared,
    bowls within samples are random, fitted together by restricted maximum
    likelihood [1]_. A shared bowl that went wrong is wrong for the whole panel:
    more people tasting it say nothing about the sample, more bowls do.

    With every cell equally full and no negative component this is the balanced
    analysis of variance. Where that has a negative interaction component, REML
    has 0 and pools interaction and error: a different F, on more degrees of
    freedom. Use `analyse_balanced` for balanced data of own cups.

    Standard errors of means here hold for another panel, so that they contain the
    differences between assessors; those of differences do not.

    References
    ----------
    .. [1] Patterson, H. D. & Thompson, R. (1971). Recovery of inter-block
       information when block sizes are unequal. Biometrika, 58, 545-554 (from
       memory).

    Examples
    --------
    >>> from server.stats.ratings import build_ratings
    >>> people, names = list("aabbccd"), ["X", "Y"] * 3 + ["X"]
    >>> found = analyse_mixed(build_ratings(people, names, [3, 5, 4, 7, 2, 3, 4]))
    >>> round(found.sample_test.f, 4), round(found.sample_test.df[1], 4)
    (12.0773, 2.266)
    >>> [round(one.mean, 4) for one in found.means]
    [3.25, 5.1899]
    """
    check_open_unit("alpha", alpha)
    if freedom not in FREEDOMS:
        raise ValueError(f"freedom must be one of {', '.join(FREEDOMS)}, not {freedom!r}")
    asked, (ratings, notes) = ratings, _prepare(ratings)
    sums = sum_panel(ratings)
    kinds, more = _choose_effects(ratings, sums)
    if kinds is None:
        return _describe(asked, ratings, sums, alpha, freedom, (*notes, *more))
    return _analyse(asked, ratings, sums, alpha, freedom, fit_reml(sums, kinds), (*notes, *more))


def _prepare(ratings: Ratings) -> tuple[Ratings, tuple[str, ...]]:
    """Drop what is no information: copies, and bowls that tell nothing of themselves."""
    notes: list[str] = []
    if ratings.bowl is not None:
        tasters = (sum_panel(ratings).counts > 0).sum(axis=0)
        if tasters.max() < 2:
            notes.append(NOT_SHARED if len(ratings.assessors) > 1 else ONE_ASSESSOR)
            ratings = forget_bowls(ratings)
        elif len(ratings.bowls) == len(ratings.samples):
            notes.append(THESE_BOWLS)
            ratings = forget_bowls(ratings)
    ratings, copies = drop_copies(ratings)
    if copies > 1:
        notes.append(COPIES.format(copies))
    sums = sum_panel(ratings)
    if sums.unit > 0 and sums.repeats <= sums.dust and sums.counts.max() > 1:
        notes.append(REPEATS_AGREE)
        ratings = drop_repeats(ratings)
    return ratings, tuple(notes)


def _choose_effects(
    ratings: Ratings, sums: PanelSums
) -> tuple[tuple[int, ...] | None, tuple[str, ...]]:
    """Return which effects the values can tell apart, or None and why samples have no test."""
    there = ratings.counts() > 0
    people, samples = there.shape
    if people == 1 or samples == 1:
        return None, ((ONE_ASSESSOR,) if people == 1 else ()) + ((ONE_SAMPLE,) * (samples == 1))
    apart = _find_unconnected(ratings.samples, there)
    if apart is not None:
        return None, (DISCONNECTED.format(*apart),)
    if sums.unit == 0:
        return None, (CONSTANT,)
    if there.sum() < people + samples:
        return None, (TOO_FEW,)
    bowls = ratings.bowl is not None
    kinds = _list_separable(sums, bowls)
    if kinds is None:
        return None, (TOO_FEW,)
    squares, df = find_leftover(sums, CELL in kinds, BOWL in kinds)
    if not df or squares <= NOTHING * sums.squares:
        return None, (NO_ERROR if CELL in kinds or bowls else NO_INTERACTION,)
    absent = ((ONE_REPLICATE,) * (CELL not in kinds)) + (
        (BOWLS_APART,) * (bowls and BOWL not in kinds)
    )
    return kinds, absent


def _list_separable(sums: PanelSums, bowls: bool) -> tuple[int, ...] | None:
    """Return the random effects of the fullest model that the values can tell apart."""
    models: tuple[tuple[int, ...], ...] = ((ASSESSOR, CELL), (ASSESSOR,))
    if bowls:
        models = ((ASSESSOR, CELL, BOWL), (ASSESSOR, BOWL), *models)
    return next((kinds for kinds in models if tell_apart(sums, kinds)), None)


def _find_unconnected(names: tuple[str, ...], there: "NDArray[np.bool_]") -> tuple[str, str] | None:
    """Return the samples that no chain of assessors connects to the first, and those it does."""
    reached = there[:, 0] @ there
    while (grown := (there & reached).any(axis=1) @ there).sum() > reached.sum():
        reached = grown
    if reached.all():
        return None
    apart = (name for name, at in zip(names, reached, strict=True) if not at)
    first = (name for name, at in zip(names, reached, strict=True) if at)
    return ", ".join(apart), ", ".join(first)


def _describe(
    asked: Ratings,
    ratings: Ratings,
    sums: PanelSums,
    alpha: float,
    freedom: Freedom,
    notes: tuple[str, ...],
) -> MixedAnalysis:
    """Return plain means where no model can be fitted."""
    return MixedAnalysis(
        assessors=ratings.assessors,
        samples=ratings.samples,
        bowls=ratings.bowls,
        values=sums.values,
        freedom=freedom,
        components=_list_components(asked, {}),
        log_likelihood=None,
        sample_test=None,
        means=tuple(SampleMean(float(mean), None, None, None) for mean in sums.centres),
        differences=None,
        alpha=alpha,
        notes=tuple(dict.fromkeys(notes)),
    )


def _analyse(
    asked: Ratings,
    ratings: Ratings,
    sums: PanelSums,
    alpha: float,
    freedom: Freedom,
    fit: Fit,
    notes: tuple[str, ...],
) -> MixedAnalysis:
    import math

    error = fit.point.error * sums.unit**2
    sizes = {NAMES[kind]: float(fit.point.ratios[kind]) * error for kind in fit.kinds}
    uncertainty = measure_uncertainty(fit, freedom == "kenward-roger")
    means = fit.point.means + sums.centres / sums.unit
    test = compare_all(uncertainty, means, sums.cells[0].sum(axis=0))
    zero = ", ".join(name for name, size in sizes.items() if size == 0)
    reasons = {
        AT_ZERO.format(zero): bool(zero),
        NO_WIDENED: test is None,
        NOT_SETTLED: not fit.settled,
    }
    shift = (sums.values - sums.samples) * math.log(sums.unit)
    return MixedAnalysis(
        assessors=ratings.assessors,
        samples=ratings.samples,
        bowls=ratings.bowls,
        values=sums.values,
        freedom=freedom,
        components=_list_components(asked, sizes | {RESIDUAL: error}),
        log_likelihood=fit.point.log_likelihood - shift,
        sample_test=test,
        means=_list_means(uncertainty, means, sums.unit, alpha),
        differences=_list_differences(uncertainty, means, sums.unit, alpha),
        alpha=alpha,
        notes=(*notes, *(sentence for sentence, holds in reasons.items() if holds)),
    )


def _list_components(asked: Ratings, sizes: dict[str, float]) -> dict[str, float | None]:
    kinds = (ASSESSOR, CELL) if asked.bowl is None else (ASSESSOR, CELL, BOWL)
    return {name: sizes.get(name) for name in (*(NAMES[kind] for kind in kinds), RESIDUAL)}


def _list_means(
    uncertainty: Uncertainty, means: "Array", unit: float, alpha: float
) -> tuple[SampleMean, ...]:
    import numpy as np
    from scipy import special  # takes half a second to load

    errors, freedom = find_freedom(uncertainty, np.eye(len(means)))
    reach = special.stdtrit(freedom, 1 - alpha / 2) * errors * unit
    rows = zip(
        (means * unit).tolist(),
        (errors * unit).tolist(),
        freedom.tolist(),
        reach.tolist(),
        strict=True,
    )
    return tuple(
        SampleMean(mean, se, df, Interval(mean - arm, mean + arm)) for mean, se, df, arm in rows
    )


def _list_differences(
    uncertainty: Uncertainty, means: "Array", unit: float, alpha: float
) -> Differences:
    import numpy as np

    samples = len(means)
    first, second = np.triu_indices(samples, 1)
    contrasts = np.eye(samples)[first] - np.eye(samples)[second]
    se, df = find_freedom(uncertainty, contrasts)
    errors, freedom = np.zeros((2, samples, samples))
    errors[first, second] = _drop_dust(se * unit)
    freedom[first, second] = _drop_dust(df)
    rounded = np.round(means * unit, DECIMALS_OF_MEANS).tolist()
    return compare_means(rounded, errors, freedom, alpha)


def _drop_dust(values: "Array") -> "list[float]":
    """Return values such that those equal on paper are equal."""
    import numpy as np

    if np.ptp(values) <= SAME * values.max():
        return [float(values.mean())] * len(values)
    return [float(f"{value:.10g}") for value in values]
