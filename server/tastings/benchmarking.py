"""A leader's recipes beside the house reference: their brews, and the tastings of both."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from uuid import UUID

from server.blinding.events import Event, State
from server.blinding.plans import Plan
from server.blinding.record import Record, fold
from server.blinding.seal import BadSeal, canonical, read_sealed, seal_hash
from server.blinding.sealed import SealedTasting
from server.brewing.brewed import Brewed, read_brewed
from server.brewing.recipe import Recipe, read_recipe
from server.reports.analysis import analyse_tasting
from server.reports.benchmark import RecipeNumbers, sum_up_brews
from server.reports.benchmark_tastings import Said, find_levels, read_table, read_test
from server.reports.brew_readings import find_recipe
from server.reports.brewed_notes import read_note
from server.reports.findings import conclude
from server.storage import brews, queries
from server.storage.tables import Brew, Tasting
from server.tastings.bench import Bench
from server.tastings.recipes_kept import KeptRecipe, list_recipes
from server.tastings.sealed_text import get_sealed_texts
from server.tastings.table_concluding import read_tables

MOST = 40
"""Tastings that are read, the newest first: each is worked out again."""


@dataclass(frozen=True)
class Held:
    """A tasting that held a recipe against the house reference."""

    tasting: UUID
    name: str
    question: str
    day: str
    said: Said


@dataclass(frozen=True)
class Benched:
    """A recipe, what its brews came to, and the tastings that held it against the reference."""

    kept: KeptRecipe
    numbers: RecipeNumbers
    held: tuple[Held, ...] = ()


@dataclass(frozen=True)
class Benchmark:
    """The house reference, if one is marked, and the other recipes by title.

    ``sealed`` counts tastings of both that are not unsealed yet, ``left_out`` older ones by
    recipes that were not read.
    """

    house: Benched | None
    others: tuple[Benched, ...]
    sealed: int = 0
    left_out: int = 0


@dataclass(frozen=True)
class _Opened:
    """An unsealed tasting with its record."""

    row: Tasting
    sealed: SealedTasting
    events: Sequence[Event]
    record: Record


def read_benchmark(bench: Bench, account_id: UUID) -> Benchmark:
    """Sum up the recipes of an account: the newest versions, and older ones that were used."""
    kept = [one for one in list_recipes(bench, account_id) if one.newest or one.used or one.house]
    with bench.reading() as db:
        rows = [one for one in queries.list_led_tastings(db, account_id) if _has_recipes(one)]
        own = brews.list_brews(db, account_id)
    unsealed = [one for one in rows if one.state == State.UNSEALED]
    opened = _open(bench, unsealed[:MOST])
    made = _collect_brews(own, opened)
    house = next((one for one in kept if one.house), None)
    others = [one for one in kept if one is not house]
    held = _hold(bench, opened, others, house.recipe) if house else {}
    return Benchmark(
        _sum_up(house, made) if house else None,
        tuple(_sum_up(one, made, held.get(one.id, ())) for one in others),
        _count_sealed(rows, others, house.recipe) if house else 0,
        max(0, len(unsealed) - MOST),
    )


def _has_recipes(row: Tasting) -> bool:
    return bool((row.plan.get("bench") or {}).get("recipes"))


def _open(bench: Bench, rows: Sequence[Tasting]) -> list[_Opened]:
    """Read unsealed tastings; one whose text is spoilt says so in its own finding."""
    ids = [one.id for one in rows]
    with bench.reading() as db:
        texts, events = get_sealed_texts(db, ids), queries.load_all_events(db, ids)
    opened = []
    for row in rows:
        try:
            sealed = read_sealed(texts.get(row.id, b""))
        except BadSeal:
            continue
        record = fold(events[row.id], seal_hash(canonical(sealed)))
        opened.append(_Opened(row, sealed, events[row.id], record))
    return opened


def _collect_brews(own: Sequence[Brew], opened: Sequence[_Opened]) -> Mapping[Recipe, list[Brewed]]:
    """Collect brews by recipe: those kept on the bench, and those noted for sealed slots.

    Of a slot the record counts, not the working copy; while a tasting is sealed, neither does.
    """
    made: dict[Recipe, list[Brewed]] = {}
    for row in own:
        if row.kept_at is not None and row.slot is None:
            made.setdefault(read_recipe(row.recipe), []).append(read_brewed(row.body))
    for one in opened:
        for slot in one.sealed.slots:
            note = one.record.brews.get(slot.name)
            recipe = find_recipe(one.sealed.plan, slot.sample)
            if note is not None and recipe is not None:
                made.setdefault(recipe, []).append(read_note(note))
    return made


def _sum_up(
    kept: KeptRecipe, made: Mapping[Recipe, list[Brewed]], held: tuple[Held, ...] = ()
) -> Benched:
    how = kept.recipe.device.how
    return Benched(kept, sum_up_brews(how, made.get(kept.recipe, [])), held)


def _hold(
    bench: Bench, opened: Sequence[_Opened], others: Sequence[KeptRecipe], house: Recipe
) -> dict[UUID, tuple[Held, ...]]:
    """Return what every tasting of two recipes says of them, by the id of the other one."""
    pairs = [
        (one, kept, levels)
        for one in opened
        for kept in others
        if (levels := find_levels(one.sealed.plan, kept.recipe, house))
    ]
    tables = {one.row.id: one.record.version for one, *_ in pairs if one.sealed.plan.table}
    found = read_tables(bench, tables)
    held: dict[UUID, tuple[Held, ...]] = {}
    for one, kept, levels in pairs:
        if one.row.id in found:
            page, means = found[one.row.id]
            said: Said | None = read_table(page.finding, means, levels, _list_labels(one))
        else:
            said = _conclude(one, levels)
        if said is not None:
            held[kept.id] = (*held.get(kept.id, ()), _show(one, said))
    return held


def _show(one: _Opened, said: Said) -> Held:
    row, question = one.row, one.sealed.plan.question
    return Held(row.id, row.name, question, f"{row.created_at:%d %b %Y}", said)


def _list_labels(one: _Opened) -> dict[str, str]:
    return {sample.level: sample.label for sample in one.sealed.samples}


def _conclude(one: _Opened, levels: tuple[str, str]) -> Said | None:
    analysis = analyse_tasting(one.sealed, one.events)
    return read_test(analysis, conclude(analysis), levels)


def _count_sealed(rows: Sequence[Tasting], others: Sequence[KeptRecipe], house: Recipe) -> int:
    """Count tastings that hold the house reference against another recipe, and go on."""
    states = (State.SEALED, State.SERVING, State.CLOSED)
    plans = [Plan.model_validate(one.plan) for one in rows if one.state in states]
    return sum(any(find_levels(plan, one.recipe, house) for one in others) for plan in plans)
