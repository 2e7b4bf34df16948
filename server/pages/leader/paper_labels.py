"""Labels with the codes of a scored table, to cut out and put on its bowls or cups."""

from dataclasses import dataclass
from itertools import groupby
from typing import NamedTuple
from uuid import UUID

from fastapi import APIRouter, Request, Response

from server.pages.deps import Led
from server.pages.rendering import show
from server.tastings.progress import LedTasting
from server.tastings.refusals import NotFound

router = APIRouter()


class Label(NamedTuple):
    """What stands on a label; ``bowl`` is 0 where a code has one cup."""

    code: str
    bowl: int


@dataclass(frozen=True)
class Labels:
    """Labels by rising code, so that their order tells nothing; ``seat`` 0: a shared table."""

    sitting: int
    seat: int
    labels: tuple[Label, ...]


@dataclass(frozen=True)
class CodeLabels:
    """All labels of a scored table."""

    id: UUID
    name: str
    sittings: int
    noun: str
    groups: tuple[Labels, ...]


@router.get("/tastings/{tasting_id}/paper/labels")
def code_labels(request: Request, led: Led) -> Response:
    """Show the labels of all bowls or cups."""
    return show(request, "paper/labels", _lay_out(led))


def _lay_out(led: LedTasting) -> CodeLabels:
    table = led.layout.plan.table
    if table is None:
        raise NotFound("Only a scored table has labels: under a tray's cups lies a mat.")
    return CodeLabels(
        led.tasting.id,
        led.tasting.name,
        led.layout.plan.sittings,
        "bowl" if table.shared else "cup",
        tuple(_group(led, shared=table.shared)),
    )


def _group(led: LedTasting, *, shared: bool) -> list[Labels]:
    """Group the labels: by sitting, and where cups are people's own by seat."""
    served = (one for one in led.layout.servings if one.id not in led.record.struck)
    laid = sorted(served, key=lambda one: (one.sitting, one.seat))
    groups = groupby(laid, key=lambda one: (one.sitting, 0 if shared else one.seat))
    return [
        Labels(sitting, seat, tuple(sorted({Label(c.code, c.bowl) for s in own for c in s.cups})))
        for (sitting, seat), own in groups
    ]
