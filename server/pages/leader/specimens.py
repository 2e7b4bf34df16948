"""Pieces of the part under test: listed, added, changed, put away."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from uuid import UUID

from fastapi import APIRouter, Request, Response

from server.brewing.brewed import PartState
from server.brewing.cautions import CLEANERS, NOT_FOOD_CONTACT, Caution
from server.pages.deps import AtBench, Form, Leader
from server.pages.rendering import go_to, show
from server.reports.specimen_words import ALIKE, CONDITIONING, STATES
from server.tastings import specimens as kept_specimens
from server.tastings.refusals import Invalid
from server.tastings.specimens import KeptSpecimen

router = APIRouter()


@dataclass(frozen=True)
class SpecimenList:
    """All pieces, and the form of one more."""

    kept: tuple[KeptSpecimen, ...]
    form: Mapping[str, str] = field(default_factory=dict)
    errors: Mapping[str, str] = field(default_factory=dict)
    states: Mapping[PartState, str] = field(default_factory=lambda: STATES)
    conditioning: tuple[str, ...] = CONDITIONING
    alike: str = ALIKE
    cautions: tuple[Caution, ...] = (CLEANERS, NOT_FOOD_CONTACT)

    @property
    def parts(self) -> tuple[str, ...]:
        """What parts there are pieces of, to be chosen from when one more is added."""
        return tuple(dict.fromkeys(one.part for one in self.kept))


@dataclass(frozen=True)
class SpecimenCard:
    """One piece, and the form that changes it."""

    piece: KeptSpecimen
    form: Mapping[str, str]
    errors: Mapping[str, str] = field(default_factory=dict)
    states: Mapping[PartState, str] = field(default_factory=lambda: STATES)
    conditioning: tuple[str, ...] = CONDITIONING
    alike: str = ALIKE
    cautions: tuple[Caution, ...] = (CLEANERS, NOT_FOOD_CONTACT)


@router.get("/specimens")
def specimens(request: Request, bench: AtBench, leader: Leader) -> Response:
    """Show the pieces of this account."""
    kept = kept_specimens.list_specimens(bench, leader.id)
    return show(request, "leader/specimens", SpecimenList(kept))


@router.post("/specimens")
def add(request: Request, bench: AtBench, leader: Leader, form: Form) -> Response:
    """Keep one more piece."""
    try:
        kept_specimens.add_specimen(bench, leader.id, form)
    except Invalid as error:
        kept = kept_specimens.list_specimens(bench, leader.id)
        return show(request, "leader/specimens", SpecimenList(kept, form, error.messages), 422)
    return go_to(request, "/specimens")


@router.get("/specimens/{specimen_id}")
def specimen(request: Request, bench: AtBench, leader: Leader, specimen_id: UUID) -> Response:
    """Show one piece."""
    piece = kept_specimens.get_specimen(bench, leader.id, specimen_id)
    form = {"state": piece.state, "note": piece.note}
    return show(request, "leader/specimen", SpecimenCard(piece, form))


@router.post("/specimens/{specimen_id}")
def change(
    request: Request, bench: AtBench, leader: Leader, specimen_id: UUID, form: Form
) -> Response:
    """Change a piece's state and notes."""
    try:
        kept_specimens.change_specimen(bench, leader.id, specimen_id, form)
    except Invalid as error:
        piece = kept_specimens.get_specimen(bench, leader.id, specimen_id)
        return show(request, "leader/specimen", SpecimenCard(piece, form, error.messages), 422)
    return go_to(request, f"/specimens/{specimen_id}")


@router.post("/specimens/{specimen_id}/retire")
def retire(
    request: Request, bench: AtBench, leader: Leader, specimen_id: UUID, form: Form
) -> Response:
    """Put a piece away, or take it back."""
    retired = form.get("retired") == "1"
    kept_specimens.retire_specimen(bench, leader.id, specimen_id, retired=retired)
    return go_to(request, "/specimens")
