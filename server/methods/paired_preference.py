"""Paired preference: two cups, and which is liked better."""

from dataclasses import dataclass
from typing import TYPE_CHECKING

from server.methods.base import NO_STANDARD, Sided
from server.methods.percepts import read_percepts
from server.stats.forced_choice import PAIRED_PREFERENCE as MODEL
from server.stats.thurstone import ForcedChoice

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray


@dataclass(frozen=True)
class PairedPreference:
    """The paired preference test, two-sided; attributes as in `base.Counted`.

    Notes
    -----
    Nothing is correct here: answers are counted for one of the samples, say
    the second. One half for each may mean that nobody cares, or that two
    groups of people want opposite things.

    References
    ----------
    The two-sided test is that of ISO 5495:2005; that preference is asked by it
    is common practice.

    Examples
    --------
    >>> PAIRED_PREFERENCE.decide([6.5, 4.0]).item()
    False
    """

    name: str = "paired-preference"
    title: str = "Paired preference test"
    standard: str = NO_STANDARD
    model: ForcedChoice = MODEL
    sided: Sided = "two"
    cups: int = 2
    needs: str = ""

    def decide(self, percepts: "NDArray[np.float64]") -> "NDArray[np.bool_]":
        """Tell whether the second sample's cup is liked better.

        Parameters
        ----------
        percepts : ndarray of float, shape (..., 2)
            Liking of the first sample's cup, liking of the second's.

        Returns
        -------
        ndarray of bool, shape (...)

        Raises
        ------
        ValueError
            If there are not two cups.

        Examples
        --------
        >>> PAIRED_PREFERENCE.decide([[4.0, 6.0], [4.0, 4.0]]).tolist()
        [True, False]
        """
        first, second = read_percepts(percepts, self.cups)
        return second > first


PAIRED_PREFERENCE = PairedPreference()
