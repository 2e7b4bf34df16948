"""Kept brews by which the samples of a draft are tried out."""

from collections.abc import Sequence
from uuid import UUID

from sqlmodel import Session, col, select

from server.storage.tables import Brew


def list_trials(db: Session, tasting_id: UUID) -> Sequence[Brew]:
    """Return the kept brews for samples of a tasting, not for its sealed slots, oldest first."""
    statement = select(Brew).where(
        Brew.tasting_id == tasting_id,
        col(Brew.level).is_not(None),
        col(Brew.slot).is_(None),
        col(Brew.kept_at).is_not(None),
    )
    return db.exec(statement.order_by(col(Brew.kept_at), col(Brew.level), col(Brew.id))).all()


def release_from(db: Session, tasting_id: UUID) -> None:
    """Leave the brews of a draft that is forgotten on the bench, for no tasting."""
    for brew in db.exec(select(Brew).where(Brew.tasting_id == tasting_id)).all():
        brew.tasting_id = brew.level = None
        db.add(brew)
