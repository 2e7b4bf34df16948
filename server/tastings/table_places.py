"""What cups and their places are called to whoever pours."""

from server.blinding.sealed import Layout, PlannedCup, PlannedServing
from server.blinding.table_lists import list_around
from server.blinding.table_stands import is_scored


def name_cup(cup: PlannedCup) -> str:
    """Return the code of a cup, with the number of its bowl if there are several."""
    return f"{cup.code} bowl {cup.bowl}" if cup.bowl else cup.code


def name_place(layout: Layout, serving: PlannedServing, cup: PlannedCup) -> str:
    """Say where a cup goes: to a seat or, shared, to a place around the table."""
    if layout.plan.table is None or not layout.plan.table.shared:
        return f"seat {serving.seat}"
    around = list_ring_codes(layout, serving.round)
    return f"place {around.index(cup.code) + 1}" if around else "warm-up"


def list_ring_codes(layout: Layout, round_: int) -> tuple[str, ...]:
    """List the codes around a shared table; none where cups are people's own."""
    servings = [one for one in layout.servings if one.round == round_]
    shared = layout.plan.table is not None and layout.plan.table.shared
    if not shared or not servings or not is_scored(layout, servings[0]):
        return ()
    return tuple(stand.code for stand in list_around(layout, round_))
