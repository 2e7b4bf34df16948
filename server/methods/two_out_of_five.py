"""Two-out-of-five test: five cups, two of one sample and three of the other."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations
from typing import TYPE_CHECKING, Any

from server.methods.base import N_, InvalidAnswer, Sided
from server.methods.fields import UNKNOWN_CODE, parse_notes
from server.methods.percepts import read_percepts
from server.methods.served import check_order, group_codes, swap_samples
from server.stats.forced_choice import TWO_OF_FIVE as MODEL
from server.stats.thurstone import ForcedChoice

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

TWO_OF_B = tuple(
    "".join("B" if place in pair else "A" for place in range(5))
    for pair in combinations(range(5), 2)
)


@dataclass(frozen=True)
class TwoOutOfFive:
    """The two-out-of-five test; attributes as in `base.Method`.

    Notes
    -----
    How an ideal taster groups five cups is not settled, so the model has no
    d′. `decide` follows one rule, the wider inner gap; `decide_by_squares`
    another. With two equal samples both are correct in one of ten.

    References
    ----------
    ISO 6658:2017, Sensory analysis - Methodology - General guidance, lists it.

    Examples
    --------
    >>> TWO_OUT_OF_FIVE.decide([0.1, 0.3, 1.2, 0.8, 1.0]).item()
    True
    """

    name: str = "two-out-of-five"
    title: str = N_("Two-out-of-five test")
    standard: str = "ISO 6658:2017"
    model: ForcedChoice = MODEL
    sided: Sided = "one"
    orders: tuple[str, ...] = (*TWO_OF_B, *swap_samples(TWO_OF_B))
    cups: int = 5
    needs: str = ""
    form: str = "two_alike"
    reference: bool = False
    serving: str = "five-cup set"
    success: str = "the pair among five cups was found"
    question: str = N_("Two of these cups are alike, and so are the other three. Which two?")
    verdict: str = N_("You say {pair} are the two.")
    instruction: str = N_(
        "Taste from left to right; you may taste again. Tick the two cups that are alike and "
        "differ from the other three. "
        "If you cannot tell, tick two all the same and tick that you guessed."
    )

    def parse_answer(self, form: Mapping[str, str], codes: Sequence[str]) -> dict[str, Any]:
        """Return the body ``{"pair": text, "guess": bool, "cue": str, "comment": str}``.

        The boxes ``cup1`` to ``cup5`` hold the code of the cup if they are ticked; a form
        without any of them may name both in ``pair``, as the body does.

        Raises
        ------
        InvalidAnswer
            If not exactly two cups were ticked, a cue lacks its word, or the words are too
            long.

        Examples
        --------
        >>> codes = ["412", "587", "936", "263", "745"]
        >>> TWO_OUT_OF_FIVE.parse_answer({"cup5": "745", "cup2": "587"}, codes)
        {'pair': '587 745', 'guess': False, 'comment': ''}
        """
        return {"pair": _parse_pair(form, codes), **parse_notes(form)}

    def is_correct(self, body: Mapping[str, Any], codes: Sequence[str], order: str) -> bool:
        """Tell whether both ticked cups are of the sample that was served twice.

        Raises
        ------
        ValueError
            If `order` is none of the twenty, or there are not five codes.

        Examples
        --------
        >>> codes = ["412", "587", "936", "263", "745"]
        >>> TWO_OUT_OF_FIVE.is_correct({"pair": "587 745"}, codes, "ABAAB")
        True
        """
        check_order(order, self.orders, codes)
        pair = min(group_codes(order, codes).values(), key=len)
        return frozenset(body["pair"].split()) == pair

    def decide(self, percepts: "NDArray[np.float64]") -> "NDArray[np.bool_]":
        """Tell whether the pair is found by splitting the cups at the wider inner gap.

        Parameters
        ----------
        percepts : ndarray of float, shape (..., 5)
            Two cups of one sample, three cups of the other.

        Returns
        -------
        ndarray of bool, shape (...)

        Raises
        ------
        ValueError
            If there are not five cups.

        Notes
        -----
        The percepts in order have four gaps; the second and the third leave a
        pair and a trio. The taster splits at the wider of these two.

        Examples
        --------
        >>> TWO_OUT_OF_FIVE.decide([0.0, 1.0, 3.0, 4.0, 5.0]).item()
        True
        >>> TWO_OUT_OF_FIVE.decide([0.0, 1.0, 3.0, 6.0, 7.0]).item()
        False
        """
        import numpy as np

        cups = read_percepts(percepts, self.cups)
        pair, trio = np.sort(cups[:2], axis=0), np.sort(cups[2:], axis=0)
        below = trio[0] - pair[1] > trio[1] - trio[0]
        above = pair[0] - trio[2] > trio[2] - trio[1]
        return np.asarray(below | above, dtype=np.bool_)


def decide_by_squares(percepts: "NDArray[np.float64]") -> "NDArray[np.bool_]":
    """Tell whether the pair is found by keeping the squares within the groups least.

    Parameters
    ----------
    percepts : ndarray of float, shape (..., 5)
        Two cups of one sample, three cups of the other.

    Returns
    -------
    ndarray of bool, shape (...)

    Raises
    ------
    ValueError
        If there are not five cups.

    Notes
    -----
    Of the ten ways to name a pair the taster takes the one with the least sum
    of squared distances from the mean of the pair and from that of the trio.

    Examples
    --------
    >>> decide_by_squares([0.0, 1.0, 3.0, 4.0, 5.0]).item()
    True
    """
    import numpy as np

    cups = read_percepts(percepts, TWO_OUT_OF_FIVE.cups)
    total = sum(cups)
    # The least squares within go with the most between: the sums squared, over the sizes.
    pairs = np.stack([cups[i] + cups[j] for i in range(5) for j in range(i + 1, 5)])
    between = pairs**2 / 2 + (total - pairs) ** 2 / 3
    return np.asarray(between[0] > between[1:].max(axis=0), dtype=np.bool_)


def _parse_pair(form: Mapping[str, str], codes: Sequence[str]) -> str:
    boxes = (form.get(f"cup{place}", "").strip() for place in range(1, len(codes) + 1))
    ticked = {code for code in boxes if code} or set(form.get("pair", "").split())
    if not ticked <= set(codes):
        raise InvalidAnswer("pair", UNKNOWN_CODE)
    if len(ticked) != 2:
        raise InvalidAnswer("pair", N_("Tick exactly two cups, even if you have to guess."))
    return " ".join(code for code in codes if code in ticked)


TWO_OUT_OF_FIVE = TwoOutOfFive()
