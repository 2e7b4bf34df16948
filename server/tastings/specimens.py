"""Pieces of the part under test that a leader keeps, and how many brews each has made."""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Annotated, TypeVar
from uuid import UUID

from pydantic import BaseModel, Field, StringConstraints, ValidationError
from sqlmodel import Session

from server.brewing.brewed import PartState
from server.storage import specimens, tables
from server.tastings.bench import Bench
from server.tastings.planning import Comma
from server.tastings.refusals import Invalid, NotFound

LONGEST_NOTE = 2000
CHANGE = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}: [a-z ]+ → [a-z ]+")
"""A line that says since when a piece has been in another state; it stands below the notes."""

M = TypeVar("M", bound=BaseModel)
Note = Annotated[str, StringConstraints(strip_whitespace=True, max_length=LONGEST_NOTE)]
Label = Annotated[str, StringConstraints(strip_whitespace=True, min_length=1, max_length=60)]


@dataclass(frozen=True)
class KeptSpecimen:
    """One piece: what it is, its state, and the brews it has made by now.

    Notes are the leader's own; each change of state is a line of its own, with its day.
    """

    id: UUID
    label: str
    part: str
    state: str
    brews: int
    retired: bool
    note: str = ""
    changes: tuple[str, ...] = ()

    @property
    def is_fresh(self) -> bool:
        """Whether it is new and was never brewed with."""
        return self.state == PartState.NEW and self.brews == 0


class SpecimenInput(BaseModel):
    """A piece as a form has it."""

    label: Label
    part: Annotated[str, StringConstraints(strip_whitespace=True, min_length=1, max_length=120)]
    state: PartState
    brews_before: Annotated[int, Comma, Field(ge=0, le=100_000)] = 0
    note: Note = ""


class StateInput(BaseModel):
    """What may change of a piece."""

    state: PartState
    note: Note = ""


MESSAGES = {
    "label": "Give the piece a label of its own, in up to 60 characters, such as seal 3.",
    "part": "Say what part it is, in up to 120 characters, such as lid seal.",
    "state": "Choose the state it is in.",
    "brews_before": "Brews made before: a whole number from 0 to 100000.",
    "note": f"Notes: up to {LONGEST_NOTE} characters.",
    "taken": "There is a piece with this label: every piece needs its own.",
    "not_new": "A piece that has made brews is not new any more.",
}


def list_specimens(bench: Bench, account_id: UUID) -> tuple[KeptSpecimen, ...]:
    """List all pieces of an account, those in use first, by part and label."""
    with bench.reading() as db:
        return read_specimens(db, account_id)


def read_specimens(
    db: Session, account_id: UUID, without: specimens.SlotName | UUID | None = None
) -> tuple[KeptSpecimen, ...]:
    """As `list_specimens`; of one brew, or one sealed slot, it can be left out what it counts."""
    rows = specimens.list_specimens(db, account_id)
    brew, slot = (without, None) if isinstance(without, UUID) else (None, without)
    counted = specimens.count_uses(specimens.list_uses(db, account_id, rows, brew), slot)
    kept = [_tell(row, row.brews_before + counted[row.id]) for row in rows]
    return tuple(sorted(kept, key=lambda one: one.retired))


def get_specimen(bench: Bench, account_id: UUID, specimen_id: UUID) -> KeptSpecimen:
    """Return one piece.

    Raises
    ------
    NotFound
        This account keeps no such piece.
    """
    kept = list_specimens(bench, account_id)
    found = next((one for one in kept if one.id == specimen_id), None)
    if found is None:
        raise NotFound("There is no such piece.")
    return found


def add_specimen(bench: Bench, account_id: UUID, form: Mapping[str, str]) -> UUID:
    """Keep a piece; the very same form again finds the piece it made.

    Raises
    ------
    Invalid
        With a message for each field that cannot be taken.
    """
    given = _read(SpecimenInput, form)
    if given.state == PartState.NEW and given.brews_before:
        raise Invalid(state=MESSAGES["not_new"])
    with bench.writing() as db:
        wanted = given.model_dump(mode="json")
        rows = specimens.list_specimens(db, account_id)
        same = next((one for one in rows if one.label == given.label), None)
        if same is not None:
            if same.model_dump(include=set(wanted)) != wanted:
                raise Invalid(label=MESSAGES["taken"])
            return same.id
        row = tables.Specimen(
            id=bench.draw_uuid(), account_id=account_id, created_at=bench.clock(), **wanted
        )
        db.add(row)
        db.commit()
        return row.id


def change_specimen(
    bench: Bench, account_id: UUID, specimen_id: UUID, form: Mapping[str, str]
) -> None:
    """Change a piece's state and notes; a change of state is noted with its day."""
    given = _read(StateInput, form)
    with bench.writing() as db:
        row = _get_row(db, account_id, specimen_id)
        _refuse_new_again(db, account_id, row, given.state)
        _, changes = _split_note(row.note)
        if given.state != row.state:
            changes += (f"{bench.clock():%Y-%m-%d}: {row.state} → {given.state.value}",)
        row.state, row.note = given.state.value, "\n".join([given.note, *changes])
        db.add(row)
        db.commit()


def retire_specimen(bench: Bench, account_id: UUID, specimen_id: UUID, *, retired: bool) -> None:
    """Put a piece away, or take it back into use; it stays on record either way."""
    with bench.writing() as db:
        row = _get_row(db, account_id, specimen_id)
        row.retired = retired
        db.add(row)
        db.commit()


def _refuse_new_again(
    db: Session, account_id: UUID, row: tables.Specimen, state: PartState
) -> None:
    """Refuse to call a piece new that has made brews."""
    if state != PartState.NEW or row.state == PartState.NEW:
        return
    made = specimens.count_uses(specimens.list_uses(db, account_id, [row]))[row.id]
    if row.brews_before + made:
        raise Invalid(state=MESSAGES["not_new"])


def _read(model: type[M], form: Mapping[str, str]) -> M:
    typed = {name: "\n".join(form.get(name, "").splitlines()) for name in model.model_fields}
    given = {name: text for name, text in typed.items() if text.strip()}
    try:
        return model.model_validate(given)
    except ValidationError as error:
        wrong = {str(one["loc"][0]) for one in error.errors()}
        raise Invalid(**{name: MESSAGES[name] for name in wrong}) from None


def _get_row(db: Session, account_id: UUID, specimen_id: UUID) -> tables.Specimen:
    row = specimens.find_specimen(db, account_id, specimen_id)
    if row is None:
        raise NotFound("There is no such piece.")
    return row


def _split_note(text: str) -> tuple[str, tuple[str, ...]]:
    """Return the notes, and the changes of state below them."""
    lines = text.split("\n")
    first = next((n for n, line in enumerate(lines) if CHANGE.fullmatch(line)), len(lines))
    return "\n".join(lines[:first]), tuple(lines[first:])


def _tell(row: tables.Specimen, brews: int) -> KeptSpecimen:
    note, changes = _split_note(row.note)
    return KeptSpecimen(row.id, row.label, row.part, row.state, brews, row.retired, note, changes)
