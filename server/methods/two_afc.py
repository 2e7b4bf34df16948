"""2-AFC test: two cups, and which of them is stronger in a way named beforehand."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from server.methods.base import KNOWN_DIRECTION, N_, PICK_ONE, Sided
from server.methods.fields import parse_notes, parse_pick
from server.methods.percepts import read_percepts
from server.methods.served import check_order
from server.stats.forced_choice import TWO_AFC as MODEL
from server.stats.thurstone import ForcedChoice

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray


@dataclass(frozen=True)
class TwoAfc:
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

    def parse_answer(self, form: Mapping[str, str], codes: Sequence[str]) -> dict[str, Any]:
        """Return the body ``{"pick": code, "guess": bool, "cue": str, "comment": str}``.

        A form that did not ask for a cue leaves it out.

        Raises
        ------
        InvalidAnswer
            If no served cup was picked, a cue lacks its word, or the words are too long.

        Examples
        --------
        >>> TWO_AFC.parse_answer({"cue": ""}, ["412", "587"])
        Traceback (most recent call last):
        server.methods.base.InvalidAnswer: pick: Pick one cup, even if you have to guess.
        """
        return {"pick": parse_pick(form, codes), **parse_notes(form)}

    def is_correct(self, body: Mapping[str, Any], codes: Sequence[str], order: str) -> bool:
        """Tell whether the picked cup is of the sample that was said to have more: ``B``.

        Raises
        ------
        ValueError
            If `order` is not one of the two, or there are not two codes.

        Examples
        --------
        >>> TWO_AFC.is_correct({"pick": "412"}, ["412", "587"], "BA")
        True
        """
        check_order(order, self.orders, codes)
        return bool(body["pick"] == codes[order.index("B")])

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
