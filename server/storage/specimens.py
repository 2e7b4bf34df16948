"""The specimens of an account, and the brews that were made with each of them."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any
from uuid import UUID

from sqlmodel import Session, col, select

from server.blinding.events import Kind
from server.storage.tables import Brew, BrewSlot, Event, Membership, Specimen

SlotName = tuple[UUID, str]
"""A tasting, and the name of a slot of it."""


@dataclass(frozen=True)
class Use:
    """Brews that were made with one piece at once.

    Attributes
    ----------
    specimen_id
        The piece.
    brews
        How many: the shots of a brew, or the brews that make up a blend.
    slot
        The sealed slot they were made for; None on the bench.
    """

    specimen_id: UUID
    brews: int
    slot: SlotName | None = None


def list_specimens(db: Session, account_id: UUID) -> Sequence[Specimen]:
    """Return all pieces of an account, by part and label."""
    statement = select(Specimen).where(Specimen.account_id == account_id)
    return db.exec(statement.order_by(col(Specimen.part), col(Specimen.label))).all()


def find_specimen(db: Session, account_id: UUID, specimen_id: UUID) -> Specimen | None:
    """Return a piece if this account keeps it."""
    found = db.get(Specimen, specimen_id)
    return found if found and found.account_id == account_id else None


def find_leader(db: Session, tasting_id: UUID) -> UUID | None:
    """Return the account that leads a tasting."""
    statement = select(Membership.account_id).where(Membership.tasting_id == tasting_id)
    return db.exec(statement.order_by(col(Membership.account_id))).first()


def list_uses(
    db: Session, account_id: UUID, specimens: Sequence[Specimen], without: UUID | None = None
) -> list[Use]:
    """List the brews made with these pieces, on the bench and for sealed slots.

    Of a sealed slot counts what its last note in the record says. Its brew on the bench is
    the working copy of that, and counts where the record names no piece. ``without`` is
    the id of a brew that is not to be counted.
    """
    noted = _list_noted(db, account_id, {one.label: one.id for one in specimens})
    blends = _count_blends(db, account_id)
    uses = [
        Use(specimen_id, shots * blends.get(slot, 1), slot)
        for slot, (specimen_id, shots) in noted.items()
    ]
    for brew in _list_kept(db, account_id):
        slot = (brew.tasting_id, brew.slot) if brew.tasting_id and brew.slot else None
        if brew.specimen_id is None or brew.id == without or slot in noted:
            continue
        brews = _count_shots(brew.body) * (blends.get(slot, 1) if slot else 1)
        uses.append(Use(brew.specimen_id, brews, slot))
    return uses


def count_uses(uses: Sequence[Use], without: SlotName | None = None) -> Counter[UUID]:
    """Count the brews of every piece, but those made for the slot ``without``."""
    counted: Counter[UUID] = Counter()
    for use in uses:
        if without is None or use.slot != without:
            counted[use.specimen_id] += use.brews
    return counted


def _list_kept(db: Session, account_id: UUID) -> Sequence[Brew]:
    statement = select(Brew).where(Brew.account_id == account_id)
    kept = col(Brew.kept_at).is_not(None), col(Brew.specimen_id).is_not(None)
    return db.exec(statement.where(*kept)).all()


def _list_noted(
    db: Session, account_id: UUID, ids: dict[str, UUID]
) -> dict[SlotName, tuple[UUID, int]]:
    """Return the piece and the shots that the last note of each sealed slot names."""
    statement = (
        select(Event.tasting_id, Event.body)
        .join(Membership, col(Membership.tasting_id) == Event.tasting_id)
        .where(Membership.account_id == account_id, Event.kind == Kind.BREWED.value)
        .order_by(col(Event.tasting_id), col(Event.seq))
    )
    noted: dict[SlotName, tuple[UUID, int]] = {}
    for tasting_id, body in db.exec(statement):
        slot, brew = (tasting_id, str((body or {}).get("slot"))), (body or {}).get("brew") or {}
        label = (brew.get("part") or {}).get("specimen")
        noted.pop(slot, None)  # a later note takes the place of an earlier one
        if label in ids:
            noted[slot] = ids[label], _count_shots(brew)
    return noted


def _count_blends(db: Session, account_id: UUID) -> dict[SlotName, int]:
    """Return how many brews make up a slot, where it is more than one."""
    statement = (
        select(BrewSlot.tasting_id, BrewSlot.name, BrewSlot.brews)
        .join(Membership, col(Membership.tasting_id) == BrewSlot.tasting_id)
        .where(Membership.account_id == account_id, col(BrewSlot.brews) > 1)
    )
    return {(tasting_id, name): brews for tasting_id, name, brews in db.exec(statement)}


def _count_shots(body: dict[str, Any]) -> int:
    return int(body.get("shots") or 1)
