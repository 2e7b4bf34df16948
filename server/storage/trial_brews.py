"""Kept brews by which the samples of a draft are tried out."""

from collections.abc import Sequence
from uuid import UUID

from sqlmodel import Session, col, select, update

from server.storage.tables import Brew


def list_trials(db: Session, tasting_id: UUID) -> Sequence[Brew]:
    """Return the kept brews for samples of a tasting, not for its sealed slots, oldest first."""
    return [row for row in list_tried(db, tasting_id) if row.kept_at is not None]


def list_tried(db: Session, tasting_id: UUID) -> Sequence[Brew]:
    """As `list_trials`, with those that go on."""
    statement = select(Brew).where(
        Brew.tasting_id == tasting_id, col(Brew.level).is_not(None), col(Brew.slot).is_(None)
    )
    order = (col(Brew.kept_at), col(Brew.created_at), col(Brew.level), col(Brew.id))
    return db.exec(statement.order_by(*order)).all()


def release_from(db: Session, tasting_id: UUID) -> None:
    """Leave the brews of a draft that is forgotten on the bench, for no tasting."""
    tried = update(Brew).where(col(Brew.tasting_id) == tasting_id)
    db.exec(tried.values(tasting_id=None, level=None))
