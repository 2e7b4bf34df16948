"""Methods whose answer is one cup: the body of the answer, and the sample that is right."""

from collections.abc import Mapping, Sequence
from typing import Any

from server.methods.fields import parse_notes, parse_pick
from server.methods.served import check_order


class PicksOne:
    """An answer is one of the coded cups; an open reference on the left is none.

    Examples
    --------
    >>> from server.methods.registry import get_method
    >>> get_method("duo-trio").parse_answer({"pick": "936"}, ["412", "587", "936"])
    {'pick': '936', 'guess': False, 'comment': ''}
    """

    orders: tuple[str, ...]
    reference: bool

    def parse_answer(self, form: Mapping[str, str], codes: Sequence[str]) -> dict[str, Any]:
        """Return the body ``{"pick": code, "guess": bool, "cue": str, "comment": str}``.

        A form that did not ask for a cue leaves it out.

        Raises
        ------
        InvalidAnswer
            If no cup that may be picked was picked, a cue lacks its word, or the words are
            too long.
        """
        return {"pick": parse_pick(form, codes[self.reference :]), **parse_notes(form)}


class PicksB(PicksOne):
    """The right cup is of sample ``B``: the one with more, or the one that is counted.

    Examples
    --------
    >>> from server.methods.registry import get_method
    >>> get_method("2-afc").is_correct({"pick": "412"}, ["412", "587"], "BA")
    True
    """

    def is_correct(self, body: Mapping[str, Any], codes: Sequence[str], order: str) -> bool:
        """Tell whether the picked cup is of sample ``B``.

        Raises
        ------
        ValueError
            If `order` is none of the method's, or the codes do not fit it.
        """
        check_order(order, self.orders, codes)
        return bool(body["pick"] == codes[order.index("B")])
