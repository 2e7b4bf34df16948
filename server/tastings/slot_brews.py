"""Brews for sealed slots: what is known of each, on the bench and in the record."""

from collections.abc import Collection
from dataclasses import dataclass
from uuid import UUID

from server.blinding.record import Record
from server.blinding.sealed import Layout, PlannedSlot
from server.brewing.brewed import Brewed, write_brewed
from server.brewing.recipe import Recipe
from server.reports.brewed_notes import read_note
from server.storage import brews, queries, specimens
from server.tastings.bench import Bench
from server.tastings.brew_sheets import (
    NO_BREW,
    KeptBrew,
    begin_brew,
    changing,
    find_planned_recipe,
    tell,
)
from server.tastings.refusals import NotFound


@dataclass(frozen=True)
class SlotBrew:
    """What is known of the brew for a slot.

    Attributes
    ----------
    brew
        The newest brew on the bench; None if none was begun.
    recipe
        By which it is brewed; None if the plan has none for its sample.
    brewed
        What the record says once it is kept; before that, what the sheet says.
    noted
        Whether the record has a note of this slot.
    """

    slot: PlannedSlot
    label: str
    brew: KeptBrew | None
    recipe: Recipe | None
    brewed: Brewed
    noted: bool

    @property
    def open(self) -> bool:
        """Whether a brew goes on, or can be begun by its first tap."""
        return not self.noted if self.brew is None else not self.brew.kept


def find_slot_brew(
    bench: Bench, layout: Layout, record: Record, name: str, rounds: Collection[int]
) -> SlotBrew:
    """Return what is known of the brew for a slot of these rounds.

    Raises
    ------
    NotFound
        There is no such slot in these rounds.
    """
    found = next((one for one in layout.slots if one.name == name and one.round in rounds), None)
    if found is None:
        raise NotFound(NO_BREW)
    with bench.reading() as db:
        row = brews.find_slot_brew(db, layout.tasting, name)
    brew, note = tell(row) if row else None, record.brews.get(name)
    label = next(one.label for one in layout.samples if one.level == found.sample)
    shown = brew.brewed if brew and not brew.kept else read_note(note)
    recipe = brew.recipe if brew else find_planned_recipe(layout.plan, found.sample)
    return SlotBrew(found, label, brew, recipe, shown, note is not None)


def find_shown(bench: Bench, brew: KeptBrew) -> Brewed:
    """Return what counts of a brew: of one kept for a slot, what the record says.

    An earlier brew for the same slot is shown as it was kept.
    """
    if brew.tasting_id is None or brew.slot is None or not brew.kept:
        return brew.brewed
    with bench.reading() as db:
        counted = brews.find_counted_brew(db, brew.tasting_id, brew.slot)
        if counted is None or counted.id != brew.id:
            return brew.brewed
        return read_note(queries.load_record(db, brew.tasting_id).brews.get(brew.slot))


def open_slot_brew(bench: Bench, tasting_id: UUID, brew: SlotBrew) -> tuple[UUID, UUID]:
    """Return account and id of the brew for a slot; one that was not begun begins.

    Where the record has a note and the bench has no brew, the note is laid out as one.
    """
    account_id = get_account(bench, tasting_id)
    if brew.brew is not None:
        return account_id, brew.brew.id
    brew_id = begin_brew(bench, account_id, tasting_id=tasting_id, slot=brew.slot.name)
    if brew.noted:
        with changing(bench, account_id, brew_id) as (_, row):
            row.body, row.kept_at = write_brewed(brew.brewed), bench.clock()
    return account_id, brew_id


def brew_again(bench: Bench, tasting_id: UUID, brew: SlotBrew) -> None:
    """Begin a slot's brew anew; what is kept stays on record until the new one is kept."""
    account_id = get_account(bench, tasting_id)
    begin_brew(bench, account_id, tasting_id=tasting_id, slot=brew.slot.name)


def get_account(bench: Bench, tasting_id: UUID) -> UUID:
    """Return the account that keeps the brews of a tasting."""
    with bench.reading() as db:
        account_id = specimens.find_leader(db, tasting_id)
    if account_id is None:
        raise NotFound(NO_BREW)
    return account_id
