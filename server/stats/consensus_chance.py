"""How much consensus turning would find among assessors who have nothing in common."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from server.stats.consensus import TOO_FEW, settle
from server.stats.procrustes import stack

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]

DRAWS = 199
TIE = 1e-5  # ratios as alike may be equal but for where the turning stopped
CLOSE = 1e-7  # gain of a sweep not worth another, as a share of the total sum of squares


@dataclass(frozen=True)
class ConsensusTest:
    """A permutation test of a consensus.

    Attributes
    ----------
    ratio : float or None
        Consensus as a share of the total sum of squares, from the first start only.
    mean_by_chance : float or None
        Mean of the same among permuted configurations.
    p_value : float or None
        (1 + permutations with as large a ratio) / (1 + permutations).
    draws, seed : int
    notes : tuple of str
        Why there is none.
    """

    ratio: float | None
    mean_by_chance: float | None
    p_value: float | None
    draws: int
    seed: int
    notes: tuple[str, ...]


def judge_consensus(
    configurations: "Sequence[Floats]", scaled: bool = False, draws: int = DRAWS, seed: int = 1
) -> ConsensusTest:
    """Test whether assessors have more in common than turning finds in anything.

    Parameters
    ----------
    configurations : sequence of array_like of float, shapes (samples, p_i)
        As in `find_consensus`.
    scaled : bool
        Whether configurations may be stretched.
    draws : int
        Permutations, 1 or more.
    seed : int
        Of the random numbers, 0 or more.

    Returns
    -------
    ConsensusTest

    Raises
    ------
    ValueError
        If a configuration has a gap or other samples, or a number is out of range.

    Notes
    -----
    Under the hypothesis any assessor's samples might be swapped [1]_. All
    configurations, permuted or not, are turned from the same start, so that
    observed and permuted ratios are drawn alike.

    References
    ----------
    .. [1] Wakeling, I. N., Raats, M. M. & MacFie, H. J. H. (1992). A new
       significance test for consensus in generalized Procrustes analysis.
       Journal of Sensory Studies, 7, 91-96 (from memory).

    Examples
    --------
    >>> line = [[1.0], [2.0], [4.0], [8.0], [16.0]]
    >>> found = judge_consensus([line, line, line], draws=99)
    >>> found.ratio, found.p_value < 0.05
    (1.0, True)
    """
    import numpy as np

    for name, value, least in (("draws", draws, 1), ("seed", seed, 0)):
        if value < least:
            raise ValueError(f"{name} must be {least} or more, not {value}")
    own = stack(list(configurations))
    own = own[(own**2).sum(axis=(1, 2)) > 0]
    if len(own) < 2:
        return ConsensusTest(None, None, None, draws, seed, (TOO_FEW,))
    rng = np.random.default_rng(seed)
    rows = np.tile(np.arange(own.shape[1]), (draws, len(own), 1))
    shuffled = rng.permuted(rows, axis=2)
    permuted = own[np.arange(len(own))[None, :, None], shuffled]
    turned, _, _ = settle(np.concatenate([own[None], permuted]), scaled, CLOSE)
    ratios = (turned.sum(axis=1) ** 2).sum(axis=(1, 2)) / len(own) / (own**2).sum()
    as_large = int((ratios[1:] >= ratios[0] * (1 - TIE)).sum())
    return ConsensusTest(
        ratio=float(ratios[0]),
        mean_by_chance=float(ratios[1:].mean()),
        p_value=(1 + as_large) / (1 + draws),
        draws=draws,
        seed=seed,
        notes=(),
    )
