"""The recipes that an account keeps, for choosing one."""

from collections.abc import Sequence
from uuid import UUID

from sqlmodel import Session, col, select

from server.storage.tables import RecipeCard


def list_recipe_cards(db: Session, account_id: UUID) -> Sequence[RecipeCard]:
    """Return all versions of an account's recipes, by title, the newest first."""
    statement = select(RecipeCard).where(RecipeCard.account_id == account_id)
    order = (col(RecipeCard.title), col(RecipeCard.line), col(RecipeCard.version).desc())
    return db.exec(statement.order_by(*order)).all()
