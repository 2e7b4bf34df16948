"""2-AFC test: two cups, and which of them is stronger in a way named beforehand."""

from dataclasses import dataclass
from typing import TYPE_CHECKING

from server.methods.base import KNOWN_DIRECTION, Sided
from server.methods.percepts import read_percepts
from server.stats.forced_choice import TWO_AFC as MODEL
from server.stats.thurstone import ForcedChoice

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray


@dataclass(frozen=True)
class TwoAfc:
    """The 2-AFC test; attributes as in `base.Counted`.

    Notes
    -----
    One-sided: which sample is the stronger one was known before the test. If
    either may be, it is a paired comparison.

    References
    ----------
    ISO 5495:2005, Sensory analysis - Methodology - Paired comparison test
    (its one-sided form).

    Examples
    --------
    >>> TWO_AFC.decide([0.2, 0.9]).item()
    True
    """

    name: str = "2-afc"
    title: str = "2-AFC test"
    standard: str = "ISO 5495:2005, one-sided"
    model: ForcedChoice = MODEL
    sided: Sided = "one"
    cups: int = 2
    needs: str = KNOWN_DIRECTION

    def decide(self, percepts: "NDArray[np.float64]") -> "NDArray[np.bool_]":
        """Tell whether the stronger cup seems stronger.

        Parameters
        ----------
        percepts : ndarray of float, shape (..., 2)
            Weaker cup, stronger cup.

        Returns
        -------
        ndarray of bool, shape (...)

        Raises
        ------
        ValueError
            If there are not two cups.

        Examples
        --------
        >>> TWO_AFC.decide([[0.0, 1.0], [0.0, -1.0]]).tolist()
        [True, False]
        """
        weaker, stronger = read_percepts(percepts, self.cups)
        return stronger > weaker


TWO_AFC = TwoAfc()
