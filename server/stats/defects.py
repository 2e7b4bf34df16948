"""Cups with a defect: k of n by sample, and whether samples differ in them."""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from server.stats.binomial import clopper_pearson
from server.stats.multiple import holm
from server.stats.results import Interval
from server.stats.several_rates import compare_several_rates
from server.stats.two_rates import (
    EQUALLY_PROBABLE,
    check_answers,
    compare_rates,
    log_choose,
)

DRAWS = 99_999

NONE_FOUND = (
    "No cup had the defect: samples cannot be told apart by it, and the upper limits say how "
    "often it may occur all the same."
)
ALL_FOUND = "Every cup had the defect: samples cannot be told apart by it."
DRAWN = (
    "The p-value over all samples is from {:,} tables drawn at random with the same totals; "
    "there are too many to count them all."
)


@dataclass(frozen=True)
class Defective:
    """Cups of one sample.

    Attributes
    ----------
    sample : str
    defective, cups : int
        Cups with the defect, and all of them.
    share : float
    interval : Interval
        Exact limits of the share, two-sided.
    """

    sample: str
    defective: int
    cups: int
    share: float
    interval: Interval


@dataclass(frozen=True)
class DefectPair:
    """Two samples compared.

    Attributes
    ----------
    first, second : str
    difference : float
        Share of the first less that of the second.
    p_value : float
        Fisher's exact test, two-sided, as if this were the only pair.
    p_adjusted : float
        By Holm's method over all pairs.
    """

    first: str
    second: str
    difference: float
    p_value: float
    p_adjusted: float


@dataclass(frozen=True)
class Defects:
    """Cups with one defect, by sample.

    Attributes
    ----------
    samples : tuple of Defective
    p_value : float or None
        Of equal shares in all samples; None for a single sample.
    method : {"counted", "drawn"} or None
        Whether all tables with these totals were counted, or some drawn.
    pairs : tuple of DefectPair
        In the order (0, 1), (0, 2), ..., (1, 2), ...
    level : float
        Confidence level of the limits.
    notes : tuple of str
    """

    samples: tuple[Defective, ...]
    p_value: float | None
    method: Literal["counted", "drawn"] | None
    pairs: tuple[DefectPair, ...]
    level: float
    notes: tuple[str, ...]


def analyse_defects(
    samples: Sequence[str],
    defective: Sequence[int],
    cups: Sequence[int],
    level: float = 0.95,
    seed: int = 1,
) -> Defects:
    """Compare samples by the cups that had a defect.

    Parameters
    ----------
    samples : sequence of str, length k
        Names, one sample or more, every one once.
    defective, cups : sequence of int, length k
        Cups with the defect, and all cups, of every sample. A cup counts once,
        whoever tasted it (`count_cups`).
    level : float
        Confidence level of the limits, above 0 and below 1.
    seed : int
        Of the tables drawn, if there are too many to count.

    Returns
    -------
    Defects

    Raises
    ------
    ValueError
        If the lengths differ, a name stands there twice, or a number is out of range.

    Notes
    -----
    With the totals fixed, tables have multiple hypergeometric probabilities; the
    p-value adds up those of all tables no more probable than the observed one [1]_.
    Beyond a million tables it is (1 + such tables) / (1 + tables drawn) over
    99,999 tables drawn, which keeps the level too. Pairs are tested by Fisher's
    exact test, each on its own, and adjusted together.

    References
    ----------
    .. [1] Freeman, G. H. & Halton, J. H. (1951). Note on an exact treatment of
       contingency, goodness of fit and other problems of significance.
       Biometrika, 38, 141-149.

    Examples
    --------
    >>> found = analyse_defects(["old", "new"], [4, 0], [5, 5])
    >>> round(found.p_value * 210, 10), found.method
    (10.0, 'counted')
    """
    _check(samples, defective, cups)
    described = tuple(
        Defective(name, k, n, k / n, clopper_pearson(k, n, level))
        for name, k, n in zip(samples, defective, cups, strict=True)
    )
    p_value, method = _test(defective, cups, seed) if len(samples) > 1 else (None, None)
    return Defects(
        samples=described,
        p_value=p_value,
        method=method,
        pairs=_compare_pairs(described),
        level=level,
        notes=_note(sum(defective), sum(cups), method),
    )


def count_cups(
    samples: Sequence[str], cups: Sequence[str], flagged: Sequence[bool], needed: int = 1
) -> Mapping[str, tuple[int, int]]:
    """Count cups once each, however many people tasted them.

    Parameters
    ----------
    samples, cups : sequence of str, length n
        Which sample and which cup of it was tasted, one row a tasting; cups of
        different samples may have the same name.
    flagged : sequence of bool, length n
        Whether this person found the defect in it.
    needed : int
        So many people must have found it, 1 or more.

    Returns
    -------
    mapping of str to tuple of int
        Defective cups and all cups of every sample, in order of appearance.

    Raises
    ------
    ValueError
        If the lengths differ or `needed` is below 1.

    Examples
    --------
    >>> count_cups(["X", "X", "X"], ["1", "1", "2"], [True, False, False])
    {'X': (1, 2)}
    """
    if not len(samples) == len(cups) == len(flagged):
        raise ValueError(f"flagged must be as many as samples and cups, not {len(flagged)}")
    if needed < 1:
        raise ValueError(f"needed must be 1 or more, not {needed}")
    finders: dict[tuple[str, str], int] = {}
    for sample, cup, found in zip(samples, cups, flagged, strict=True):
        finders[sample, cup] = finders.get((sample, cup), 0) + bool(found)
    counts: dict[str, tuple[int, int]] = {}
    for (sample, _), people in finders.items():
        bad, n = counts.get(sample, (0, 0))
        counts[sample] = (bad + (people >= needed), n + 1)
    return counts


def draw_p(defective: Sequence[int], cups: Sequence[int], draws: int, seed: int) -> float:
    """Return the p-value of equal shares from tables drawn with the same totals.

    Parameters
    ----------
    defective, cups : sequence of int, length k
        As in `analyse_defects`.
    draws : int
        Tables to draw.
    seed : int
        Of the random numbers.

    Returns
    -------
    float
        (1 + tables no more probable than the observed) / (1 + `draws`).

    Examples
    --------
    >>> 0.04 < draw_p([4, 0], [5, 5], draws=9999, seed=1) < 0.055
    True
    """
    import numpy as np

    rng = np.random.default_rng(seed)
    tables = rng.multivariate_hypergeometric(list(cups), sum(defective), size=draws)
    ways = np.sum([log_choose(n, tables[:, place]) for place, n in enumerate(cups)], axis=0)
    observed = sum(
        float(log_choose(n, np.array([k]))[0]) for k, n in zip(defective, cups, strict=True)
    )
    extreme = int(np.sum(ways <= observed + math.log1p(EQUALLY_PROBABLE)))
    return (1 + extreme) / (1 + draws)


def _check(samples: Sequence[str], defective: Sequence[int], cups: Sequence[int]) -> None:
    if not len(samples) == len(defective) == len(cups) or not samples:
        raise ValueError(
            f"samples must be as many as defective and cups, one or more, not {len(samples)}"
        )
    for name in samples:
        if list(samples).count(name) > 1:
            raise ValueError(f"samples must stand there once each, not twice as {name!r}")
    for k, n in zip(defective, cups, strict=True):
        check_answers("cups", k, n)


def _test(
    defective: Sequence[int], cups: Sequence[int], seed: int
) -> tuple[float, Literal["counted", "drawn"]]:
    if not 0 < sum(defective) < sum(cups):
        return 1.0, "counted"  # there is one table only
    counted = compare_several_rates(defective, cups).exact
    if counted is not None:
        return counted, "counted"
    return draw_p(defective, cups, DRAWS, seed), "drawn"


def _compare_pairs(samples: Sequence[Defective]) -> tuple[DefectPair, ...]:
    pairs = [(one, other) for at, one in enumerate(samples) for other in samples[at + 1 :]]
    tests = [
        compare_rates(one.defective, one.cups, other.defective, other.cups).exact_two_sided
        for one, other in pairs
    ]
    return tuple(
        DefectPair(one.sample, other.sample, one.share - other.share, p, adjusted)
        for (one, other), p, adjusted in zip(pairs, tests, holm(tests), strict=True)
    )


def _note(defective: int, cups: int, method: str | None) -> tuple[str, ...]:
    if defective == 0:
        return (NONE_FOUND,)
    if defective == cups:
        return (ALL_FOUND,)
    return (DRAWN.format(DRAWS),) if method == "drawn" else ()
