"""The one module that reads the key: the truth under the cups and the sealed text."""

from collections.abc import Collection
from uuid import UUID

from sqlmodel import Session, col, select

from server.storage.tables import BrewSlot, CupTruth, Seal


def read_key(
    db: Session, tasting_id: UUID, rounds: Collection[int] | None = None
) -> dict[UUID, str]:
    """Return cup id to slot name, for some rounds or (None) for all."""
    statement = (
        select(CupTruth.cup_id, BrewSlot.name)
        .join(BrewSlot, col(CupTruth.slot_id) == BrewSlot.id)
        .where(CupTruth.tasting_id == tasting_id)
    )
    if rounds is not None:
        statement = statement.where(col(BrewSlot.round).in_(rounds))
    return dict(db.exec(statement).all())


def read_sealed_text(db: Session, tasting_id: UUID) -> bytes | None:
    """Return the sealed text, verbatim."""
    return db.exec(select(Seal.text).where(Seal.tasting_id == tasting_id)).first()


def read_sealed_texts(db: Session, tasting_ids: Collection[UUID]) -> dict[UUID, bytes]:
    """Return the sealed texts of several tastings, verbatim."""
    wanted = select(Seal.tasting_id, Seal.text).where(col(Seal.tasting_id).in_(tasting_ids))
    return dict(db.exec(wanted).all())
