"""The brews of an account, on the bench and for sealed slots."""

from collections.abc import Sequence
from uuid import UUID

from sqlmodel import Session, col, select
from sqlmodel.sql.expression import SelectOfScalar

from server.storage.tables import Brew


def list_brews(db: Session, account_id: UUID, tasting_id: UUID | None = None) -> Sequence[Brew]:
    """Return the brews of an account, or of one tasting of it, the newest first."""
    statement = select(Brew).where(Brew.account_id == account_id)
    if tasting_id is not None:
        statement = statement.where(Brew.tasting_id == tasting_id)
    return db.exec(statement.order_by(col(Brew.created_at).desc(), col(Brew.id))).all()


def list_unkept(db: Session, account_id: UUID) -> Sequence[Brew]:
    """Return the brews of an account that go on."""
    statement = select(Brew).where(Brew.account_id == account_id, col(Brew.kept_at).is_(None))
    return db.exec(statement).all()


def find_brew(db: Session, account_id: UUID, brew_id: UUID) -> Brew | None:
    """Return a brew if it is this account's."""
    found = db.get(Brew, brew_id)
    return found if found and found.account_id == account_id else None


def lock_brew(db: Session, account_id: UUID, brew_id: UUID) -> Brew | None:
    """Load a brew of this account and keep every other writer of it out until the commit."""
    statement = select(Brew).where(Brew.id == brew_id, Brew.account_id == account_id)
    options = statement.with_for_update().execution_options(populate_existing=True)
    return db.exec(options).first()


def find_slot_brew(db: Session, tasting_id: UUID, slot: str) -> Brew | None:
    """Return the newest brew for a sealed slot."""
    return db.exec(_list_for_slot(tasting_id, slot)).first()


def find_counted_brew(db: Session, tasting_id: UUID, slot: str) -> Brew | None:
    """Return the brew that counts for a sealed slot: of those kept, the one begun last."""
    return db.exec(_list_for_slot(tasting_id, slot).where(col(Brew.kept_at).is_not(None))).first()


def _list_for_slot(tasting_id: UUID, slot: str) -> SelectOfScalar[Brew]:
    """Ask for the brews for a sealed slot, the newest first."""
    statement = select(Brew).where(Brew.tasting_id == tasting_id, Brew.slot == slot)
    return statement.order_by(col(Brew.created_at).desc(), col(Brew.id))
