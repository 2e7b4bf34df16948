"""Methods whose answer is yes or no to one serving."""

from collections.abc import Mapping, Sequence
from typing import Any

from server.methods.fields import parse_notes, parse_said
from server.methods.served import check_order


class SaysYesOrNo:
    """An answer is yes or no; yes is right of the servings in ``first``.

    Examples
    --------
    >>> from server.methods.registry import get_method
    >>> get_method("same-different").parse_answer({"said": "yes"}, ["412", "587"])
    {'said': 'yes', 'guess': False, 'comment': ''}
    """

    orders: tuple[str, ...]
    first: frozenset[str]

    def parse_answer(
        self,
        form: Mapping[str, str],
        codes: Sequence[str],  # noqa: ARG002 - other methods look for what is picked
    ) -> dict[str, Any]:
        """Return the body ``{"said": "yes" or "no", "guess": bool, "cue": str, "comment": str}``.

        A form that did not ask for a cue leaves it out.

        Raises
        ------
        InvalidAnswer
            If neither was chosen, a cue lacks its word, or the words are too long.
        """
        return {"said": parse_said(form), **parse_notes(form)}

    def is_correct(self, body: Mapping[str, Any], codes: Sequence[str], order: str) -> bool:
        """Tell whether the serving was called what it was.

        Raises
        ------
        ValueError
            If `order` is none of the method's, or the codes do not fit it.
        """
        check_order(order, self.orders, codes)
        return bool((body["said"] == "yes") == (order in self.first))
