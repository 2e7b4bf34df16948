"""Check that a drawn tasting keeps the rules of blinding."""

from collections.abc import Sequence

from server.blinding.orders import balance_report
from server.blinding.plans import Pots, Purpose
from server.blinding.seal import find_key_problems, find_layout_problems
from server.blinding.sealed import PlannedComparison, SealedTasting


def check_balance(sealed: SealedTasting, orders: Sequence[str]) -> list[str]:
    """List where a drawn tasting breaks the rules of blinding.

    Parameters
    ----------
    sealed : SealedTasting
        What was drawn.
    orders : sequence of str
        The full set of serving orders of the method.

    Returns
    -------
    list of str
        One sentence for each rule that is broken; empty if the draw is sound.
    """
    found = find_layout_problems(sealed) or find_key_problems(sealed)
    if found:
        return found
    for comparison in sealed.comparisons:
        for spare in (False, True):
            found += _check_orders(sealed, comparison, orders, spare)
    return found + _check_pots(sealed) + _check_codes(sealed)


def _check_orders(
    sealed: SealedTasting, comparison: PlannedComparison, orders: Sequence[str], spare: bool
) -> list[str]:
    who = f"{'spare seats' if spare else 'seats that count'} ({comparison.name})"
    rows = [
        [
            sealed.order(serving)
            for serving in sealed.servings
            if (serving.seat, serving.comparison) == (seat.number, comparison.name)
        ]
        for seat in sealed.seats
        if seat.spare == spare
    ]
    found = []
    if rows and balance_report(orders, rows).widest > 1:
        found.append(f"The orders of the {who} are not balanced after every round.")
    for row in rows:
        blocks = (row[start : start + len(orders)] for start in range(0, len(row), len(orders)))
        if any(len(set(block)) < len(block) for block in blocks):
            found.append(f"One of the {who} meets an order twice in {len(orders)} rounds.")
    return found


def _check_pots(sealed: SealedTasting) -> list[str]:
    found = []
    for serving in sealed.servings:
        brews = set(sealed.list_brews(serving))
        if sealed.purpose(serving) == Purpose.NULL:
            if len(brews) != 2:
                found.append(f"Null control {serving.id} is not of two brews.")
        elif sealed.plan.pots == Pots.SEPARATE and len(brews) < len(serving.cups):
            found.append(f"Two cups of serving {serving.id} come from one brew.")
    return found


def _check_codes(sealed: SealedTasting) -> list[str]:
    found = []
    for seat in sealed.seats:
        codes = [c for s in sealed.servings if s.seat == seat.number for c in s.codes]
        if len(set(codes)) < len(codes):
            found.append(f"Seat {seat.number} gets a code twice.")
    return found
