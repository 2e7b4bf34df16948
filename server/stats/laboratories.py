"""Laboratories (or benches, or assessors) that measured one thing: precision and outliers."""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from statistics import fmean, multimode

from server.stats.anova import DUST, FTest, Line, compare
from server.stats.outlier_limits import cochran_limit, grubbs_limit, mandel_h_limit, mandel_k_limit

ONE = "One laboratory: nothing to compare."
NO_REPEATS = "No laboratory has two values: no spread within, and no test of spreads or means."
SOME_SINGLE = "{} has one value: no spread of its own."
UNEQUAL = "The laboratories have {} to {} values; limits of spreads are those of {}, the commonest."
TOO_FEW = "Fewer than three laboratories: no mean can be called an outlier."
SAME_MEANS = "All means are equal: h and Grubbs' test are not estimable."
NO_SPREAD = "No laboratory's values differ: k, Cochran's test and F are not estimable."
NEGATIVE = "The variance between laboratories came out negative ({:.4g}) and counts as 0."


@dataclass(frozen=True)
class Laboratory:
    """One laboratory.

    Attributes
    ----------
    count : int
    mean : float
    sd : float or None
        None with one value.
    h : float or None
        Distance of its mean from the mean of all means, in standard deviations
        of the means.
    k : float or None
        Its `sd` over the pooled one.
    """

    count: int
    mean: float
    sd: float | None
    h: float | None
    k: float | None


@dataclass(frozen=True)
class Suspect:
    """The laboratory most apart, and what to call it.

    Attributes
    ----------
    laboratory : str
    statistic : float
    limit_5, limit_1 : float
        Critical values at 5 % and 1 %.
    verdict : str
        ``"outlier"`` beyond the second, ``"straggler"`` beyond the first, else
        ``"none"``.
    """

    laboratory: str
    statistic: float
    limit_5: float
    limit_1: float
    verdict: str


@dataclass(frozen=True)
class Laboratories:
    """Values of several laboratories compared.

    What cannot be estimated is None and has a sentence in `notes`.

    Attributes
    ----------
    laboratories : dict of str to Laboratory
    between, within : Line
        The one-way analysis of variance.
    test : FTest or None
        Between over within.
    repeatability_sd : float or None
        Of values of one laboratory.
    between_variance : float or None
        By moments, as it came out, negative or not.
    reproducibility_sd : float or None
        Of values of different laboratories.
    highest, lowest : Suspect or None
        Grubbs' test of the highest and of the lowest mean.
    widest : Suspect or None
        Cochran's test of the largest variance.
    h_limits, k_limits : tuple of float or None
        Mandel's, at 5 % and 1 %.
    notes : tuple of str
    """

    laboratories: dict[str, Laboratory]
    between: Line
    within: Line
    test: FTest | None
    repeatability_sd: float | None
    between_variance: float | None
    reproducibility_sd: float | None
    highest: Suspect | None
    lowest: Suspect | None
    widest: Suspect | None
    h_limits: tuple[float, float] | None
    k_limits: tuple[float, float] | None
    notes: tuple[str, ...]


def compare_laboratories(values: Mapping[str, Sequence[float]]) -> Laboratories:
    """Compare laboratories that measured the same thing.

    Parameters
    ----------
    values : mapping of str to sequence of float
        Values of every laboratory, one or more each.

    Returns
    -------
    Laboratories

    Raises
    ------
    ValueError
        If there is no laboratory, one has no value, or a value is not finite.

    Notes
    -----
    Precision as in ISO 5725-2: s_r² is the mean square within, s_L² = (mean square
    between - s_r²) / n̄ with n̄ = (N - Σ n_i² / N) / (p - 1), and s_R² = s_r² + s_L²
    [1]_. Cochran's and Grubbs' tests are each of the extreme laboratory only:
    who takes it out and looks again finds the next one too easily. An outlier
    is looked into, not dropped for being one.

    References
    ----------
    .. [1] ISO 5725-2, 7.3 and 7.4 (from memory).

    Examples
    --------
    >>> found = compare_laboratories({"a": [5.1, 5.3], "b": [5.2, 5.0], "c": [5.9, 5.7]})
    >>> round(found.test.f, 6), round(found.repeatability_sd, 6), found.highest.laboratory
    (14.333333, 0.141421, 'c')
    """
    groups = _read(values)
    between, within = _split(groups)
    dust = DUST * sum(y**2 for group in groups.values() for y in group)
    spreads = {name: _find_sd(group, dust) for name, group in groups.items()}
    h, k = _find_h(groups, dust), _find_k(spreads)
    mse, between_variance = within.mean_square, _find_between(groups, between, within)
    variance = None
    if mse is not None and between_variance is not None:
        variance = mse + max(between_variance, 0.0)
    return Laboratories(
        laboratories={
            name: Laboratory(len(group), fmean(group), spreads[name], h.get(name), k.get(name))
            for name, group in groups.items()
        },
        between=between,
        within=within,
        test=compare(between, within),
        repeatability_sd=None if mse is None else math.sqrt(mse),
        between_variance=between_variance,
        reproducibility_sd=None if variance is None else math.sqrt(variance),
        highest=_suspect_mean(h, 1),
        lowest=_suspect_mean(h, -1),
        widest=_suspect_spread(spreads, groups, k),
        h_limits=_limit_h(groups),
        k_limits=_limit_k(spreads, groups),
        notes=_notes(groups, h, k, between_variance),
    )


def _read(values: Mapping[str, Sequence[float]]) -> dict[str, tuple[float, ...]]:
    if not values:
        raise ValueError("values must be of at least one laboratory, not none")
    groups = {name: tuple(float(y) for y in group) for name, group in values.items()}
    for name, group in groups.items():
        if not group:
            raise ValueError(f"values of {name!r} must be at least one, not none")
        for y in group:
            if not math.isfinite(y):
                raise ValueError(f"values of {name!r} must be finite, not {y}")
    return groups


def _split(groups: dict[str, tuple[float, ...]]) -> tuple[Line, Line]:
    """Return the one-way table; shifted by the grand mean, so that no digits are lost."""
    every = [y for group in groups.values() for y in group]
    grand = fmean(every)
    means = {name: fmean(group) for name, group in groups.items()}
    between = math.fsum(len(group) * (means[name] - grand) ** 2 for name, group in groups.items())
    within = math.fsum((y - means[name]) ** 2 for name, group in groups.items() for y in group)
    dust = DUST * math.fsum(y**2 for y in every)
    first, second = len(groups) - 1, len(every) - len(groups)
    return _build_line(between, first, dust), _build_line(within, second, dust)


def _build_line(squares: float, df: int, dust: float) -> Line:
    squares = 0.0 if squares <= dust else squares
    return Line(squares, df, squares / df if df else None)


def _find_sd(group: tuple[float, ...], dust: float) -> float | None:
    if len(group) < 2:
        return None
    centre = fmean(group)
    squares = math.fsum((y - centre) ** 2 for y in group)
    return 0.0 if squares <= dust else math.sqrt(squares / (len(group) - 1))


def _find_h(groups: dict[str, tuple[float, ...]], dust: float) -> dict[str, float]:
    means = {name: fmean(group) for name, group in groups.items()}
    centre = fmean(means.values())
    squares = math.fsum((mean - centre) ** 2 for mean in means.values())
    if squares <= dust:
        return {}
    sd = math.sqrt(squares / (len(means) - 1))
    return {name: (mean - centre) / sd for name, mean in means.items()}


def _find_k(spreads: dict[str, float | None]) -> dict[str, float]:
    known = {name: sd for name, sd in spreads.items() if sd is not None}
    pooled = math.sqrt(fmean(sd**2 for sd in known.values())) if known else 0.0
    return {name: sd / pooled for name, sd in known.items()} if pooled else {}


def _find_between(
    groups: dict[str, tuple[float, ...]], between: Line, within: Line
) -> float | None:
    if between.mean_square is None or within.mean_square is None:
        return None
    sizes = [len(group) for group in groups.values()]
    size = (sum(sizes) - sum(n**2 for n in sizes) / sum(sizes)) / between.df
    return (between.mean_square - within.mean_square) / size


def _suspect_mean(h: dict[str, float], side: int) -> Suspect | None:
    if len(h) < 3:
        return None
    name = max(h, key=lambda one: side * h[one])
    limits = grubbs_limit(len(h), 0.05), grubbs_limit(len(h), 0.01)
    return _judge(name, side * h[name], limits)


def _suspect_spread(
    spreads: dict[str, float | None], groups: dict[str, tuple[float, ...]], k: dict[str, float]
) -> Suspect | None:
    if len(k) < 2:
        return None
    name = max(k, key=lambda one: k[one])
    size = _find_commonest(spreads, groups)
    limits = cochran_limit(len(k), size, 0.05), cochran_limit(len(k), size, 0.01)
    return _judge(name, k[name] ** 2 / len(k), limits)


def _judge(name: str, statistic: float, limits: tuple[float, float]) -> Suspect:
    at_5, at_1 = limits
    verdict = "outlier" if statistic > at_1 else "straggler" if statistic > at_5 else "none"
    return Suspect(name, statistic, at_5, at_1, verdict)


def _limit_h(groups: dict[str, tuple[float, ...]]) -> tuple[float, float] | None:
    p = len(groups)
    return (mandel_h_limit(p, 0.05), mandel_h_limit(p, 0.01)) if p > 2 else None


def _limit_k(
    spreads: dict[str, float | None], groups: dict[str, tuple[float, ...]]
) -> tuple[float, float] | None:
    p = sum(1 for sd in spreads.values() if sd is not None)
    if p < 2:
        return None
    size = _find_commonest(spreads, groups)
    return mandel_k_limit(p, size, 0.05), mandel_k_limit(p, size, 0.01)


def _find_commonest(spreads: dict[str, float | None], groups: dict[str, tuple[float, ...]]) -> int:
    """Return the commonest number of values of those with a spread, the smallest if several."""
    return min(multimode(len(groups[name]) for name, sd in spreads.items() if sd is not None))


def _notes(
    groups: dict[str, tuple[float, ...]],
    h: dict[str, float],
    k: dict[str, float],
    between_variance: float | None,
) -> tuple[str, ...]:
    sizes = {name: len(group) for name, group in groups.items()}
    repeated = [size for size in sizes.values() if size > 1]
    reasons = {
        ONE: len(groups) == 1,
        NO_REPEATS: not repeated,
        TOO_FEW: len(groups) == 2,
        SAME_MEANS: not h and len(groups) > 1,
        NO_SPREAD: not k and bool(repeated),
    }
    told = [sentence for sentence, holds in reasons.items() if holds]
    told += [SOME_SINGLE.format(name) for name, size in sizes.items() if size == 1 and repeated]
    if repeated and len(set(repeated)) > 1:
        commonest = min(multimode(repeated))
        told.append(UNEQUAL.format(min(repeated), max(repeated), commonest))
    if between_variance is not None and between_variance < 0:
        told.append(NEGATIVE.format(between_variance))
    return tuple(told)
