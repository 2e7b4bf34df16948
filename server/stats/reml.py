"""The restricted likelihood of a panel's ratings, and how it bends.

The values y of I assessors on B bowls of J samples are modelled as

    y = X μ + Z_A a + Z_C c + Z_B b + e,     V = Σ_k v_k Z_k Z_k' + v_E 1,

with μ the means of the samples, and random assessors, cells (assessor x sample),
bowls within samples, and error, of variances v_A, v_C, v_B, v_E. The ratios
v_k / v_E are what is searched over; v_E follows from them.

Cells lie within assessors, so that assessors and cells are absorbed in closed form,
assessor by assessor (Woodbury); what is left is a system of the size of the bowls.
Nothing is ever as long as the number of rows, nor as large as the number of cells
squared. In the formulas below V is in units of v_E.
"""

from dataclasses import dataclass
from typing import TYPE_CHECKING

from server.stats.panel_sums import PanelSums

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Array = NDArray[np.float64]

# The places of the random effects in an array of ratios.
ASSESSOR, CELL, BOWL = range(3)


@dataclass(frozen=True, eq=False)
class Absorbed:
    """Assessors and cells absorbed: V0 is V without the bowls, D the rows' bowls.

    For many ratios at once every array has their axis in front.

    Attributes
    ----------
    weights : ndarray, shape (I, J)
        n / (1 + θ_C n) of every cell.
    loads : ndarray, shape (I, B)
        The same of every assessor on every bowl: n_ib / (1 + θ_C n_ij).
    pulls : ndarray, shape (I,)
        θ_A / (1 + θ_A Σ_j weights) of every assessor.
    sums : ndarray, shape (I, J)
        Totals of the cells / (1 + θ_C n).
    squares : ndarray, shape ()
        y' V0⁻¹ y.
    design : ndarray, shape (B, B)
        D' V0⁻¹ D.
    response : ndarray, shape (B,)
        D' V0⁻¹ y.
    log_det : ndarray, shape ()
        log |V0|.
    """

    weights: "Array"
    loads: "Array"
    pulls: "Array"
    sums: "Array"
    squares: "Array"
    design: "Array"
    response: "Array"
    log_det: "Array"


@dataclass(frozen=True, eq=False)
class Point:
    """The model at given ratios of variances.

    Attributes
    ----------
    ratios : ndarray, shape (3,)
        Variances of assessors, cells and bowls over that of error.
    error : float
        The variance of error that is likeliest there, in squared units of `sums`.
    log_likelihood : float
        The restricted one, of the values in units of `sums`.
    means : ndarray, shape (J,)
        Means of the samples, less their plain means.
    covariance : ndarray, shape (J, J)
        (X' V⁻¹ X)⁻¹; times `error` it is the covariance of the means.
    carry : ndarray, shape (B, J)
        (1 + θ_B D' V0⁻¹ D)⁻¹ S, with S which bowl holds which sample: V⁻¹ X is
        V0⁻¹ D times it.
    damping : ndarray, shape (B, B)
        θ_B (1 + θ_B D' V0⁻¹ D)⁻¹.
    absorbed : Absorbed
    """

    ratios: "Array"
    error: float
    log_likelihood: float
    means: "Array"
    covariance: "Array"
    carry: "Array"
    damping: "Array"
    absorbed: Absorbed


def evaluate(sums: PanelSums, ratios: "Array") -> Point:
    """Return the restricted likelihood and the means at given ratios of variances.

    Parameters
    ----------
    sums : PanelSums
    ratios : ndarray of float, shape (3,)
        Variances of assessors, cells and bowls over that of error, 0 or more.

    Returns
    -------
    Point

    Notes
    -----
    With n values, J means and r = y' V⁻¹ y - μ' X' V⁻¹ y,

        log L = -½ {(n - J) [1 + log(2π r / (n - J))] + log |V| + log |X' V⁻¹ X|}

    [1]_. The last term depends on how the fixed effects are coded: means of
    samples, as here, and differences to a first sample give the same, deviations
    from a general mean do not (they differ by log J).

    References
    ----------
    .. [1] Harville, D. A. (1977). Maximum likelihood approaches to variance
       component estimation and to related problems. Journal of the American
       Statistical Association, 72, 320-338 (from memory).

    Examples
    --------
    >>> import numpy as np
    >>> from server.stats.panel_sums import sum_panel
    >>> from server.stats.ratings import build_ratings
    >>> ratings = build_ratings(list("aabbcc"), ["X", "Y"] * 3, [3, 5, 4, 7, 2, 3])
    >>> point = evaluate(sum_panel(ratings), np.array([1.0, 0.0, 0.0]))
    >>> round(point.log_likelihood, 6), np.round(point.means, 9).tolist()
    (-6.040397, [0.0, 0.0])
    """
    error, height, parts = _solve(sums, ratios)
    return Point(ratios, float(error), float(height), *parts)


def find_heights(sums: PanelSums, ratios: "Array") -> "Array":
    """Return the restricted log-likelihood at many ratios of variances, all at once.

    Parameters
    ----------
    sums : PanelSums
    ratios : ndarray of float, shape (m, 3)
        As for `evaluate`, one point a row.

    Returns
    -------
    ndarray, shape (m,)

    Examples
    --------
    >>> import numpy as np
    >>> from server.stats.panel_sums import sum_panel
    >>> from server.stats.ratings import build_ratings
    >>> ratings = build_ratings(list("aabbcc"), ["X", "Y"] * 3, [3, 5, 4, 7, 2, 3])
    >>> find_heights(sum_panel(ratings), np.array([[1.0, 0, 0], [4.0, 0, 0]])).round(6).tolist()
    [-6.040397, -5.752715]
    """
    return _solve(sums, ratios)[1]


def _solve(
    sums: PanelSums, ratios: "Array"
) -> "tuple[Array, Array, tuple[Array, Array, Array, Array, Absorbed]]":
    """Return error, log-likelihood and the rest of a point; ratios may be many, (..., 3)."""
    import numpy as np

    absorbed, bowl = _absorb(sums, ratios), ratios[..., BOWL, None, None]
    inverse, spread = _invert(np.eye(len(sums.holds)) + bowl * absorbed.design)
    carry, damping = inverse @ sums.membership, bowl * inverse
    covariance, precise = _invert(carry.mT @ absorbed.design @ sums.membership)
    response = np.vecmat(absorbed.response, carry)
    means = np.matvec(covariance, response)
    damped = np.matvec(damping, absorbed.response)
    left = absorbed.squares - np.vecdot(absorbed.response, damped) - np.vecdot(means, response)
    freedom = sums.values - sums.samples
    error = np.maximum(left, 1e-300) / freedom
    logs = absorbed.log_det + spread + precise
    height = -0.5 * (freedom * (1 + np.log(2 * np.pi * error)) + logs)
    return error, height, (means, covariance, carry, damping, absorbed)


def _absorb(sums: PanelSums, ratios: "Array") -> Absorbed:
    """Absorb the cells into the assessors, and the assessors into the bowls."""
    import numpy as np

    person, cell = ratios[..., ASSESSOR, None], ratios[..., CELL, None, None]
    counts, totals = sums.cells
    shrink = 1 + cell * counts
    weights, means = counts / shrink, totals / shrink
    loads = sums.counts / shrink[..., sums.holds]
    reach = weights.sum(axis=-1)
    pulls = person / (1 + person * reach)
    lines = means.sum(axis=-1)
    design = np.diag(sums.counts.sum(axis=0)) - cell * sums.same * (sums.counts.T @ loads)
    design -= (loads * pulls[..., None]).mT @ loads
    response = sums.totals.sum(axis=0) - (cell * loads * totals[:, sums.holds]).sum(axis=-2)
    pulled = (cell * totals * means).sum(axis=(-2, -1)) + np.vecdot(pulls, lines**2)
    return Absorbed(
        weights=weights,
        loads=loads,
        pulls=pulls,
        sums=means,
        squares=sums.squares - pulled,
        design=(design + design.mT) / 2,
        response=response - np.vecmat(pulls * lines, loads),
        log_det=np.log(shrink).sum(axis=(-2, -1)) + np.log1p(person * reach).sum(axis=-1),
    )


def _invert(matrix: "Array") -> "tuple[Array, Array]":
    """Return inverses of positive definite matrices, and the logs of their determinants."""
    import numpy as np

    root = np.linalg.cholesky((matrix + matrix.mT) / 2)
    half = np.linalg.solve(root, np.eye(root.shape[-1]))
    return half.mT @ half, 2 * np.log(np.linalg.diagonal(root)).sum(axis=-1)
