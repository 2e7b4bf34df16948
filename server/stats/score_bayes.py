"""What scores make of a prior opinion on how far samples lie apart: Bayes factors, posterior."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, NamedTuple

from server.stats.checks import check_open_unit
from server.stats.crossings import find_crossing
from server.stats.results import Interval

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import ArrayLike, NDArray

    Array = NDArray[np.float64]

SCALE = math.sqrt(0.5)
"""Usual scale of the prior: half of all standardised differences lie below it."""

LARGEST_LOG = 700.0  # beyond it, e to the power is no longer a number
LOWEST, STEP, TAIL = -7.0, 0.1, 60.0  # of log g; what lies outside weighs less than 1e-20
NEGLIGIBLE = 36.0  # points lighter than the heaviest by this power of e are left out
WIDTH = 1e-13  # how near to a quantile is enough, relative to the range it is looked for in

TOO_FEW = "Not estimable: fewer than two assessors scored all of it."
ALL_EQUAL = "Not estimable: the differences of all assessors are equal, so their spread is unknown."
BEYOND_NUMBERS = "A Bayes factor is too far from 1 for a number; its logarithm is given."


class Weighed(NamedTuple):
    """How the scores weigh a difference against none, under one prior.

    Attributes
    ----------
    scale : float
        Of the prior.
    log_bayes_factor : float
        Natural logarithm of `bayes_factor`.
    bayes_factor : float or None
        How many times as probable the scores are if the samples differ by amounts as the
        prior has them, as if they do not differ; None if it is no number any more.

    Examples
    --------
    >>> Weighed(0.7, 0.0, 1.0).bayes_factor
    1.0
    """

    scale: float
    log_bayes_factor: float
    bayes_factor: float | None


@dataclass(frozen=True)
class PairWeighed:
    """Two samples weighed; the difference is that of the second less the first.

    Attributes
    ----------
    people : int
        Assessors who scored both.
    difference : float or None
        Mean of their differences, in units of the scale; None without anybody.
    t, df : float or None
        Of the paired t test over assessors.
    weighed : tuple of Weighed
        For each prior, the first being the planned one; empty if not estimable.
    mean : float or None
        Of the posterior of the difference under the first prior, if there is one at all.
    interval : Interval or None
        Equal-tailed: as much of the posterior below as above.
    above : float or None
        Posterior probability that the second has more than the first.
    level : float
        Posterior probability of `interval`.
    notes : tuple of str
        Why something is None.
    """

    people: int
    difference: float | None
    t: float | None
    df: float | None
    weighed: tuple[Weighed, ...]
    mean: float | None
    interval: Interval | None
    above: float | None
    level: float
    notes: tuple[str, ...]


@dataclass(frozen=True)
class SamplesWeighed:
    """All samples together weighed.

    Attributes
    ----------
    people : int
        Assessors who scored every sample; nobody else counts here.
    f : float or None
        Variance of the samples over that of assessor by sample, of these assessors.
    df : tuple of float or None
    weighed : tuple of Weighed
        As in `PairWeighed`.
    notes : tuple of str
    """

    people: int
    f: float | None
    df: tuple[float, float] | None
    weighed: tuple[Weighed, ...]
    notes: tuple[str, ...]


class _Parted(NamedTuple):
    """Sums of squares of `n` assessors: of `p` contrasts of the samples, and of the error."""

    n: int
    p: int
    between: float
    error: float

    @property
    def df(self) -> int:
        return self.p * (self.n - 1)

    @property
    def f(self) -> float:
        return self.between / self.p / (self.error / self.df)


def weigh_pair(
    differences: Sequence[float],
    scales: Sequence[float] = (SCALE,),
    level: float = 0.95,
) -> PairWeighed:
    """Weigh a difference of two samples against none, and describe its posterior.

    Parameters
    ----------
    differences : sequence of float
        One an assessor: their mean score of the second sample less that of the first.
    scales : sequence of float
        Scales of the prior, above 0; the posterior is that under the first.
    level : float
        Posterior probability of the interval, above 0 and below 1.

    Returns
    -------
    PairWeighed
        Not estimable with fewer than two assessors or without any spread.

    Raises
    ------
    ValueError
        If a difference is not finite, or a scale or the level out of range.

    Notes
    -----
    The differences are normal about mu with standard deviation sigma. Without a
    difference mu is 0; with one, mu / sigma has a Cauchy distribution of scale r:
    half of all differences are smaller than r spreads [1]_. On sigma both say
    1 / sigma. A Cauchy distribution is a normal one of variance g r² whose g is an
    inverse chi-square with one degree of freedom; with A = 1 + n g r², x = t² / df
    and n = df + 1 the Bayes factor is eq. 1 of [1]_,

        B = E[ A^(-1/2) ((1 + x/A) / (1 + x))^(-n/2) ].

    Given g, the posterior of mu is Student's t with n degrees of freedom about
    d (1 - 1/A), d being the mean difference, with the squared scale
    (A - 1) / (n² A) (sum of squares about d + n d² / A): conjugate, so that the
    posterior is a mixture of these with the weights of the integrand. The integral
    is a sum over steps of log g, where it is smooth and dies out at both ends.

    References
    ----------
    .. [1] Rouder, J. N., Speckman, P. L., Sun, D., Morey, R. D. and Iverson, G.
       (2009). Bayesian t tests for accepting and rejecting the null hypothesis.
       Psychonomic Bulletin & Review, 16, 225-237.

    Examples
    --------
    >>> found = weigh_pair([1.2, 2.4, 1.3, 1.3, 0.0, 1.0, 1.8, 0.8, 4.6, 1.4])
    >>> round(found.weighed[0].bayes_factor, 4), round(found.mean, 4), round(found.above, 4)
    (17.2589, 1.4107, 0.9971)
    """
    import numpy as np

    values = np.asarray(differences, dtype=np.float64)
    _check(values, scales)
    check_open_unit("level", level)
    n = len(values)
    mean = float(values.mean()) if n else 0.0
    error = float(np.sum((values - mean) ** 2))
    if n < 2 or _is_nothing(error, values):
        why, known = (TOO_FEW if n < 2 else ALL_EQUAL), (mean if n else None)
        return PairWeighed(n, known, None, None, (), None, None, None, level, (why,))
    parted = _Parted(n, 1, n * mean**2, error)
    weighed, notes = _weigh(parted, scales)
    posterior = _Posterior.find(parted, mean, scales[0])
    outside = (1 - level) / 2
    return PairWeighed(
        people=n,
        difference=mean,
        t=math.copysign(math.sqrt(parted.f), mean),
        df=float(n - 1),
        weighed=weighed,
        mean=float(posterior.weights @ posterior.centres),
        interval=Interval(posterior.quantile(outside), posterior.quantile(1 - outside)),
        above=1 - posterior.cumulate(0.0),
        level=level,
        notes=notes,
    )


def weigh_samples(scores: "ArrayLike", scales: Sequence[float] = (SCALE,)) -> SamplesWeighed:
    """Weigh differences among several samples against none at all.

    Parameters
    ----------
    scores : array_like, shape (assessors, samples)
        Mean score of every assessor for every sample; nan where there is none.
    scales : sequence of float
        Scales of the prior, above 0.

    Returns
    -------
    SamplesWeighed
        Of the assessors who scored every sample.

    Raises
    ------
    ValueError
        If there are fewer than two samples, a score is infinite, or a scale is out of range.

    Notes
    -----
    Score = assessor + sample + error, and errors have one spread for all pairs, as in the
    F test over assessor by sample. Assessors' levels are free (a flat prior, with and
    without a difference). The p = samples - 1 orthonormal contrasts of the samples, in
    errors' spreads, have a multivariate Cauchy prior of scale r [1]_; then the
    standardised difference of any two samples, as the paired t test has it, has the
    Cauchy prior of `weigh_pair`, and two samples lead to its very number. With
    A = 1 + n g r² and x the ratio of the sums of squares of samples and of error,

        B = E[ A^(-p/2) ((1 + x/A) / (1 + x))^(-n p/2) ].

    References
    ----------
    .. [1] Rouder, J. N., Morey, R. D., Speckman, P. L. and Province, J. M. (2012).
       Default Bayes factors for ANOVA designs. Journal of Mathematical Psychology,
       56, 356-374: the prior; here its error is that of assessor by sample.

    Examples
    --------
    >>> found = weigh_samples([[3, 5, 4], [4, 7, 4], [2, 3, 3], [5, 9, 6]])
    >>> round(found.f, 4), round(found.weighed[0].bayes_factor, 4)
    (9.48, 5.6532)
    """
    import numpy as np

    table = np.asarray(scores, dtype=np.float64)
    if table.ndim != 2 or table.shape[1] < 2:
        raise ValueError(f"scores must have two columns or more, not the shape {table.shape}")
    whole = table[~np.isnan(table).any(axis=1)]
    _check(whole, scales)
    n = len(whole)
    if n < 2:
        return SamplesWeighed(n, None, None, (), (TOO_FEW,))
    parted = _part(whole)
    if _is_nothing(parted.error, whole):
        return SamplesWeighed(n, None, None, (), (ALL_EQUAL,))
    weighed, notes = _weigh(parted, scales)
    return SamplesWeighed(n, parted.f, (float(parted.p), float(parted.df)), weighed, notes)


def _check(values: "Array", scales: Sequence[float]) -> None:
    import numpy as np

    if not np.isfinite(values).all():
        raise ValueError("scores must be finite")
    if not scales:
        raise ValueError("scales must name at least one prior")
    for one in scales:
        if not (math.isfinite(one) and one > 0):
            raise ValueError(f"scales must be above 0 and finite, not {one}")


def _part(table: "Array") -> _Parted:
    n, samples = table.shape
    within = table - table.mean(axis=1, keepdims=True)
    means = within.mean(axis=0)
    error = float(((within - means) ** 2).sum())
    return _Parted(n, samples - 1, float(n * (means**2).sum()), error)


def _is_nothing(error: float, table: "Array") -> bool:
    """Tell whether a sum of squares is nothing but errors of rounding."""
    return error <= 1e-24 * float((table**2).sum())


def _weigh(parted: _Parted, scales: Sequence[float]) -> tuple[tuple[Weighed, ...], tuple[str, ...]]:
    logs = [(scale, _sum_up(_integrate(parted, scale)[1])) for scale in scales]
    weighed = tuple(
        Weighed(float(scale), log, math.exp(log) if abs(log) <= LARGEST_LOG else None)
        for scale, log in logs
    )
    beyond = any(one.bayes_factor is None for one in weighed)
    return weighed, (BEYOND_NUMBERS,) if beyond else ()


def _integrate(parted: _Parted, scale: float) -> tuple["Array", "Array"]:
    """Return A = 1 + n g r² at every step of log g, and the logarithm of what it adds."""
    import numpy as np

    n, p, x = parted.n, parted.p, parted.between / parted.error
    spread = n * scale**2
    highest = max(math.log(max(x, 1.0) / spread), 0.0) + TAIL
    log_g = np.arange(LOWEST, highest, STEP)
    a = 1 + spread * np.exp(log_g)
    prior = -log_g / 2 - np.exp(-log_g) / 2 - math.log(2 * math.pi) / 2 + math.log(STEP)
    fit = -n * p / 2 * (np.log1p(x / a) - math.log1p(x))
    return a, prior - p / 2 * np.log(a) + fit


def _sum_up(logs: "Array") -> float:
    import numpy as np

    most = float(logs.max())
    return most + math.log(float(np.exp(logs - most).sum()))


@dataclass(frozen=True)
class _Posterior:
    """Student's t distributions with the same degrees of freedom; weights that add up to 1."""

    weights: "Array"
    centres: "Array"
    spreads: "Array"
    df: int

    @classmethod
    def find(cls, parted: _Parted, mean: float, scale: float) -> "_Posterior":
        import numpy as np

        a, logs = _integrate(parted, scale)
        kept = logs > logs.max() - NEGLIGIBLE
        a, logs = a[kept], logs[kept]
        weights = np.exp(logs - logs.max())
        n = parted.n
        squares = (a - 1) / (n**2 * a) * (parted.error + parted.between / a)
        return cls(weights / weights.sum(), mean * (1 - 1 / a), np.sqrt(squares), n)

    def cumulate(self, value: float) -> float:
        """Return the probability of a difference up to `value`."""
        from scipy import special  # takes half a second to load

        ratios = (value - self.centres) / self.spreads
        return float(self.weights @ special.stdtr(self.df, ratios))

    def quantile(self, probability: float) -> float:
        """Return the difference up to which there is so much probability."""
        import numpy as np

        reach = float(np.abs(self.centres).max() + self.spreads.max())
        while self.cumulate(-reach) > probability or self.cumulate(reach) < probability:
            reach *= 2
        return find_crossing(
            lambda value: self.cumulate(value) - probability, -reach, reach, width=WIDTH * reach
        )
