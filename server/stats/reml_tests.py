"""Tests of means after a REML fit: how many degrees of freedom they have.

Two answers are given. Satterthwaite's looks at how the variance of each contrast
wavers with the estimated variance components. Kenward's and Roger's also widens
the covariance of the means, since it was computed as if the components were known.
"""

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from server.stats.anova import FTest, f_tail
from server.stats.reml_fit import Fit

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Array = NDArray[np.float64]

ALIKE = 1e-8  # degrees of freedom so close are one number


@dataclass(frozen=True, eq=False)
class Uncertainty:
    """What a fit does not know about the means, in units of its sums.

    Attributes
    ----------
    plain : ndarray, shape (J, J)
        Covariance of the means at the estimated variances, Φ.
    covariance : ndarray, shape (J, J)
        The same, by Kenward and Roger widened if asked for.
    changes : ndarray, shape (K, J, J)
        ∂Φ / ∂v of the K variances that count.
    spread : ndarray, shape (K, K)
        Covariance of the estimated variances.
    widened : bool
    """

    plain: "Array"
    covariance: "Array"
    changes: "Array"
    spread: "Array"
    widened: bool


def measure_uncertainty(fit: Fit, widen: bool = False) -> Uncertainty:
    """Return the covariance of the means and how it wavers.

    Parameters
    ----------
    fit : Fit
    widen : bool
        Whether to widen the covariance as Kenward and Roger do.

    Returns
    -------
    Uncertainty

    Notes
    -----
    Variances estimated as 0 count as known to be 0. Without widening, the
    covariance of the others is the inverse of their observed information; with
    it, W of the expected one, as in the original, and

        Φ_A = Φ + 2 Φ {Σ_kl W_kl (Q_kl - P_k Φ P_l)} Φ,

    P_k = -X' V⁻¹ V_k V⁻¹ X and Q_kl = X' V⁻¹ V_k V⁻¹ V_l V⁻¹ X, with V_k = ∂V/∂v_k
    [1]_.

    References
    ----------
    .. [1] Kenward, M. G. & Roger, J. H. (1997). Small sample inference for fixed
       effects from restricted maximum likelihood. Biometrics, 53, 983-997
       (formulas from memory).

    Examples
    --------
    >>> from server.stats.panel_sums import sum_panel
    >>> from server.stats.ratings import build_ratings
    >>> from server.stats.reml_fit import fit_reml
    >>> sums = sum_panel(build_ratings(list("aabbcc"), ["X", "Y"] * 3, [3, 5, 4, 7, 2, 3]))
    >>> found = measure_uncertainty(fit_reml(sums, (0,)))
    >>> round(float(found.plain[0, 0]) * sums.unit**2, 9)  # (2 + 0.5) / 3
    0.833333333
    """
    import numpy as np

    chosen, slopes = list(fit.free), fit.slopes
    plain = fit.point.error * fit.point.covariance
    changes = _list_changes(fit)[chosen]
    information = slopes.expected if widen else slopes.observed
    spread = np.asarray(np.linalg.inv(information[np.ix_(chosen, chosen)]), dtype=np.float64)
    covariance = plain
    if widen:
        crossed = np.einsum("kab,bc,lcd->klad", changes, np.linalg.inv(plain), changes)
        bends = _list_bends(fit)[np.ix_(chosen, chosen)]
        covariance = plain + 2 * np.einsum("kl,klad->ad", spread, bends - crossed)
    return Uncertainty(plain, (covariance + covariance.T) / 2, changes, spread, widen)


def find_freedom(uncertainty: Uncertainty, contrasts: "Array") -> "tuple[Array, Array]":
    """Return standard errors and degrees of freedom of contrasts among the means.

    Parameters
    ----------
    uncertainty : Uncertainty
    contrasts : ndarray, shape (m, J)
        One a row.

    Returns
    -------
    se, df : ndarray, shape (m,)

    Notes
    -----
    df = 2 v² / (g' W g), with v = l' Φ l, g its derivatives by the variances and W
    their covariance [1]_; for one contrast Kenward and Roger come to the same form.

    References
    ----------
    .. [1] Giesbrecht, F. G. & Burns, J. C. (1985). Two-stage analysis based on a
       mixed model. Biometrics, 41, 477-486 (from memory).

    Examples
    --------
    >>> import numpy as np
    >>> from server.stats.panel_sums import sum_panel
    >>> from server.stats.ratings import build_ratings
    >>> from server.stats.reml_fit import fit_reml
    >>> sums = sum_panel(build_ratings(list("aabbcc"), ["X", "Y"] * 3, [3, 5, 4, 7, 2, 3]))
    >>> found = measure_uncertainty(fit_reml(sums, (0,)))
    >>> find_freedom(found, np.array([[1.0, -1.0]]))[1].round(6).tolist()  # balanced: 2 x 1
    [2.0]
    """
    import numpy as np

    variances = np.einsum("ma,ab,mb->m", contrasts, uncertainty.plain, contrasts)
    slopes = np.einsum("ma,kab,mb->mk", contrasts, uncertainty.changes, contrasts)
    wavering = np.einsum("mk,kl,ml->m", slopes, uncertainty.spread, slopes)
    widened = np.einsum("ma,ab,mb->m", contrasts, uncertainty.covariance, contrasts)
    return np.sqrt(widened), 2 * variances**2 / wavering


def compare_all(uncertainty: Uncertainty, means: "Array", counts: "Array") -> FTest | None:
    """Return the F test that all means are equal.

    Parameters
    ----------
    uncertainty : Uncertainty
    means : ndarray, shape (J,)
        In the unit of the covariance.
    counts : ndarray, shape (J,)
        How many values each sample has.

    Returns
    -------
    FTest or None
        None if there are two degrees of freedom or fewer where a widened
        covariance needs more.

    Notes
    -----
    Wald's statistic over J - 1. The degrees of freedom are those of an F with
    the expectation that the J - 1 independent contrasts along the axes of
    L Φ L' give together, each with its own df: with E = Σ df / (df - 2), they are
    2 E / (E - J + 1), or the smallest df where that is 2 or less [1]_. Which L is
    taken moves the fifth digit where there are gaps; here it is, as in a general
    mixed-model library in R, the contrasts one after another that least squares
    would find uncorrelated. A widened covariance has the scale and the degrees of
    freedom of Kenward and Roger, whatever L.

    References
    ----------
    .. [1] Fai, A. H.-T. & Cornelius, P. L. (1996). Approximate F-tests of multiple
       degree of freedom hypotheses in generalized least squares analyses of
       unbalanced split-plot experiments. Journal of Statistical Computation and
       Simulation, 54, 363-378 (from memory).

    Examples
    --------
    >>> from server.stats.panel_sums import sum_panel
    >>> from server.stats.ratings import build_ratings
    >>> from server.stats.reml_fit import fit_reml
    >>> sums = sum_panel(build_ratings(list("aabbcc"), ["X", "Y"] * 3, [3, 5, 4, 7, 2, 3]))
    >>> found = measure_uncertainty(fit_reml(sums, (0,)))
    >>> test = compare_all(found, sums.centres / sums.unit, sums.counts.sum(axis=0))
    >>> round(test.f, 6), round(test.df[1], 6)  # as the balanced analysis of variance has it
    (12.0, 2.0)
    """
    import numpy as np

    contrasts = _build_contrasts(counts)
    effects = contrasts @ means
    rank = len(effects)
    wald = effects @ np.linalg.solve(contrasts @ uncertainty.covariance @ contrasts.T, effects)
    if uncertainty.widened:
        found = _scale(uncertainty, contrasts)
        if found is None:
            return None
        scale, df = found
    else:
        scale, df = 1.0, _pool_freedom(uncertainty, contrasts)
    f = float(scale * wald / rank)
    return FTest(f, (float(rank), df), f_tail(f, rank, df))


def _pool_freedom(uncertainty: Uncertainty, contrasts: "Array") -> float:
    import numpy as np

    rank = len(contrasts)
    _, axes = np.linalg.eigh(contrasts @ uncertainty.plain @ contrasts.T)
    _, each = find_freedom(uncertainty, axes.T @ contrasts)
    if np.ptp(each) <= ALIKE * each.max():
        return float(each.mean())
    if each.min() <= 2:
        return float(each.min())
    expected = float((each / (each - 2)).sum())
    return 2 * expected / (expected - rank)


def _scale(uncertainty: Uncertainty, contrasts: "Array") -> tuple[float, float] | None:
    """Return Kenward's and Roger's scale and degrees of freedom, None if they have none."""
    import numpy as np

    rank = len(contrasts)
    middle = np.linalg.inv(contrasts @ uncertainty.plain @ contrasts.T)
    turned = np.einsum(
        "ab,bc,kcd,ed->kae", middle, contrasts, uncertainty.changes, contrasts, optimize=True
    )
    traces = np.einsum("kaa->k", turned)
    first = float(traces @ uncertainty.spread @ traces)
    second = float(np.einsum("kl,kab,lba->", uncertainty.spread, turned, turned))
    total = (first + 6 * second) / (2 * rank)
    skew = ((rank + 1) * first - (rank + 4) * second) / ((rank + 2) * second)
    base = 3 * rank + 2 * (1 - skew)
    one, two, three = skew / base, (rank - skew) / base, (rank + 2 - skew) / base
    if second >= rank or two * total >= 1 or three * total >= 1:
        return None
    expectation = 1 / (1 - second / rank)
    variance = 2 / rank * (1 + one * total) / ((1 - two * total) ** 2 * (1 - three * total))
    ratio = variance / (2 * expectation**2)
    df = 4 + (rank + 2) / (rank * ratio - 1)
    if not 2 < df < math.inf:
        return None
    return df / (expectation * (df - 2)), float(df)


def _build_contrasts(counts: "Array") -> "Array":
    """Return J - 1 contrasts of the means, uncorrelated for least squares.

    The effects are coded as deviations from a general mean, the last of them left
    out; with X' X = R' R of that coding, the contrasts are the rows of R after the
    first, in terms of the means.
    """
    import numpy as np

    samples = len(counts)
    coding = np.ones((samples, samples))
    coding[:, 1:] = np.vstack((np.eye(samples - 1), -np.ones(samples - 1)))
    root = np.linalg.cholesky(coding.T @ (counts[:, None] * coding)).T
    return np.asarray(np.linalg.solve(coding.T, (root[1:] / np.diag(root)[1:, None]).T).T)


def _list_changes(fit: Fit) -> "Array":
    """Return ∂Φ / ∂v of all variances, error last: Φ X' V⁻¹ V_k V⁻¹ X Φ."""
    import numpy as np

    point, products = fit.point, fit.products
    carried = point.covariance @ point.carry.T
    random = np.einsum("jb,kbc,ic->kji", carried, products.outer, carried, optimize=True)
    shares = point.ratios[list(fit.kinds)]
    error = point.covariance - np.einsum("k,kij->ij", shares, random)
    return np.concatenate((random, error[None]))


def _list_bends(fit: Fit) -> "Array":
    """Return Φ Q_kl Φ of all pairs of variances, error last."""
    import numpy as np

    point, products = fit.point, fit.products
    carried = point.covariance @ point.carry.T
    damped = np.einsum("kab,bc,lcd->klad", products.outer, point.damping, products.outer)
    inner = products.chains - damped
    random = np.einsum("jb,klbc,ic->klji", carried, inner, carried, optimize=True)
    shares, changes = point.ratios[list(fit.kinds)], _list_changes(fit)
    size = len(changes)
    bends = np.zeros((size, size, *point.covariance.shape))
    bends[:-1, :-1] = random
    bends[:-1, -1] = changes[:-1] - np.einsum("klij,l->kij", random, shares)
    bends[-1, :-1] = changes[:-1] - np.einsum("lkij,l->kij", random, shares)
    bends[-1, -1] = changes[-1] - np.einsum("kij,k->ij", bends[-1, :-1], shares)
    return bends / point.error
