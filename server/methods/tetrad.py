"""Tetrad: four cups, two of each sample, to be sorted into two pairs."""

from dataclasses import dataclass
from typing import TYPE_CHECKING

from server.methods.base import Sided
from server.methods.percepts import read_percepts
from server.stats.forced_choice import TETRAD as MODEL
from server.stats.thurstone import ForcedChoice

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray


@dataclass(frozen=True)
class Tetrad:
    """The tetrad, nature of the difference unspecified; attributes as in `base.Counted`.

    Notes
    -----
    Tasters must be asked for two pairs. Who looks for the two most similar
    cups instead follows another rule and is correct about as often as in a
    triangle test.

    References
    ----------
    ASTM E3009, Standard test method for sensory analysis - Tetrad test.

    Examples
    --------
    >>> TETRAD.decide([0.1, 0.3, 1.2, 0.8]).item()
    True
    """

    name: str = "tetrad"
    title: str = "Tetrad test"
    standard: str = "ASTM E3009"
    model: ForcedChoice = MODEL
    sided: Sided = "one"
    cups: int = 4
    needs: str = ""

    def decide(self, percepts: "NDArray[np.float64]") -> "NDArray[np.bool_]":
        """Tell whether the two weakest and the two strongest percepts are the samples' pairs.

        Parameters
        ----------
        percepts : ndarray of float, shape (..., 4)
            Two cups of one sample, two cups of the other.

        Returns
        -------
        ndarray of bool, shape (...)

        Raises
        ------
        ValueError
            If there are not four cups.

        Examples
        --------
        >>> TETRAD.decide([[2.0, 3.0, 0.0, 1.0], [0.0, 2.0, 1.0, 3.0]]).tolist()
        [True, False]
        """
        import numpy as np

        a1, a2, b1, b2 = read_percepts(percepts, self.cups)
        below = np.maximum(a1, a2) < np.minimum(b1, b2)
        above = np.minimum(a1, a2) > np.maximum(b1, b2)
        return below | above


TETRAD = Tetrad()
