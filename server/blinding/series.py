"""Draw a rising series: a triad a step, two cups of the base and one with more and more in it."""

from collections.abc import Sequence
from decimal import Decimal
from math import ceil
from random import Random
from uuid import UUID

from server.blinding.allocation import RoundPots
from server.blinding.draw import draw_servings
from server.blinding.layouts import join_key, list_names, list_seats, name_slots
from server.blinding.orders import balanced_orders
from server.blinding.plans import Plan, Purpose
from server.blinding.sealed import (
    Layout,
    PlannedComparison,
    PlannedSample,
    SealedTasting,
)
from server.blinding.series_rules import BASE, check_series

CHECK_CUPS = 2
"""Cups of a round's batch that are read, and served to nobody: one of the base, one with more."""


def count_batch(seats: int, cup_ml: Decimal, pot_ml: Decimal, cups: int = 3) -> int:
    """Return how many pots make up the one batch of a round, from which every cup is filled.

    Raises
    ------
    ValueError
        If a pot does not fill a single cup.

    Examples
    --------
    >>> count_batch(9, Decimal(35), Decimal(500))
    3
    """
    if not 0 < cup_ml <= pot_ml:
        raise ValueError(f"cup_ml must be above 0 and at most pot_ml ({pot_ml}), got {cup_ml}")
    return ceil((cups * seats + CHECK_CUPS) * cup_ml / pot_ml)


def draw_series(
    plan: Plan,
    tasting: UUID,
    samples: Sequence[PlannedSample],
    orders: Sequence[str],
    rng: Random,
) -> SealedTasting:
    """Draw everything that a seal covers of a series.

    Parameters
    ----------
    plan : Plan
        With a series, and as many rounds as it has steps.
    tasting : UUID
        Its id.
    samples : sequence of PlannedSample
        ``A``, the base, and one for each step.
    orders : sequence of str
        Serving orders of a triad with one cup that holds more, ``B``.
    rng : random.Random
        The only source of chance.

    Returns
    -------
    SealedTasting
        Layout, salt and key, in that order of drawing.

    Raises
    ------
    ValueError
        If the plan has no series, or samples and rounds do not fit it.

    See Also
    --------
    draw_series_layout, draw_series_key : The two steps; the first knows nothing of the second.
    """
    layout = draw_series_layout(plan, tasting, samples, orders, rng)
    salt = rng.randbytes(32).hex()
    return join_key(layout, salt, draw_series_key(layout, orders, rng))


def draw_series_layout(
    plan: Plan,
    tasting: UUID,
    samples: Sequence[PlannedSample],
    orders: Sequence[str],
    rng: Random,
) -> Layout:
    """Draw ids and codes; the steps come in their rising order for everybody.

    Parameters and errors are those of `draw_series`.
    """
    levels = check_series(plan, samples)
    seats, cups = plan.assessors + plan.spare_seats, len(orders[0])
    brews = count_batch(seats, plan.cup_ml, plan.pot_ml, cups)
    batch = RoundPots(slots=1, brews=brews, cups=cups * seats)
    names = [f"step-{number}" for number in range(1, len(levels) + 1)]
    return Layout(
        tasting=tasting,
        plan=plan,
        samples=tuple(samples),
        comparisons=tuple(
            PlannedComparison(name=name, samples=(BASE, level), purpose=Purpose.TEST)
            for name, level in zip(names, levels, strict=True)
        ),
        slots=name_slots(
            (round_, ((BASE, batch), (level, batch))) for round_, level in enumerate(levels, 1)
        ),
        seats=list_seats(plan),
        servings=draw_servings(names, plan, cups, rng),
    )


def draw_series_key(layout: Layout, orders: Sequence[str], rng: Random) -> dict[UUID, str]:
    """Draw where the cup with more stands, step by step.

    Parameters
    ----------
    layout : Layout
        From `draw_series_layout`.
    orders : sequence of str
        As in `draw_series`.
    rng : random.Random
        Source of chance.

    Returns
    -------
    dict of UUID to str
        Cup id to slot name.

    Notes
    -----
    Within a step the places are equally frequent or differ by one, among the seats that
    count and among the spare ones. From one step to the next they are drawn anew: whoever
    is sure of a place, or always guesses the same one, learns nothing from it about the
    next, and each guess is right with the chance that the analysis takes for granted.
    """
    key: dict[UUID, str] = {}
    spare = {seat.number: seat.spare for seat in layout.seats}
    for round_, comparison in enumerate(layout.comparisons, 1):
        names = list_names(layout.slots, round_)
        stands = {
            letter: names[level][0] for letter, level in zip("AB", comparison.samples, strict=True)
        }
        for reserve in (False, True):
            mine = [
                one for one in layout.servings if one.round == round_ and spare[one.seat] == reserve
            ]
            drawn = balanced_orders(orders, len(mine), 1, rng) if mine else []
            for serving, (order,) in zip(mine, drawn, strict=True):
                key |= {
                    cup.id: stands[letter] for cup, letter in zip(serving.cups, order, strict=True)
                }
    return key
