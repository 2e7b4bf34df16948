"""The rules that a drawn table keeps, and what is wrong where one is broken."""

from collections import Counter
from collections.abc import Iterator, Sequence
from itertools import pairwise

from server.blinding.plans import Pots, TablePlan
from server.blinding.seal import find_key_problems, find_layout_problems
from server.blinding.sealed import PlannedServing, SealedTasting
from server.blinding.table_balance import Order, count_positions, read_orders
from server.blinding.table_orders import count_beside
from server.blinding.table_plans import get_table, is_complete, list_fixed
from server.blinding.table_stands import list_ring, list_scored

TWINS_APART = 4
"""Codes a serving must have so that no sample has to stand beside itself."""


def check_table_balance(sealed: SealedTasting) -> list[str]:
    """List where a drawn table breaks the rules of blinding.

    Parameters
    ----------
    sealed : SealedTasting
        What was drawn.

    Returns
    -------
    list of str
        One sentence for each rule that is broken; empty if the draw is sound.

    Raises
    ------
    ValueError
        If it has no table.
    """
    table = get_table(sealed.plan)
    found = find_layout_problems(sealed) or find_key_problems(sealed)
    if found:
        return found
    levels = [sample.level for sample in sealed.samples]
    found += _check_codes(sealed) + list(_check_samples(sealed, table, levels))
    return found + (_check_shared(sealed) if table.shared else _check_own(sealed, table, levels))


def _check_own(sealed: SealedTasting, table: TablePlan, levels: Sequence[str]) -> list[str]:
    found = []
    for spare, who in ((False, "seats that count"), (True, "spare seats")):
        orders = [order for _, order in read_orders(sealed, list_scored(sealed, spare=spare))]
        if orders:
            found += _check_orders(orders, table, levels, who)
    found += _check_use(sealed, list_scored(sealed, spare=False), "seats that count")
    found += _check_use(sealed, list_scored(sealed), "all seats")
    return found + list(_check_brews(sealed))


def _check_shared(sealed: SealedTasting) -> list[str]:
    return _check_walks(sealed) + _check_rings(sealed)


def _check_codes(sealed: SealedTasting) -> list[str]:
    """Check that no code comes twice: of a seat, or of a shared table over all sittings."""
    found = []
    for seat in sealed.seats:
        mine = [one for one in sealed.servings if one.seat == seat.number]
        codes = [code for one in mine for code in dict.fromkeys(one.codes)]
        if len(set(codes)) < len(codes):
            found.append(f"Seat {seat.number} gets a code twice.")
    return found


def _check_samples(sealed: SealedTasting, table: TablePlan, levels: Sequence[str]) -> Iterator[str]:
    """Check that every serving, or each of its laps, holds the samples it should.

    Around a shared table seats start in the middle of a lap.
    """
    complete, fixed = is_complete(table, levels), set(list_fixed(table))
    for serving, order in read_orders(sealed, list_scored(sealed)):
        laps = [order] if table.shared else _split_laps(order, table.laps)
        once = Counter({*order, *fixed}) + Counter(table.duplicates)
        expected = Counter({level: n * table.laps // len(laps) for level, n in once.items()})
        if any(Counter(lap) != expected for lap in laps):
            yield f"Serving {serving.id} does not hold its samples once, and duplicates twice."
        if len(set(order)) != (len(levels) if complete else table.block):
            yield f"Serving {serving.id} holds {len(set(order))} samples."


def _split_laps(order: Order, laps: int) -> list[Order]:
    size = len(order) // laps
    return [order[start : start + size] for start in range(0, len(order), max(size, 1))]


def _check_orders(
    orders: Sequence[Order], table: TablePlan, levels: Sequence[str], who: str
) -> list[str]:
    found = []
    laps = [lap for order in orders for lap in _split_laps(order, table.laps)]
    positions = count_positions(levels, laps)
    if any(max(counts) - min(counts) > 1 for counts in positions.values()):
        found.append(f"The samples of the {who} are not balanced over places.")
    turning = set(levels) - set(list_fixed(table))
    servings = [sum(level in order for order in orders) for level in turning]
    if servings and max(servings) - min(servings) > 1:
        found.append(f"The samples of the {who} are not served equally often.")
    if is_complete(table, levels) and not table.duplicates:
        widest = 1 if len(levels) % 2 == 0 else 2
        if _find_widest_neighbours(levels, laps) > widest:
            found.append(f"The samples of the {who} do not follow each other alike.")
    if len(orders[0]) >= TWINS_APART and table.laps == 1:
        beside = sum(one == two for order in orders for one, two in pairwise(order))
        if beside:
            found.append(f"Duplicates of the {who} stand beside each other ({beside}).")
    return found


def _find_widest_neighbours(levels: Sequence[str], laps: Sequence[Order]) -> int:
    counts = Counter(pair for lap in laps for pair in pairwise(lap))
    every = [counts[one, two] for one in levels for two in levels if one != two]
    return max(every) - min(every)


def _check_use(sealed: SealedTasting, servings: Sequence[PlannedServing], who: str) -> list[str]:
    """Check that the brews of a sample fill equally many cups of a round, or one more."""
    used = Counter(sealed.key[cup.id] for serving in servings for cup in serving.cups)
    rounds = {serving.round for serving in servings}
    counts: dict[tuple[int, str], list[int]] = {}
    for slot in sealed.slots:
        if slot.round in rounds:
            counts.setdefault((slot.round, slot.sample), []).append(used[slot.name])
    return [
        f"The brews of {level} in round {round_} do not fill the cups of the {who} in turn."
        for (round_, level), many in counts.items()
        if max(many) - min(many) > 1
    ]


def _check_brews(sealed: SealedTasting) -> Iterator[str]:
    if sealed.plan.pots != Pots.SEPARATE:
        return
    for serving in list_scored(sealed):
        brews = sealed.list_brews(serving)
        if len(set(brews)) < len(brews):
            yield f"Two cups of serving {serving.id} come from one brew."


def _check_walks(sealed: SealedTasting) -> list[str]:
    """Check that codes are balanced over places; with an odd number of codes nearly so."""
    found = []
    for sitting in range(1, sealed.plan.sittings + 1):
        mine = [one for one in list_scored(sealed, spare=False) if one.sitting == sitting]
        walks = [tuple(dict.fromkeys(serving.codes)) for serving in mine]
        widest = 1 if len(walks[0]) % 2 == 0 else 2
        positions = count_positions(sorted(walks[0]), walks)
        if any(max(counts) - min(counts) > widest for counts in positions.values()):
            found.append(f"The codes of sitting {sitting} are not balanced over places.")
    return found


def _check_rings(sealed: SealedTasting) -> list[str]:
    """Check that no sample stands beside itself around a table, where that can be."""
    found = []
    for sitting in range(1, sealed.plan.sittings + 1):
        mine = [one for one in list_scored(sealed) if one.sitting == sitting]
        ring = [sealed.get_sample(mine[0], stand.code) for stand in list_ring(mine)]
        if len(ring) >= TWINS_APART and count_beside(ring):
            found.append(f"A sample stands beside itself at sitting {sitting}.")
    return found
