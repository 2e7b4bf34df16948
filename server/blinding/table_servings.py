"""The servings of a scored table: ids, codes and places, whatever stands under them."""

from collections.abc import Iterable, Iterator, Sequence
from random import Random

from server.blinding.codes import draw_codes
from server.blinding.ids import draw_id
from server.blinding.plans import Plan, Purpose
from server.blinding.rotating import draw_rotation
from server.blinding.sealed import PlannedCup, PlannedServing
from server.blinding.table_plans import count_codes, get_table

Place = tuple[str, bool]
"""A code, and whether its bowls are met from the last to the first."""


def draw_servings(plan: Plan, levels: Sequence[str], rng: Random) -> tuple[PlannedServing, ...]:
    """Draw the servings of all seats, sitting by sitting, a warm-up cup before each table.

    Parameters
    ----------
    plan : Plan
        With a table, checked by `table_plans.check_table_plan`.
    levels : sequence of str
        The samples; only their number matters.
    rng : random.Random
        Source of chance.

    Returns
    -------
    tuple of PlannedServing
        On a shared table code and bowl of a cup are the same for every seat; seats start
        at different codes and walk in alternating directions (`rotating.draw_rotation`).
    """
    table = get_table(plan)
    seats = range(1, plan.assessors + plan.spare_seats + 1)
    many = count_codes(table, levels)
    codes = _draw_codes(plan, many + bool(table.warm_up), rng)
    walks = _draw_walks(plan, many, rng)
    servings: list[PlannedServing] = []
    for sitting in range(1, plan.sittings + 1):
        if table.warm_up:
            cups = [_list_cups([(next(codes[seat]), False)], 1, rng) for seat in seats]
            servings += _serve(Purpose.WARM_UP, sitting, 2 * sitting - 1, cups, rng)
        drawn = [[next(codes[seat]) for _ in range(many)] for seat in seats]
        tables = [
            _list_cups([(mine[at], back) for at, back in walk], table.grouped, rng)
            for mine, walk in zip(drawn, walks[sitting - 1], strict=True)
        ]
        round_ = 2 * sitting if table.warm_up else sitting
        servings += _serve(Purpose.TEST, sitting, round_, tables, rng)
    return tuple(servings)


def _draw_codes(plan: Plan, a_sitting: int, rng: Random) -> dict[int, Iterator[str]]:
    """Draw each seat's codes; those of a shared table are the same for all."""
    seats = range(1, plan.assessors + plan.spare_seats + 1)
    if get_table(plan).shared:
        (codes,) = draw_codes([a_sitting * plan.sittings], rng)
        return {seat: iter(codes) for seat in seats}
    drawn = draw_codes([a_sitting * plan.sittings] * len(seats), rng)
    return dict(zip(seats, map(iter, drawn), strict=True))


def _draw_walks(plan: Plan, many: int, rng: Random) -> list[list[list[tuple[int, bool]]]]:
    """Draw, by sitting and seat, the order of places and whether they are met backwards."""
    seats = plan.assessors + plan.spare_seats
    if not get_table(plan).shared:
        return [[[(at, False) for at in range(many)]] * seats] * plan.sittings
    rounds = draw_rotation([str(at) for at in range(many)], seats, plan.sittings, rng)
    return [
        [
            [((start + step * turn) % many, step < 0) for turn in range(many)]
            for start, step in zip(one.starts, one.steps, strict=True)
        ]
        for one in rounds
    ]


def _list_cups(places: Iterable[Place], grouped: int, rng: Random) -> tuple[PlannedCup, ...]:
    bowls = range(1, grouped + 1) if grouped > 1 else range(1)
    met = [(code, bowl) for code, back in places for bowl in (bowls[::-1] if back else bowls)]
    return tuple(
        PlannedCup(id=draw_id(rng), code=code, position=position, bowl=bowl)
        for position, (code, bowl) in enumerate(met, 1)
    )


def _serve(
    purpose: Purpose,
    sitting: int,
    round_: int,
    cups: Iterable[tuple[PlannedCup, ...]],
    rng: Random,
) -> Iterator[PlannedServing]:
    for seat, mine in enumerate(cups, 1):
        yield PlannedServing(
            id=draw_id(rng),
            seat=seat,
            sitting=sitting,
            round=round_,
            comparison=purpose.value,
            cups=mine,
        )
