"""Brews on the bench: begun from a recipe, kept, listed; one for a sealed slot is noted too."""

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from sqlmodel import Session

from server.blinding.events import State
from server.blinding.plans import Plan
from server.brewing.brewed import Brewed, PartUsed, read_brewed, write_brewed
from server.brewing.recipe import Recipe, read_recipe, write_recipe
from server.storage import brews, queries, specimens, tables
from server.tastings.bench import Bench
from server.tastings.refusals import NotFound, Refusal

NO_BREW = "There is no such brew."
NO_RECIPE = "There is no recipe to brew by: choose one first."
KEPT = "This brew is kept: it stays as it is. Readings can still be added."
NO_TRIAL = "This tasting is sealed: a trial brew of it would tell nobody anything any more."
NOT_BEGUN = "Nothing of this brew is noted yet: there is nothing to keep."


@dataclass(frozen=True)
class KeptBrew:
    """A brew: its recipe as it was then, and what was done and read.

    Attributes
    ----------
    tasting_id, level, slot
        What it was made for: a sample of a tasting, tried out before sealing or served for
        a sealed slot; None on the bench.
    kept_at
        When it was finished and counted; None while it goes on.
    """

    id: UUID
    recipe: Recipe
    brewed: Brewed
    created_at: datetime
    kept_at: datetime | None = None
    recipe_id: UUID | None = None
    specimen_id: UUID | None = None
    tasting_id: UUID | None = None
    level: str | None = None
    slot: str | None = None

    @property
    def kept(self) -> bool:
        """Whether it is finished and counted."""
        return self.kept_at is not None


def begin_brew(
    bench: Bench,
    account_id: UUID,
    *,
    recipe_id: UUID | None = None,
    recipe: Recipe | None = None,
    tasting_id: UUID | None = None,
    level: str | None = None,
    slot: str | None = None,
    specimen_id: UUID | None = None,
) -> UUID:
    """Begin a brew and return its id; where nothing was done yet, the same again finds it.

    For a slot one brew goes on at a time: as long as it is not kept, it is found again.
    Without a recipe it takes that of the tasting's plan for its sample.

    Raises
    ------
    NotFound
        This account has no such recipe, tasting, sample, slot or piece.
    Refusal
        There is no recipe, or a trial brew comes too late: its tasting is sealed.
    """
    with bench.writing() as db:
        tasting = _lock_tasting(db, account_id, tasting_id)
        level = _find_level(db, tasting, level, slot)
        card = _find_card(db, account_id, recipe_id)
        body = recipe or card or _get_planned(tasting, level)
        _check_specimen(db, account_id, specimen_id)
        row = tables.Brew(
            id=bench.draw_uuid(),
            account_id=account_id,
            recipe_id=recipe_id,
            recipe=write_recipe(body),
            specimen_id=specimen_id,
            tasting_id=tasting_id,
            level=level,
            slot=slot,
            body={},
            created_at=bench.clock(),
        )
        same = _find_same(db, row)
        if same is None:
            db.add(row)
            db.commit()
        return (same or row).id


def list_brews(
    bench: Bench, account_id: UUID, tasting_id: UUID | None = None
) -> tuple[KeptBrew, ...]:
    """List the brews of an account, or of one of its tastings, kept or not, newest first."""
    with bench.reading() as db:
        return tuple(tell(row) for row in brews.list_brews(db, account_id, tasting_id))


def get_brew(bench: Bench, account_id: UUID, brew_id: UUID) -> KeptBrew:
    """Return one brew.

    Raises
    ------
    NotFound
        This account has no such brew.
    """
    with bench.reading() as db:
        row = brews.find_brew(db, account_id, brew_id)
    if row is None:
        raise NotFound(NO_BREW)
    return tell(row)


@contextmanager
def changing(
    bench: Bench, account_id: UUID, brew_id: UUID, *, even_kept: bool = False
) -> Iterator[tuple[Session, tables.Brew]]:
    """Load a brew to change it, and commit when the block ends well.

    Raises
    ------
    NotFound
        This account has no such brew.
    Refusal
        It is kept, and may not be changed like this any more.
    """
    with bench.writing() as db:
        row = lock_row(db, account_id, brew_id)
        if row.kept_at is not None and not even_kept:
            raise Refusal(KEPT)
        yield db, row
        db.add(row)
        db.commit()


def finish(bench: Bench, db: Session, row: tables.Brew) -> None:
    """Finish a brew within a transaction, with the piece of the part that it was made with."""
    if not row.body:
        raise Refusal(NOT_BEGUN)
    brewed = read_brewed(row.body)
    part = tell_part(db, row) or brewed.part
    row.body = write_brewed(brewed.model_copy(update={"part": part}))
    row.kept_at = bench.clock()


def tell_part(db: Session, row: tables.Brew) -> PartUsed | None:
    """Return the piece a brew is made with, and how many brews that had made before."""
    if row.specimen_id is None:
        return None
    piece = specimens.find_specimen(db, row.account_id, row.specimen_id)
    assert piece is not None  # a foreign key holds it
    slot = (row.tasting_id, row.slot) if row.tasting_id and row.slot else None
    uses = specimens.list_uses(db, row.account_id, [piece], without=row.id)
    before = piece.brews_before + specimens.count_uses(uses, slot)[piece.id]
    return PartUsed.model_validate(
        {"specimen": piece.label, "part": piece.part, "state": piece.state, "brews_before": before}
    )


def delete_brew(bench: Bench, account_id: UUID, brew_id: UUID) -> None:
    """Forget a brew that is not kept; a second time changes nothing."""
    with bench.writing() as db:
        row = brews.lock_brew(db, account_id, brew_id)
        if row is None:
            return
        if row.kept_at is not None:
            raise Refusal(KEPT)
        db.delete(row)
        db.commit()


def lock_row(db: Session, account_id: UUID, brew_id: UUID) -> tables.Brew:
    """Load the row of a brew to change it, or raise `NotFound`."""
    row = brews.lock_brew(db, account_id, brew_id)
    if row is None:
        raise NotFound(NO_BREW)
    return row


def tell(row: tables.Brew) -> KeptBrew:
    """Return what a row says."""
    return KeptBrew(
        row.id,
        read_recipe(row.recipe),
        read_brewed(row.body),
        row.created_at,
        row.kept_at,
        row.recipe_id,
        row.specimen_id,
        row.tasting_id,
        row.level,
        row.slot,
    )


def _lock_tasting(db: Session, account_id: UUID, tasting_id: UUID | None) -> tables.Tasting | None:
    """Load the tasting a brew is for; two taps at once begin one brew of it."""
    if tasting_id is None:
        return None
    if queries.find_led_tasting(db, account_id, tasting_id) is None:
        raise NotFound("There is no such tasting.")
    return queries.lock_tasting(db, tasting_id)


def _find_level(
    db: Session, tasting: tables.Tasting | None, level: str | None, slot: str | None
) -> str | None:
    """Return the sample that is brewed; of a slot it follows from the slot."""
    if tasting is None or (level is None and slot is None):
        return None
    layout = queries.load_layout(db, tasting)
    if slot is None and tasting.state != State.DRAFT:
        raise Refusal(NO_TRIAL)
    if slot is not None:
        found = next((one.sample for one in layout.slots if one.name == slot), None)
    else:
        found = next((one.level for one in layout.samples if one.level == level), None)
    if found is None:
        raise NotFound(NO_BREW if slot is not None else "There is no such sample.")
    return found


def _find_card(db: Session, account_id: UUID, recipe_id: UUID | None) -> Recipe | None:
    if recipe_id is None:
        return None
    card = db.get(tables.RecipeCard, recipe_id)
    if card is None or card.account_id != account_id:
        raise NotFound("There is no such recipe.")
    return read_recipe(card.body)


def _get_planned(tasting: tables.Tasting | None, level: str | None) -> Recipe:
    planned = find_planned_recipe(Plan.model_validate(tasting.plan), level) if tasting else None
    if planned is None:
        raise Refusal(NO_RECIPE)
    return planned


def find_planned_recipe(plan: Plan, level: str | None) -> Recipe | None:
    """Return the recipe by which a plan has a sample brewed."""
    body = plan.bench.recipes.get(level or "") if plan.bench else None
    return read_recipe(body) if body else None


def _check_specimen(db: Session, account_id: UUID, specimen_id: UUID | None) -> None:
    if specimen_id is None:
        return
    piece = specimens.find_specimen(db, account_id, specimen_id)
    if piece is None or piece.retired:
        raise NotFound("There is no such piece.")


def _find_same(db: Session, row: tables.Brew) -> tables.Brew | None:
    """Find the brew that goes on for the slot, or one like it of which nothing was done."""
    members: tuple[str, ...] = ("tasting_id", "slot")
    if row.slot is None:
        members += ("recipe_id", "recipe", "specimen_id", "level", "body")
    wanted, found = row.model_dump(include={*members}), brews.list_unkept(db, row.account_id)
    return next((one for one in found if one.model_dump(include={*members}) == wanted), None)
