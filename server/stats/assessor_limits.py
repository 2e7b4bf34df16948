"""How sure one assessor's discrimination, repeatability and agreement are: their limits."""

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace

from server.stats.anova import FTest
from server.stats.assessors import Indicators, analyse_assessors
from server.stats.checks import check_open_unit
from server.stats.copies import drop_copies
from server.stats.crossings import find_crossing
from server.stats.ratings import Ratings
from server.stats.results import Interval

LEAST_SHARED = 4  # samples; with three, the standard error 1/√(n - 3) is infinite

FEW_SHARED = "{}: agreement has no limits on {} shared samples; it takes four."
TOO_ALIKE = "{}: sample means are more alike than own repeats allow: telling apart has no limits."
PERFECT = "{}: agreement has no limits at r = {:.0f} exactly."
REPEATED_EXACTLY = "{}: the repeat error came out 0, of which there are no limits."


@dataclass(frozen=True)
class Estimate:
    """A value and its two-sided limits.

    Attributes
    ----------
    value : float
    interval : Interval or None
        None where there are no limits.
    """

    value: float
    interval: Interval | None


@dataclass(frozen=True)
class AssessorLimits:
    """What one assessor's work on one attribute says, and how surely.

    What cannot be estimated is None and has a sentence in `notes`.

    Attributes
    ----------
    discrimination : Estimate or None
        Share of the variance of the assessor's scores that goes with the samples.
    repeatability : Estimate or None
        Standard deviation of repeated values, in units of the scale.
    agreement : Estimate or None
        Correlation with the rest of the panel.
    notes : tuple of str
    """

    discrimination: Estimate | None
    repeatability: Estimate | None
    agreement: Estimate | None
    notes: tuple[str, ...]


def limit_assessors(ratings: Ratings, alpha: float = 0.05) -> dict[str, AssessorLimits]:
    """Return the three figures of every assessor with their limits.

    Parameters
    ----------
    ratings : Ratings
        One attribute.
    alpha : float
        One minus the level of the limits, above 0 and below 1.

    Returns
    -------
    dict of str to AssessorLimits
        By assessor. Every assessor is looked at alone: where one of twelve lies
        outside, chance may be why.

    Raises
    ------
    ValueError
        If `alpha` is out of range.

    Examples
    --------
    >>> from server.stats.ratings import build_ratings
    >>> people, names = ["ann"] * 4 + ["bo"] * 4, ["X", "X", "Y", "Y"] * 2
    >>> found = limit_assessors(build_ratings(people, names, [2, 3, 6, 7, 3, 3, 6, 8]))
    >>> [round(limit, 3) for limit in found["ann"].repeatability.interval]
    [0.368, 4.444]
    """
    check_open_unit("alpha", alpha)
    once, _ = drop_copies(ratings)
    counts = once.counts()
    spare = (counts.sum(axis=1) - (counts > 0).sum(axis=1)).tolist()
    found = analyse_assessors(ratings).assessors
    return {
        name: _limit(name, one, df, alpha)
        for (name, one), df in zip(found.items(), spare, strict=True)
    }


def limit_discrimination(test: FTest, alpha: float = 0.05) -> Estimate:
    """Return the share of variance that goes with the samples, from F.

    Parameters
    ----------
    test : FTest
        One-way analysis of variance, samples over repeats.
    alpha : float
        One minus the level of the limits.

    Returns
    -------
    Estimate
        From 0 to 1. Its value is where F would come out as often higher as lower.
        Without limits if F is smaller than chance alone would make it.

    Raises
    ------
    ValueError
        If `alpha` is out of range.

    Notes
    -----
    F is noncentral with λ = N s / (1 - s) for the share s of N values' variance;
    the limits are the s at which F lies on the upper and the lower α/2 point, 0
    where there is none [1]_. The usual share of the sum of squares would be far
    above s with few repeats: it counts noise between the samples' means.

    References
    ----------
    .. [1] Steiger, J. H. (2004). Beyond the F test: Effect size confidence
       intervals and tests of close fit in the analysis of variance and contrast
       analysis. Psychological Methods, 9, 164-182.

    Examples
    --------
    >>> found = limit_discrimination(FTest(5.0, (3, 76), 0.003))
    >>> round(found.value, 4), [round(limit, 4) for limit in found.interval]
    (0.1386, [0.0228, 0.2893])
    """
    check_open_unit("alpha", alpha)
    low, middle, high = (_find_share(test, area) for area in (1 - alpha / 2, 0.5, alpha / 2))
    return Estimate(middle, Interval(low, high) if high else None)


def limit_repeatability(mean_square: float, df: int, alpha: float = 0.05) -> Estimate:
    """Return the standard deviation of repeated values.

    Parameters
    ----------
    mean_square : float
        Their variance, 0 or more.
    df : int
        Its degrees of freedom, 1 or more.
    alpha : float
        One minus the level of the limits.

    Returns
    -------
    Estimate
        Without limits if the variance is 0: chi-square would make them 0 too.

    Raises
    ------
    ValueError
        If an argument is out of range.

    Notes
    -----
    From the quantiles of chi-square, s √(df / χ²) [1]_. They lean on normal
    errors; on a scale with few steps they are rough.

    References
    ----------
    .. [1] Snedecor, G. W. & Cochran, W. G. (1967). Statistical Methods, 6th
       edition, section 3.13 (section from memory).

    Examples
    --------
    >>> [round(limit, 4) for limit in limit_repeatability(1.0, 9).interval]
    [0.6878, 1.8256]
    """
    from scipy import special  # takes half a second to load

    check_open_unit("alpha", alpha)
    if df < 1:
        raise ValueError(f"df must be 1 or more, not {df}")
    if not mean_square >= 0:
        raise ValueError(f"mean_square must be 0 or more, not {mean_square}")
    sd = math.sqrt(mean_square)
    if not sd:
        return Estimate(0.0, None)
    low, high = (sd * math.sqrt(df / special.chdtri(df, p)) for p in (alpha / 2, 1 - alpha / 2))
    return Estimate(sd, Interval(float(low), float(high)))


def limit_agreement(r: float, samples: int, alpha: float = 0.05) -> Estimate:
    """Return a correlation with its limits.

    Parameters
    ----------
    r : float
        From -1 to 1.
    samples : int
        How many samples it is from.
    alpha : float
        One minus the level of the limits.

    Returns
    -------
    Estimate
        Without limits for fewer than four samples, or r of 1 or -1.

    Raises
    ------
    ValueError
        If `r` or `alpha` is out of range.

    Notes
    -----
    By Fisher's z = artanh r with standard error 1/√(n - 3) [1]_: approximate, and
    wide for the few samples of one table.

    References
    ----------
    .. [1] Fisher, R. A. (1921). On the "probable error" of a coefficient of
       correlation deduced from a small sample. Metron, 1, 3-32.

    Examples
    --------
    >>> [round(limit, 3) for limit in limit_agreement(0.56, 60).interval]
    [0.357, 0.713]
    """
    from scipy import special  # takes half a second to load

    check_open_unit("alpha", alpha)
    if not -1 <= r <= 1:
        raise ValueError(f"r must be from -1 to 1, not {r}")
    if samples < LEAST_SHARED or abs(r) == 1:
        return Estimate(r, None)
    reach = float(special.ndtri(1 - alpha / 2)) / math.sqrt(samples - 3)
    z = math.atanh(r)
    return Estimate(r, Interval(math.tanh(z - reach), math.tanh(z + reach)))


def _limit(name: str, one: Indicators, df: int, alpha: float) -> AssessorLimits:
    mse, r, test = one.repeatability_mse, one.agreement_r, one.discrimination
    found = AssessorLimits(
        discrimination=None if test is None else limit_discrimination(test, alpha),
        repeatability=None if mse is None else limit_repeatability(mse, df, alpha),
        agreement=None if r is None else limit_agreement(r, one.shared_samples, alpha),
        notes=one.notes,
    )
    return replace(found, notes=(*one.notes, *_note(name, found, one.shared_samples)))


def _note(name: str, found: AssessorLimits, samples: int) -> Iterator[str]:
    """Yield why a value has no limits."""
    if found.discrimination and not found.discrimination.interval:
        yield TOO_ALIKE.format(name)
    if found.repeatability and not found.repeatability.interval:
        yield REPEATED_EXACTLY.format(name)
    if found.agreement and not found.agreement.interval:
        few = samples < LEAST_SHARED
        yield (
            FEW_SHARED.format(name, samples) if few else PERFECT.format(name, found.agreement.value)
        )


def _find_share(test: FTest, area: float) -> float:
    """Return the share at which so much of F's distribution lies below the F observed."""
    from scipy import special  # takes half a second to load

    above, below = test.df
    values = above + below + 1
    if float(special.fdtr(above, below, test.f)) <= area:
        return 0.0

    def left(share: float) -> float:
        if share == 1:  # so close that its complement is lost
            return -area
        return float(special.ncfdtr(above, below, values * share / (1 - share), test.f)) - area

    return find_crossing(left, 0.0, 1.0)
