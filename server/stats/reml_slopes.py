"""First and second derivatives of the restricted likelihood by the variances.

With P = V⁻¹ - V⁻¹ X (X' V⁻¹ X)⁻¹ X' V⁻¹ and V = Σ_k v_k Z_k Z_k' [1]_,

    ∂ log L / ∂ v_k = -½ {tr(Z_k' P Z_k) - |Z_k' P y|²},
    -E ∂² log L / ∂ v_k ∂ v_l = ½ |Z_k' P Z_l|²,
    -∂² log L / ∂ v_k ∂ v_l = (Z_k' P y)' (Z_k' P Z_l) (Z_l' P y) - ½ |Z_k' P Z_l|².

P is V0⁻¹ less a matrix of the rank of the bowls, and V0⁻¹ falls apart into one
small block an assessor, so that all norms and products are sums over assessors.
What belongs to the error follows from P V P = P.

References
----------
.. [1] Searle, S. R., Casella, G. & McCulloch, C. E. (1992). Variance Components,
   chapter 6 (chapter from memory).
"""

from dataclasses import dataclass
from typing import TYPE_CHECKING

from server.stats.panel_sums import PanelSums
from server.stats.reml import ASSESSOR, BOWL, CELL, Point

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Array = NDArray[np.float64]

# Of an assessor's block: the assessor first, then the cells.
PARTS = {ASSESSOR: slice(0, 1), CELL: slice(1, None)}


@dataclass(frozen=True, eq=False)
class Products:
    """Products of the random effects' columns in V0⁻¹; K effects, B bowls.

    Attributes
    ----------
    kinds : tuple of int
        Which random effects are in the model.
    norms : ndarray, shape (K, K)
        |Z_k' V0⁻¹ Z_l|².
    traces : ndarray, shape (K,)
        tr(Z_k' V0⁻¹ Z_k).
    outer : ndarray, shape (K, B, B)
        E_k E_k', with E_k = D' V0⁻¹ Z_k and D the rows' bowls.
    chains : ndarray, shape (K, K, B, B)
        E_k (Z_k' V0⁻¹ Z_l) E_l'.
    blocks : ndarray, shape (I, 1 + J, 1 + J)
        Z' V0⁻¹ Z of every assessor.
    edges : ndarray, shape (I, B, 1 + J)
        D' V0⁻¹ Z of every assessor.
    """

    kinds: tuple[int, ...]
    norms: "Array"
    traces: "Array"
    outer: "Array"
    chains: "Array"
    blocks: "Array"
    edges: "Array"


@dataclass(frozen=True, eq=False)
class Slopes:
    """Derivatives by the variances, of the random effects first, of error last.

    Attributes
    ----------
    gradient : ndarray, shape (K + 1,)
    observed, expected : ndarray, shape (K + 1, K + 1)
        Information: less the second derivatives, and what is expected of them.
    """

    gradient: "Array"
    observed: "Array"
    expected: "Array"


def multiply(sums: PanelSums, point: Point, kinds: tuple[int, ...]) -> Products:
    """Return the products of the random effects' columns.

    Parameters
    ----------
    sums : PanelSums
    point : Point
        Where to take them.
    kinds : tuple of int
        Which random effects are in the model, ascending.

    Returns
    -------
    Products

    Examples
    --------
    >>> import numpy as np
    >>> from server.stats.panel_sums import sum_panel
    >>> from server.stats.ratings import build_ratings
    >>> from server.stats.reml import evaluate
    >>> sums = sum_panel(build_ratings(list("aabb"), ["X", "Y"] * 2, [3, 5, 4, 7]))
    >>> multiply(sums, evaluate(sums, np.zeros(3)), (ASSESSOR,)).norms.tolist()
    [[8.0]]
    """
    import numpy as np

    blocks, edges = _build_blocks(point), _build_edges(sums, point)
    design, kind = point.absorbed.design, len(kinds)
    size = len(design)
    norms, traces = np.zeros((kind, kind)), np.zeros(kind)
    outer, chains = np.zeros((kind, size, size)), np.zeros((kind, kind, size, size))
    for k, one in enumerate(kinds):
        outer[k] = design @ design if one == BOWL else _fold(edges[:, :, PARTS[one]])
        traces[k] = np.trace(design if one == BOWL else blocks[:, PARTS[one], PARTS[one]].sum(0))
        for m, other in enumerate(kinds[: k + 1]):
            if one == BOWL:  # E is D' V0⁻¹ D, and so is the block
                chains[k, m] = design @ outer[m]
                norms[k, m] = (design**2).sum() if other == BOWL else np.trace(outer[m])
            else:
                block, edge = blocks[:, PARTS[one], PARTS[other]], edges[:, :, PARTS[other]]
                chains[k, m] = _fold(edges[:, :, PARTS[one]] @ block, edge)
                norms[k, m] = (block**2).sum()
            chains[m, k], norms[m, k] = chains[k, m].T, norms[k, m]
    return Products(kinds, norms, traces, outer, chains, blocks, edges)


def differentiate(sums: PanelSums, point: Point, products: Products) -> Slopes:
    """Return the derivatives of the log-likelihood by the variances.

    Parameters
    ----------
    sums : PanelSums
    point : Point
    products : Products
        As `multiply` returns them for this point.

    Returns
    -------
    Slopes
        In units of `sums`.

    Examples
    --------
    >>> import numpy as np
    >>> from server.stats.panel_sums import sum_panel
    >>> from server.stats.ratings import build_ratings
    >>> from server.stats.reml import evaluate
    >>> ratings = build_ratings(list("aabbcc"), ["X", "Y"] * 3, [3, 5, 4, 7, 2, 3])
    >>> sums = sum_panel(ratings)
    >>> point = evaluate(sums, np.array([4.0, 0.0, 0.0]))  # balanced: as moments have it
    >>> slopes = differentiate(sums, point, multiply(sums, point, (0,)))
    >>> bool(np.abs(slopes.gradient).max() < 1e-12)
    True
    """
    import numpy as np

    shares = point.ratios[list(products.kinds)]
    drain = point.damping + point.carry @ point.covariance @ point.carry.T  # of P, on D
    damped = np.einsum("bc,kcd->kbd", drain, products.outer)
    norms = products.norms - 2 * np.einsum("bc,klcb->kl", drain, products.chains)
    norms += np.einsum("kbc,lcb->kl", damped, damped)
    traces = products.traces - np.einsum("kbb->k", damped)
    lengths, forms, left = _measure_values(point, products, drain)
    traces, norms = _add_error(traces, norms, shares, sums.values - sums.samples)
    lengths, forms = _add_error(lengths, forms, shares, left)
    error = point.error
    expected = norms / (2 * error**2)
    return Slopes(
        gradient=-(traces / error - lengths / error**2) / 2,
        observed=forms / error**3 - expected,
        expected=expected,
    )


def _add_error(
    firsts: "Array", seconds: "Array", shares: "Array", total: float
) -> "tuple[Array, Array]":
    """Add to forms in P of the random effects those of the error, by P V P = P."""
    import numpy as np

    column = firsts - seconds @ shares
    last = total - firsts @ shares
    corner = last - column @ shares
    top = np.column_stack((seconds, column))
    return np.r_[firsts, last], np.vstack((top, np.r_[column, corner]))


def _measure_values(
    point: Point, products: Products, drain: "Array"
) -> "tuple[Array, Array, float]":
    """Return |Z_k' P y|², (Z_k' P y)' Z_k' P Z_l (Z_l' P y), and y' P y."""
    import numpy as np

    absorbed, kinds = point.absorbed, products.kinds
    lines = absorbed.sums.sum(axis=1)
    kept = 1 - absorbed.pulls * absorbed.weights.sum(axis=1)
    raw = absorbed.sums - (absorbed.pulls * lines)[:, None] * absorbed.weights
    pulled = drain @ absorbed.response
    scores = np.column_stack((lines * kept, raw)) - np.einsum("ibq,b->iq", products.edges, pulled)
    by_bowl = absorbed.response - absorbed.design @ pulled
    parts = {kind: scores[:, PARTS[kind]] for kind in kinds if kind != BOWL}
    folds = [
        absorbed.design @ by_bowl
        if kind == BOWL
        else np.einsum("ibq,iq->b", products.edges[:, :, PARTS[kind]], parts[kind])
        for kind in kinds
    ]
    lengths = np.array([((by_bowl if k == BOWL else parts[k]) ** 2).sum() for k in kinds])
    forms = np.empty((len(kinds), len(kinds)))
    for k, one in enumerate(kinds):
        for m, other in enumerate(kinds):
            if BOWL in (one, other):
                inner = folds[m if one == BOWL else k] @ by_bowl
            else:
                block = products.blocks[:, PARTS[one], PARTS[other]]
                inner = np.einsum("ip,ipq,iq->", parts[one], block, parts[other])
            forms[k, m] = inner - folds[k] @ drain @ folds[m]
    left = absorbed.squares - absorbed.response @ pulled
    return lengths, forms, float(left)


def _build_blocks(point: Point) -> "Array":
    """Return Z' V0⁻¹ Z of every assessor: the assessor first, then the cells."""
    import numpy as np

    weights, pulls = point.absorbed.weights, point.absorbed.pulls
    people, samples = weights.shape
    reach = weights.sum(axis=1)
    kept = 1 - pulls * reach
    blocks = np.empty((people, 1 + samples, 1 + samples))
    blocks[:, 0, 0] = reach * kept
    blocks[:, 0, 1:] = blocks[:, 1:, 0] = weights * kept[:, None]
    blocks[:, 1:, 1:] = weights[:, :, None] * np.eye(samples)
    blocks[:, 1:, 1:] -= (pulls[:, None] * weights)[:, :, None] * weights[:, None, :]
    return blocks


def _build_edges(sums: PanelSums, point: Point) -> "Array":
    """Return D' V0⁻¹ Z of every assessor: the assessor first, then the cells."""
    import numpy as np

    weights, loads, pulls = (
        point.absorbed.weights,
        point.absorbed.loads,
        point.absorbed.pulls,
    )
    edges = np.empty((*loads.shape, 1 + sums.samples))
    edges[:, :, 0] = loads * (1 - pulls * weights.sum(axis=1))[:, None]
    edges[:, :, 1:] = loads[:, :, None] * sums.membership
    edges[:, :, 1:] -= (pulls[:, None] * loads)[:, :, None] * weights[:, None, :]
    return edges


def _fold(left: "Array", right: "Array | None" = None) -> "Array":
    """Return Σ over assessors of left right'; `right` is `left` if not given."""
    import numpy as np

    right = left if right is None else right
    folded: Array = np.tensordot(left, right, axes=((0, 2), (0, 2)))
    return folded
