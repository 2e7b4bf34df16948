"""Paired comparison: two cups, and which is stronger, whichever way round it is."""

from dataclasses import dataclass
from typing import TYPE_CHECKING

from server.methods.base import KNOWN_ATTRIBUTE, N_, PICK_ONE, Sided
from server.methods.picking import PicksB
from server.methods.two_afc import TWO_AFC
from server.stats.forced_choice import PAIRED_COMPARISON as MODEL
from server.stats.thurstone import ForcedChoice

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray


@dataclass(frozen=True)
class PairedComparison(PicksB):
    """The paired comparison test, two-sided; attributes as in `base.Method`.

    Notes
    -----
    Answers are counted for one of the samples, say the second; few of them
    tell of a difference as well as many.

    References
    ----------
    ISO 5495:2005, Sensory analysis - Methodology - Paired comparison test.

    Examples
    --------
    >>> PAIRED_COMPARISON.is_correct({"pick": "587"}, ["412", "587"], "AB")
    True
    >>> PAIRED_COMPARISON.decide([0.2, 0.9]).item()
    True
    """

    name: str = "paired-comparison"
    title: str = N_("Paired comparison test")
    standard: str = "ISO 5495:2005"
    model: ForcedChoice = MODEL
    sided: Sided = "two"
    orders: tuple[str, ...] = ("AB", "BA")
    cups: int = 2
    needs: str = KNOWN_ATTRIBUTE
    form: str = PICK_ONE
    reference: bool = False
    serving: str = "pair"
    success: str = "“{lead}” was said to have more “{attribute}”"
    question: str = TWO_AFC.question
    verdict: str = TWO_AFC.verdict
    instruction: str = TWO_AFC.instruction

    def decide(self, percepts: "NDArray[np.float64]") -> "NDArray[np.bool_]":
        """Tell whether the second sample's cup seems stronger.

        Parameters
        ----------
        percepts : ndarray of float, shape (..., 2)
            Cup of the first sample, cup of the second.

        Returns
        -------
        ndarray of bool, shape (...)

        Raises
        ------
        ValueError
            If there are not two cups.

        Examples
        --------
        >>> PAIRED_COMPARISON.decide([[0.0, 1.0], [0.0, -1.0]]).tolist()
        [True, False]
        """
        return TWO_AFC.decide(percepts)


PAIRED_COMPARISON = PairedComparison()
