"""Intraclass correlations and Cronbach's α: how far assessors' values can stand for each other."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from server.stats.anova import FTest, compare
from server.stats.checks import check_open_unit
from server.stats.crossed import Split, read_crossed, split_crossed
from server.stats.icc_limits import find_limits
from server.stats.results import Interval

if TYPE_CHECKING:
    from server.stats.crossed import Table

ONE_ASSESSOR = "Agreement is not estimable with one assessor."
ONE_SAMPLE = "Agreement is not estimable with one sample."
GAPS = (
    "{} of {} cells are empty: the intraclass correlations come from variance components by "
    "moments and have no interval; those of k are for a mean of all {} assessors."
)
NOT_CONNECTED = (
    "Intraclass correlations 2 and 3 are not estimable: some samples share no assessor, "
    "directly or by a chain, with the others."
)
NO_SURPLUS = "Intraclass correlations {} are not estimable: no values are left to judge error by."
NO_VARIANCE = (
    "Intraclass correlation {} is not estimable: the variance to divide by is not above 0."
)
NO_TEST = "Intraclass correlations {} have no test: there is no error, to the last digit."
NO_INTERVAL = "Intraclass correlation {} has no interval: its limits are not finite or coincide."
TOO_FEW_WHOLE = "Cronbach's α is not estimable: fewer than two samples were rated by all assessors."
WHOLE_ONLY = "Cronbach's α is of the {} of {} samples that all assessors rated."
NO_TOTAL = "Cronbach's α is not estimable: the sums over assessors are the same for every sample."

NAMES = ("1,1", "2,1", "3,1", "1,k", "2,k", "3,k")

# A variance this small beside its parts is floating-point dust.
DUST = 1e-12


@dataclass(frozen=True)
class Coefficient:
    """One intraclass correlation.

    Attributes
    ----------
    value : float or None
        At most 1; as it came out, negative or not.
    test : FTest or None
        Of 0 against more than 0.
    interval : Interval or None
        Two-sided, at 1 - alpha.
    """

    value: float | None
    test: FTest | None
    interval: Interval | None


@dataclass(frozen=True)
class Icc:
    """Intraclass correlations of a table of assessors × samples.

    What cannot be estimated is None and has a sentence in `notes`.

    Attributes
    ----------
    assessors, samples : int
        k assessors and n samples with at least one value.
    mean_squares : dict of str to float or None
        ``sample`` (assessors taken out), ``assessor`` (samples taken out),
        ``error`` of the two-way split; ``within`` samples of the one-way split.
    components : dict of str to float or None
        Variance of ``sample``, ``assessor`` and ``residual`` of the two-way
        split by moments, as they came out, negative or not.
    coefficients : dict of str to Coefficient
        ``1,1``: one value, assessors not told apart. ``2,1``: one assessor's
        value, drawn from many assessors, level included (agreement). ``3,1``:
        the same for these assessors, level left out (consistency). ``1,k``,
        ``2,k``, ``3,k``: the mean of k assessors.
    alpha : float
        One minus the level of the intervals.
    notes : tuple of str
    """

    assessors: int
    samples: int
    mean_squares: dict[str, float | None]
    components: dict[str, float | None]
    coefficients: dict[str, Coefficient]
    alpha: float
    notes: tuple[str, ...]


@dataclass(frozen=True)
class Cronbach:
    """Cronbach's α, assessors being the items.

    Attributes
    ----------
    value : float or None
    samples : int
        How many it is of: those that all assessors rated.
    notes : tuple of str
        Why it is None, or what was left out.
    """

    value: float | None
    samples: int
    notes: tuple[str, ...]


def analyse_icc(table: "Table", alpha: float = 0.05) -> Icc:
    """Find the intraclass correlations of assessors who rated the same samples.

    Parameters
    ----------
    table : ndarray or rows of float, shape (assessors, samples)
        One value a cell, such as `Ratings.means()`; empty cells are NaN or None.
    alpha : float
        One minus the level of the intervals, above 0 and below 1.

    Returns
    -------
    Icc

    Raises
    ------
    ValueError
        If `table` holds no value or an infinite one, or `alpha` is out of range.

    Notes
    -----
    With variances s of samples, a of assessors, e of the rest: s / (s + a + e)
    for ``2,1`` and s / (s + e) for ``3,1``; for ``1,1``, s / (s + w) of the
    one-way split. Those of a mean divide a, e or w by k, which is the
    Spearman-Brown step [1]_. Without gaps the moments are those of [1]_; with
    gaps they equate the sums of squares of each factor, fitted after the other,
    to their expectations [3]_, E SS_sample = (n - 1) e + (N - k) s, and the F
    tests remain exact. Intervals are those of [2]_: exact for 1 and 3, approximate
    for 2 (fractional degrees of freedom). Adding a constant to all values of one
    assessor leaves 3 as it is and lowers 2.

    References
    ----------
    .. [1] Shrout, P. E. & Fleiss, J. L. (1979). Intraclass correlations: uses in
       assessing rater reliability. Psychological Bulletin, 86, 420-428.
    .. [2] McGraw, K. O. & Wong, S. P. (1996). Forming inferences about some
       intraclass correlation coefficients. Psychological Methods, 1, 30-46.
    .. [3] Henderson, C. R. (1953). Estimation of variance and covariance
       components. Biometrics, 9, 226-252 (method 3; from memory).

    Examples
    --------
    >>> found = analyse_icc([[1, 2, 6], [3, 5, 7]])
    >>> round(found.coefficients["3,1"].value, 6), round(found.coefficients["2,1"].value, 6)
    (0.909091, 0.681818)
    """
    check_open_unit("alpha", alpha)
    split = split_crossed(read_crossed(table))
    if split.assessors == 1 or split.samples == 1:
        reason = ONE_ASSESSOR if split.assessors == 1 else ONE_SAMPLE
        return _build(split, {}, _refuse_all(), alpha, (reason,))
    components = _find_components(split)
    values, tests = _find_values(split, components), _find_tests(split)
    limits = find_limits(split, alpha) if split.complete else {}
    found = {name: Coefficient(values[name], tests[name[0]], limits.get(name)) for name in NAMES}
    return _build(split, components, found, alpha, _explain(split, found))


def cronbach_alpha(table: "Table") -> Cronbach:
    """Return Cronbach's α of the panel's mean, each assessor an item.

    Parameters
    ----------
    table : ndarray or rows of float, shape (assessors, samples)
        One value a cell; samples with an empty cell are left out.

    Returns
    -------
    Cronbach

    Raises
    ------
    ValueError
        If `table` holds no value or an infinite one.

    Notes
    -----
    α = k / (k - 1) (1 - Σ var_i / var_sum): the variances over samples of every
    assessor's values and of their sums [1]_. It equals the intraclass
    correlation ``3,k``.

    References
    ----------
    .. [1] Cronbach, L. J. (1951). Coefficient alpha and the internal structure
       of tests. Psychometrika, 16, 297-334.

    Examples
    --------
    >>> round(cronbach_alpha([[1, 2, 6], [3, 5, 7]]).value, 6)
    0.952381
    """
    import numpy as np

    read = read_crossed(table)
    kept = read[:, ~np.isnan(read).any(axis=0)]
    people, samples = kept.shape
    notes = (WHOLE_ONLY.format(samples, read.shape[1]),) if samples < read.shape[1] else ()
    if people == 1:
        return Cronbach(None, samples, (ONE_ASSESSOR,))
    if samples < 2:
        return Cronbach(None, samples, (TOO_FEW_WHOLE,))
    own, together = kept.var(axis=1, ddof=1).sum(), kept.sum(axis=0).var(ddof=1)
    if together <= DUST * max(own, DUST):
        return Cronbach(None, samples, (*notes, NO_TOTAL))
    return Cronbach(float(people / (people - 1) * (1 - own / together)), samples, notes)


def _find_components(split: Split) -> dict[str, float | None]:
    """Return the variances of the two-way split by moments."""
    error = split.error.mean_square
    if error is None or not split.connected:
        return {}
    sample = split.sample.sum_of_squares - split.sample.df * error
    assessor = split.assessor.sum_of_squares - split.assessor.df * error
    return {
        "sample": sample / (split.values - split.assessors),
        "assessor": assessor / (split.values - split.samples),
        "residual": error,
    }


def _find_values(split: Split, components: dict[str, float | None]) -> dict[str, float | None]:
    k, within, between = split.assessors, split.within.mean_square, split.between.mean_square
    values: dict[str, float | None] = dict.fromkeys(NAMES)
    if within is not None and between is not None:
        sample = (between - within) / split.overlap
        values |= {"1,1": _divide(1, sample, within), "1,k": _divide(k, sample, within)}
    sizes = [size for size in components.values() if size is not None]
    for count, of in ((1, "1"), (k, "k")) if sizes else ():
        values[f"2,{of}"] = _divide(count, *sizes)
        values[f"3,{of}"] = _divide(count, sizes[0], sizes[2])
    return values


def _divide(count: int, sample: float, *others: float) -> float | None:
    """Return the share of `sample` in a mean of `count` values; None over a variance of 0."""
    whole = count * sample + sum(others)
    if whole <= DUST * (count * abs(sample) + sum(abs(size) for size in others)):
        return None
    return count * sample / whole


def _find_tests(split: Split) -> dict[str, FTest | None]:
    two_way = compare(split.sample, split.error) if split.connected else None
    return {"1": compare(split.between, split.within), "2": two_way, "3": two_way}


def _refuse_all() -> dict[str, Coefficient]:
    return dict.fromkeys(NAMES, Coefficient(None, None, None))


def _build(
    split: Split,
    components: dict[str, float | None],
    found: dict[str, Coefficient],
    alpha: float,
    notes: Iterable[str],
) -> Icc:
    lines = {"sample": split.sample, "assessor": split.assessor, "error": split.error}
    return Icc(
        assessors=split.assessors,
        samples=split.samples,
        mean_squares={name: line.mean_square for name, line in lines.items()}
        | {"within": split.within.mean_square},
        components=components or dict.fromkeys(("sample", "assessor", "residual")),
        coefficients=found,
        alpha=alpha,
        notes=tuple(notes),
    )


def _explain(split: Split, found: dict[str, Coefficient]) -> Iterable[str]:
    """Yield a sentence for everything that is None."""
    families = {"1": (split.within, True), "2 and 3": (split.error, split.connected)}
    cells = split.assessors * split.samples
    if not split.complete:
        yield GAPS.format(cells - split.values, cells, split.assessors)
    if not split.connected:
        yield NOT_CONNECTED
    for name, (line, able) in families.items():
        if able and not line.df:
            yield NO_SURPLUS.format(name)
        if able and line.mean_square == 0:
            yield NO_TEST.format(name)
        yield from _explain_values(found, name, able and line.df > 0, split.complete)


def _explain_values(
    found: dict[str, Coefficient], family: str, able: bool, complete: bool
) -> Iterable[str]:
    for name, one in found.items():
        if able and name[0] in family.split(" and "):
            if one.value is None:
                yield NO_VARIANCE.format(name)
            elif complete and one.interval is None:
                yield NO_INTERVAL.format(name)
