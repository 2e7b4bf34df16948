"""The kinds of scale there are; the only list to extend for a new one."""

from typing import Annotated

from pydantic import Field

from server.sheets.scales.base import Kind
from server.sheets.scales.category import Category
from server.sheets.scales.comment import Comment
from server.sheets.scales.control import Control
from server.sheets.scales.defect import Defect
from server.sheets.scales.hedonic import Hedonic
from server.sheets.scales.line import Line
from server.sheets.scales.magnitude import Magnitude
from server.sheets.scales.ranking import Ranking
from server.sheets.scales.right import Right
from server.sheets.scales.tick_all import TickAll

AnyScale = (
    Line | Category | Magnitude | Right | Hedonic | TickAll | Defect | Control | Ranking | Comment
)
"""One line a kind, in the order in which they are offered."""

Scale = Annotated[AnyScale, Field(discriminator="kind")]
"""Any of them, told apart by its ``kind``."""

KINDS: dict[str, type[Kind]] = {one.model_fields["kind"].default: one for one in AnyScale.__args__}
"""Every kind by its name."""


def get_kind(name: str) -> type[Kind]:
    """Return the kind of that name.

    Parameters
    ----------
    name : str

    Raises
    ------
    ValueError
        If there is none.

    Examples
    --------
    >>> get_kind("line").TITLE
    'Line between two ends'
    """
    if name not in KINDS:
        raise ValueError(f"kind must be one of {', '.join(KINDS)}, not {name!r}")
    return KINDS[name]
