"""Triangle test: three cups, two of one sample and one of the other."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from server.methods.base import N_, PICK_ONE, Sided
from server.methods.percepts import read_percepts
from server.methods.picking import PicksOne
from server.methods.served import check_order
from server.stats.forced_choice import TRIANGLE as MODEL
from server.stats.thurstone import ForcedChoice

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray


@dataclass(frozen=True)
class Triangle(PicksOne):
    """The triangle test; attributes as in `base.Method`.

    Notes
    -----
    The choice is forced: there is no answer for "cannot tell", only a note
    that the pick was a guess.

    References
    ----------
    ISO 4120:2021, Sensory analysis - Methodology - Triangle test.

    Examples
    --------
    >>> body = TRIANGLE.parse_answer({"pick": "587", "cue": ""}, ["412", "587", "936"])
    >>> body
    {'pick': '587', 'guess': False, 'cue': '', 'comment': ''}
    >>> TRIANGLE.is_correct(body, ["412", "587", "936"], "ABA")
    True
    """

    name: str = "triangle"
    title: str = N_("Triangle test")
    standard: str = "ISO 4120:2021"
    model: ForcedChoice = MODEL
    sided: Sided = "one"
    orders: tuple[str, ...] = ("AAB", "ABA", "BAA", "BBA", "BAB", "ABB")
    cups: int = 3
    needs: str = ""
    form: str = PICK_ONE
    reference: bool = False
    serving: str = "triad"
    success: str = "the odd cup was found"
    question: str = N_("Two of these cups are alike and one is odd. Which is the odd cup?")
    verdict: str = N_("You say {pick} is the odd one.")
    instruction: str = N_(
        "Taste from left to right; you may taste again. "
        "If you cannot tell, pick a cup all the same and tick that you guessed."
    )

    def is_correct(self, body: Mapping[str, Any], codes: Sequence[str], order: str) -> bool:
        """Tell whether the picked cup is the odd one.

        Raises
        ------
        ValueError
            If `order` is none of the six, or there are not three codes.

        Examples
        --------
        >>> TRIANGLE.is_correct({"pick": "412"}, ["412", "587", "936"], "AAB")
        False
        """
        check_order(order, self.orders, codes)
        return bool(body["pick"] == codes[get_odd_position(order)])

    def decide(self, percepts: "NDArray[np.float64]") -> "NDArray[np.bool_]":
        """Tell whether the odd cup is farther from both others than they are from each other.

        Parameters
        ----------
        percepts : ndarray of float, shape (..., 3)
            Odd cup, and the two cups of the other sample.

        Returns
        -------
        ndarray of bool, shape (...)

        Raises
        ------
        ValueError
            If there are not three cups.

        Examples
        --------
        >>> TRIANGLE.decide([[2.0, 0.0, 0.5], [1.0, 0.5, 4.0]]).tolist()
        [True, False]
        """
        import numpy as np

        odd, one, other = read_percepts(percepts, self.cups)
        return abs(one - other) < np.minimum(abs(odd - one), abs(odd - other))


def get_odd_position(order: str) -> int:
    """Return where the odd cup stands: 0 left, 1 middle, 2 right.

    Raises
    ------
    ValueError
        If `order` is none of the six serving orders.

    Examples
    --------
    >>> get_odd_position("BAB")
    1
    """
    if order not in TRIANGLE.orders:
        raise ValueError(f"order must be one of {', '.join(TRIANGLE.orders)}, not {order}")
    return next(at for at, level in enumerate(order) if order.count(level) == 1)


TRIANGLE = Triangle()
