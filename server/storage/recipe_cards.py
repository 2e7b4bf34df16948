"""The recipes that an account keeps, and what was brewed or planned by them."""

from collections.abc import Mapping, Sequence
from typing import Any
from uuid import UUID

from sqlmodel import Session, col, select, update

from server.storage.tables import Brew, Membership, RecipeCard, Tasting


def list_recipe_cards(db: Session, account_id: UUID) -> Sequence[RecipeCard]:
    """Return all versions of an account's recipes, by title, the newest first."""
    statement = select(RecipeCard).where(RecipeCard.account_id == account_id)
    order = (col(RecipeCard.title), col(RecipeCard.line), col(RecipeCard.version).desc())
    return db.exec(statement.order_by(*order)).all()


def find_recipe_card(db: Session, account_id: UUID, recipe_id: UUID) -> RecipeCard | None:
    """Return a version of a recipe if this account keeps it."""
    card = db.get(RecipeCard, recipe_id)
    return card if card and card.account_id == account_id else None


def list_brewed_bodies(db: Session, account_id: UUID) -> Sequence[Mapping[str, Any]]:
    """Return the copies of recipes that an account's brews hold."""
    return db.exec(select(Brew.recipe).where(Brew.account_id == account_id)).all()


def list_plans(db: Session, account_id: UUID) -> Sequence[Mapping[str, Any]]:
    """Return the plans, sealed or not, of the tastings that an account leads."""
    statement = select(Tasting.plan).join(Membership, col(Membership.tasting_id) == col(Tasting.id))
    return db.exec(statement.where(Membership.account_id == account_id)).all()


def delete_recipe_card(db: Session, card: RecipeCard) -> None:
    """Delete a version; brews made by it keep their copy."""
    db.exec(update(Brew).where(col(Brew.recipe_id) == card.id).values(recipe_id=None))
    db.delete(card)
