"""Paired preference: two cups, and which is liked better."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

from server.methods.base import (
    N_,
    NEITHER,
    NO_STANDARD,
    PREFER_ONE,
    InvalidAnswer,
    Sided,
)
from server.methods.fields import parse_notes, parse_pick
from server.methods.percepts import read_percepts
from server.methods.picking import PicksB
from server.stats.forced_choice import PAIRED_PREFERENCE as MODEL
from server.stats.thurstone import ForcedChoice

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

PICK_LIKED = N_("Pick the cup that you like better.")
OR_NEITHER = N_("Pick the cup that you like better, or neither.")


@dataclass(frozen=True)
class PairedPreference(PicksB):
    """The paired preference test, two-sided; attributes as in `base.Method`.

    Notes
    -----
    Nothing is correct here: answers are counted for one of the samples, say
    the second. One half for each may mean that nobody cares, or that two
    groups of people want opposite things. Where ``neither`` is no answer, whoever has
    no preference takes one of the cups all the same.

    References
    ----------
    The two-sided test is that of ISO 5495:2005; that preference is asked by it
    is common practice.

    Examples
    --------
    >>> PAIRED_PREFERENCE.is_correct({"pick": "587"}, ["412", "587"], "AB")
    True
    >>> PAIRED_PREFERENCE.is_correct({"pick": "neither"}, ["412", "587"], "BA")
    False
    >>> PAIRED_PREFERENCE.decide([6.5, 4.0]).item()
    False
    """

    name: str = "paired-preference"
    title: str = N_("Paired preference test")
    standard: str = f"{NO_STANDARD} (test as ISO 5495)"
    model: ForcedChoice = MODEL
    sided: Sided = "two"
    orders: tuple[str, ...] = ("AB", "BA")
    cups: int = 2
    needs: str = ""
    form: str = PREFER_ONE
    reference: bool = False
    serving: str = "pair"
    success: str = "“{lead}” was preferred"
    question: str = N_("Which cup do you like better?")
    verdict: str = N_("You like {pick} better.")
    instruction: str = N_(
        "Taste the left cup, then the right one; you may taste again. "
        "If you like neither better, pick one all the same."
    )

    takes_neither: bool = False

    def parse_answer(self, form: Mapping[str, str], codes: Sequence[str]) -> dict[str, Any]:
        """Return the body ``{"pick": code, "guess": False, "cue": str, "comment": str}``.

        A form that did not ask for a cue leaves it out; none asks for a guess. The pick is
        ``neither`` where that is an answer.

        Raises
        ------
        InvalidAnswer
            If no served cup was picked, a cue lacks its word, or the words are too long.

        Examples
        --------
        >>> PREFERENCE_OR_NEITHER.parse_answer({"pick": "neither"}, ["412", "587"])
        {'pick': 'neither', 'guess': False, 'comment': ''}
        >>> PAIRED_PREFERENCE.parse_answer({"pick": "neither"}, ["412", "587"])
        Traceback (most recent call last):
        server.methods.base.InvalidAnswer: pick: Pick the cup that you like better.
        """
        pick = form.get("pick", "").strip()
        if not (pick == NEITHER and self.takes_neither):
            if pick in ("", NEITHER):
                raise InvalidAnswer("pick", OR_NEITHER if self.takes_neither else PICK_LIKED)
            pick = parse_pick(form, codes)
        return {"pick": pick, **parse_notes(form)}

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
PREFERENCE_OR_NEITHER = replace(
    PAIRED_PREFERENCE,
    takes_neither=True,
    instruction=N_(
        "Taste the left cup, then the right one; you may taste again. "
        "If you like neither better, say so."
    ),
)
"""The test under a plan that lets people name neither."""
