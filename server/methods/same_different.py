"""Same-different test: two cups, of one sample or of two, and whether they are the same."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from server.methods.base import ALIKE_OR_NOT, N_, Sided
from server.methods.fields import parse_notes, parse_said
from server.methods.served import check_order
from server.stats.forced_choice import YES_OR_NO
from server.stats.thurstone import ForcedChoice


@dataclass(frozen=True)
class SameDifferent:
    """The same-different test; attributes as in `base.YesNo`.

    Notes
    -----
    In every four rounds a seat meets each of the four pairs once. Like cups come from
    different brews, as elsewhere.

    References
    ----------
    ASTM E2139, Standard Test Method for Same-Different Test (from memory).

    Examples
    --------
    >>> SAME_DIFFERENT.is_correct({"said": "yes"}, ["412", "587"], "BB")
    True
    >>> SAME_DIFFERENT.is_correct({"said": "yes"}, ["412", "587"], "BA")
    False
    """

    name: str = "same-different"
    title: str = N_("Same-different test")
    standard: str = "ASTM E2139"
    model: ForcedChoice = YES_OR_NO
    sided: Sided = "one"
    orders: tuple[str, ...] = ("AA", "BB", "AB", "BA")
    first: frozenset[str] = frozenset({"AA", "BB"})
    cups: int = 2
    needs: str = ""
    form: str = ALIKE_OR_NOT
    reference: bool = False
    serving: str = "pair"
    success: str = "the pair was called what it was"
    question: str = N_("Are these two cups the same?")
    verdict: str = N_("You say these two are the same.")
    instruction: str = N_(
        "Taste the left cup, then the right one; you may taste again. Some pairs are the same, "
        "some are different. If you cannot tell, choose all the same and tick that you guessed."
    )

    def parse_answer(
        self,
        form: Mapping[str, str],
        codes: Sequence[str],  # noqa: ARG002 - other methods look for what is picked
    ) -> dict[str, Any]:
        """Return the body ``{"said": "yes" or "no", "guess": bool, "cue": str, "comment": str}``.

        Raises
        ------
        InvalidAnswer
            If neither was chosen, a cue lacks its word, or the words are too long.

        Examples
        --------
        >>> SAME_DIFFERENT.parse_answer({"said": "yes"}, ["412", "587"])
        {'said': 'yes', 'guess': False, 'comment': ''}
        """
        return {"said": parse_said(form), **parse_notes(form)}

    def is_correct(self, body: Mapping[str, Any], codes: Sequence[str], order: str) -> bool:
        """Tell whether the pair was called what it was.

        Raises
        ------
        ValueError
            If `order` is none of the four, or there are not two codes.
        """
        check_order(order, self.orders, codes)
        return bool((body["said"] == "yes") == (order in self.first))


SAME_DIFFERENT = SameDifferent()
