"""2-AFC test: two cups, and which of them is stronger in a way named beforehand."""

from dataclasses import dataclass
from typing import TYPE_CHECKING

from server.methods.base import KNOWN_DIRECTION, N_, PICK_ONE, Sided
from server.methods.percepts import read_percepts
from server.methods.picking import PicksB
from server.stats.forced_choice import TWO_AFC as MODEL
from server.stats.thurstone import ForcedChoice

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray


@dataclass(frozen=True)
class TwoAfc(PicksB):
    """The 2-AFC test; attributes as in `base.Method`.

    Notes
    -----
    One-sided: which sample is the stronger one was known before the test. If
    either may be, it is a paired comparison. The choice is forced.

    References
    ----------
    ISO 5495:2005, Sensory analysis - Methodology - Paired comparison test
    (its one-sided form).

    Examples
    --------
    >>> body = TWO_AFC.parse_answer({"pick": "587", "cue": ""}, ["412", "587"])
    >>> body
    {'pick': '587', 'guess': False, 'cue': '', 'comment': ''}
    >>> TWO_AFC.is_correct(body, ["412", "587"], "AB")
    True
    """

    name: str = "2-afc"
    title: str = N_("2-AFC test")
    standard: str = "ISO 5495:2005, one-sided"
    model: ForcedChoice = MODEL
    sided: Sided = "one"
    orders: tuple[str, ...] = ("AB", "BA")
    cups: int = 2
    needs: str = KNOWN_DIRECTION
    form: str = PICK_ONE
    reference: bool = False
    serving: str = "pair"
    success: str = "the cup with more “{attribute}” was picked"
    question: str = N_("Which cup has more {attribute}?")
    verdict: str = N_("You say {pick} has more {attribute}.")
    instruction: str = N_(
        "Taste the left cup, then the right one; you may taste again. "
        "If you cannot tell, pick a cup all the same and tick that you guessed."
    )

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
