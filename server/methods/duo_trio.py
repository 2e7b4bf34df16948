"""Duo-trio test: a reference, and two cups of which one is the same sample."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from server.methods.base import N_, PICK_ONE, Sided
from server.methods.percepts import read_percepts
from server.methods.picking import PicksOne
from server.methods.served import check_order
from server.stats.forced_choice import DUO_TRIO as MODEL
from server.stats.thurstone import ForcedChoice

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray


@dataclass(frozen=True)
class DuoTrio(PicksOne):
    """The duo-trio test; attributes as in `base.Method`.

    Notes
    -----
    With a balanced reference either sample is the reference in half of the servings. With a
    constant one it is always sample A, the one that tasters know; its d′ is the same.

    References
    ----------
    ISO 10399:2017, Sensory analysis - Methodology - Duo-trio test.

    Examples
    --------
    >>> DUO_TRIO.decide([0.0, 0.4, 1.1]).item()
    True
    """

    name: str = "duo-trio"
    title: str = N_("Duo-trio test")
    standard: str = "ISO 10399:2017"
    model: ForcedChoice = MODEL
    sided: Sided = "one"
    orders: tuple[str, ...] = ("AAB", "ABA", "BAB", "BBA")
    cups: int = 3
    needs: str = ""
    form: str = PICK_ONE
    reference: bool = True
    serving: str = "set with a reference"
    success: str = "the cup like the reference was picked"
    question: str = N_("The left cup is the reference. Which of the other two is like it?")
    verdict: str = N_("You say {pick} is like the reference.")
    instruction: str = N_(
        "Taste the reference first, then the other two from left to right; "
        "you may taste again. "
        "If you cannot tell, pick a cup all the same and tick that you guessed."
    )

    def is_correct(self, body: Mapping[str, Any], codes: Sequence[str], order: str) -> bool:
        """Tell whether the picked cup is of the reference's sample.

        Raises
        ------
        ValueError
            If `order` is none of the method's, or there are not three codes.

        Examples
        --------
        >>> DUO_TRIO.is_correct({"pick": "936"}, ["412", "587", "936"], "ABA")
        True
        """
        check_order(order, self.orders, codes)
        return bool(body["pick"] == codes[order.index(order[0], 1)])

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
DUO_TRIO_CONSTANT = DuoTrio(
    name="duo-trio-constant",
    title=N_("Duo-trio test, constant reference"),
    orders=("AAB", "ABA"),
    needs="Needs tasters who know sample A, the reference of every serving.",
)
