"""How the codes of a shared table stand around it."""

from server.blinding.sealed import Layout
from server.blinding.table_plans import get_table
from server.blinding.table_stands import Stand, list_ring


def list_around(layout: Layout, round_: int) -> tuple[Stand, ...]:
    """List codes as they stand around a shared table; the last is beside the first.

    Raises
    ------
    ValueError
        If the table is not shared, or there is no such round.
    """
    servings = [one for one in layout.servings if one.round == round_]
    if not get_table(layout.plan).shared or not servings:
        raise ValueError(f"round_ must be one of a shared table, got {round_}")
    return list_ring(servings)
