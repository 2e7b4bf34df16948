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

import math
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
    squares : float
        y' V0⁻¹ y.
    design : ndarray, shape (B, B)
        D' V0⁻¹ D.
    response : ndarray, shape (B,)
        D' V0⁻¹ y.
    log_det : float
        log |V0|.
    """

    weights: "Array"
    loads: "Array"
    pulls: "Array"
    sums: "Array"
    squares: float
    design: "Array"
    response: "Array"
    log_det: float


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
    import numpy as np

    absorbed = _absorb(sums, ratios)
    inverse, spread = _invert(np.eye(len(sums.holds)) + ratios[BOWL] * absorbed.design)
    carry = inverse @ sums.membership
    covariance, precise = _invert(carry.T @ absorbed.design @ sums.membership)
    response = carry.T @ absorbed.response
    means = covariance @ response
    damping = ratios[BOWL] * inverse
    left = absorbed.squares - absorbed.response @ damping @ absorbed.response - means @ response
    freedom = sums.values - sums.samples
    error = max(float(left), 1e-300) / freedom
    logs = absorbed.log_det + spread + precise
    return Point(
        ratios=ratios,
        error=error,
        log_likelihood=-0.5 * (freedom * (1 + math.log(2 * math.pi * error)) + logs),
        means=means,
        covariance=covariance,
        carry=carry,
        damping=damping,
        absorbed=absorbed,
    )


def _absorb(sums: PanelSums, ratios: "Array") -> Absorbed:
    """Absorb the cells into the assessors, and the assessors into the bowls."""
    import numpy as np

    person, cell = ratios[ASSESSOR], ratios[CELL]
    counts, totals = sums.cells
    shrink = 1 + cell * counts
    weights, means = counts / shrink, totals / shrink
    loads = sums.counts / shrink[:, sums.holds]
    reach = weights.sum(axis=1)
    pulls = person / (1 + person * reach)
    lines = means.sum(axis=1)
    design = np.diag(sums.counts.sum(axis=0)) - cell * sums.same * (sums.counts.T @ loads)
    design -= (loads * pulls[:, None]).T @ loads
    response = sums.totals.sum(axis=0) - cell * (loads * totals[:, sums.holds]).sum(axis=0)
    return Absorbed(
        weights=weights,
        loads=loads,
        pulls=pulls,
        sums=means,
        squares=sums.squares - cell * float((totals * means).sum()) - float(pulls @ lines**2),
        design=(design + design.T) / 2,
        response=response - loads.T @ (pulls * lines),
        log_det=float(np.log(shrink).sum() + np.log1p(person * reach).sum()),
    )


def _invert(matrix: "Array") -> "tuple[Array, float]":
    """Return the inverse of a positive definite matrix, and the log of its determinant."""
    import numpy as np

    root = np.linalg.cholesky((matrix + matrix.T) / 2)
    half = np.linalg.solve(root, np.eye(len(root)))
    return half.T @ half, 2 * float(np.log(np.diag(root)).sum())
