"""Tetrad: four cups, two of each sample, to be sorted into two pairs."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from server.methods.base import N_, InvalidAnswer, Sided
from server.methods.fields import parse_notes
from server.methods.percepts import read_percepts
from server.methods.served import check_order, group_codes
from server.stats.forced_choice import TETRAD as MODEL
from server.stats.thurstone import ForcedChoice

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray


@dataclass(frozen=True)
class Tetrad:
    """The tetrad, nature of the difference unspecified; attributes as in `base.Method`.

    Notes
    -----
    Tasters must be asked for two pairs. Who looks for the two most similar
    cups instead follows another rule and is correct about as often as in a
    triangle test.

    References
    ----------
    ASTM E3009, Standard test method for sensory analysis - Tetrad test.

    Examples
    --------
    >>> TETRAD.decide([0.1, 0.3, 1.2, 0.8]).item()
    True
    """

    name: str = "tetrad"
    title: str = N_("Tetrad test")
    standard: str = "ASTM E3009"
    model: ForcedChoice = MODEL
    sided: Sided = "one"
    orders: tuple[str, ...] = ("AABB", "ABAB", "ABBA", "BBAA", "BABA", "BAAB")
    cups: int = 4
    needs: str = ""
    form: str = "two_pairs"
    reference: bool = False
    serving: str = "tetrad"
    success: str = "the cups were sorted into the right pairs"
    question: str = N_(
        "Two of these cups are alike, and so are the other two. Which cups go together?"
    )
    verdict: str = N_("You say {pair} go together, and {rest}.")
    instruction: str = N_(
        "Taste from left to right; you may taste again. Sort all four cups into two pairs. "
        "If you cannot tell, choose a way to sort them all the same and tick that you guessed."
    )

    def parse_answer(self, form: Mapping[str, str], codes: Sequence[str]) -> dict[str, Any]:
        """Return the body ``{"pairs": text, "guess": bool, "cue": str, "comment": str}``.

        The text names both pairs, the pair with the left cup first.

        Raises
        ------
        InvalidAnswer
            If the cups were not sorted into two pairs, a cue lacks its word, or the words
            are too long.

        Examples
        --------
        >>> TETRAD.parse_answer({"pairs": "936 587 / 263 412"}, ["412", "587", "936", "263"])
        {'pairs': '412 263 / 587 936', 'guess': False, 'comment': ''}
        """
        return {"pairs": _parse_pairs(form, codes), **parse_notes(form)}

    def is_correct(self, body: Mapping[str, Any], codes: Sequence[str], order: str) -> bool:
        """Tell whether the two pairs are those of the samples.

        Raises
        ------
        ValueError
            If `order` is none of the six, or there are not four codes.

        Examples
        --------
        >>> codes = ["412", "587", "936", "263"]
        >>> TETRAD.is_correct({"pairs": "412 263 / 587 936"}, codes, "ABBA")
        True
        """
        check_order(order, self.orders, codes)
        return _read_pairs(body["pairs"]) == set(group_codes(order, codes).values())

    def decide(self, percepts: "NDArray[np.float64]") -> "NDArray[np.bool_]":
        """Tell whether the two weakest and the two strongest percepts are the samples' pairs.

        Parameters
        ----------
        percepts : ndarray of float, shape (..., 4)
            Two cups of one sample, two cups of the other.

        Returns
        -------
        ndarray of bool, shape (...)

        Raises
        ------
        ValueError
            If there are not four cups.

        Examples
        --------
        >>> TETRAD.decide([[2.0, 3.0, 0.0, 1.0], [0.0, 2.0, 1.0, 3.0]]).tolist()
        [True, False]
        """
        import numpy as np

        a1, a2, b1, b2 = read_percepts(percepts, self.cups)
        below = np.maximum(a1, a2) < np.minimum(b1, b2)
        above = np.minimum(a1, a2) > np.maximum(b1, b2)
        return below | above


def sort_cups(codes: Sequence[str]) -> tuple[tuple[tuple[str, str], tuple[str, str]], ...]:
    """Return the three ways to sort four cups into pairs, by who stands with the left cup.

    Examples
    --------
    >>> sort_cups(["412", "587", "936", "263"])[0]
    (('412', '587'), ('936', '263'))
    """
    left, *others = codes
    rest = {other: [one for one in others if one != other] for other in others}
    return tuple(((left, other), (two[0], two[1])) for other, two in rest.items())


def _parse_pairs(form: Mapping[str, str], codes: Sequence[str]) -> str:
    given = form.get("pairs", "").strip()
    if not given:
        raise InvalidAnswer("pairs", N_("Choose one way to sort them, even if you have to guess."))
    for pairs in sort_cups(codes):
        text = " / ".join(" ".join(pair) for pair in pairs)
        if _read_pairs(given) == _read_pairs(text):
            return text
    raise InvalidAnswer("pairs", N_("Sort the four cups of this tray into two pairs."))


def _read_pairs(text: str) -> set[frozenset[str]]:
    return {frozenset(pair.split()) for pair in text.split("/")}


TETRAD = Tetrad()
