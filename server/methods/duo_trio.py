"""Duo-trio test: a reference, and two cups of which one is the same sample."""

from dataclasses import dataclass
from typing import TYPE_CHECKING

from server.methods.base import Sided
from server.methods.percepts import read_percepts
from server.stats.forced_choice import DUO_TRIO as MODEL
from server.stats.thurstone import ForcedChoice

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray


@dataclass(frozen=True)
class DuoTrio:
    """The duo-trio test; attributes as in `base.Counted`.

    References
    ----------
    ISO 10399:2017, Sensory analysis - Methodology - Duo-trio test.

    Examples
    --------
    >>> DUO_TRIO.decide([0.0, 0.4, 1.1]).item()
    True
    """

    name: str = "duo-trio"
    title: str = "Duo-trio test"
    standard: str = "ISO 10399:2017"
    model: ForcedChoice = MODEL
    sided: Sided = "one"
    cups: int = 3
    needs: str = ""

    def decide(self, percepts: "NDArray[np.float64]") -> "NDArray[np.bool_]":
        """Tell whether the matching cup is nearer to the reference than the other cup.

        Parameters
        ----------
        percepts : ndarray of float, shape (..., 3)
            Reference, cup of the same sample, cup of the other sample.

        Returns
        -------
        ndarray of bool, shape (...)

        Raises
        ------
        ValueError
            If there are not three cups.

        Examples
        --------
        >>> DUO_TRIO.decide([[0.0, 0.5, -1.0], [0.0, 0.5, 0.25]]).tolist()
        [True, False]
        """
        reference, same, other = read_percepts(percepts, self.cups)
        return abs(same - reference) < abs(other - reference)


DUO_TRIO = DuoTrio()
