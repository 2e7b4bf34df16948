"""3-AFC test: three cups, and which of them is strongest in a way named beforehand."""

from dataclasses import dataclass
from typing import TYPE_CHECKING

from server.methods.base import KNOWN_DIRECTION, N_, PICK_ONE, Sided
from server.methods.percepts import read_percepts
from server.methods.picking import PicksB
from server.stats.forced_choice import THREE_AFC as MODEL
from server.stats.thurstone import ForcedChoice

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray


@dataclass(frozen=True)
class ThreeAfc(PicksB):
    """The 3-AFC test; attributes as in `base.Method`.

    Notes
    -----
    One sample is known to be the stronger one, as in threshold tests, where
    one cup of three holds the substance.

    References
    ----------
    ISO 13301:2018, Sensory analysis - Methodology - General guidance for
    measuring odour, flavour and taste detection thresholds by a
    three-alternative forced-choice (3-AFC) procedure.

    Examples
    --------
    >>> THREE_AFC.decide([0.2, -0.3, 0.9]).item()
    True
    """

    name: str = "3-afc"
    title: str = N_("3-AFC test")
    standard: str = "ISO 13301:2018"
    model: ForcedChoice = MODEL
    sided: Sided = "one"
    orders: tuple[str, ...] = ("AAB", "ABA", "BAA")
    cups: int = 3
    needs: str = KNOWN_DIRECTION
    form: str = PICK_ONE
    reference: bool = False
    serving: str = "triad"
    success: str = "the cup with more “{attribute}” was picked"
    question: str = N_("Which cup has the most {attribute}?")
    verdict: str = N_("You say {pick} has the most {attribute}.")
    instruction: str = N_(
        "Taste from left to right; you may taste again. "
        "If you cannot tell, pick a cup all the same and tick that you guessed."
    )

    def decide(self, percepts: "NDArray[np.float64]") -> "NDArray[np.bool_]":
        """Tell whether the stronger cup seems the strongest.

        Parameters
        ----------
        percepts : ndarray of float, shape (..., 3)
            Weaker cup, weaker cup, stronger cup.

        Returns
        -------
        ndarray of bool, shape (...)

        Raises
        ------
        ValueError
            If there are not three cups.

        Examples
        --------
        >>> THREE_AFC.decide([[0.0, 0.5, 1.0], [0.0, 0.5, 0.25]]).tolist()
        [True, False]
        """
        import numpy as np

        one, other, stronger = read_percepts(percepts, self.cups)
        return stronger > np.maximum(one, other)


THREE_AFC = ThreeAfc()
