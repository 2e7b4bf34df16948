"""Lists of a scored table to print: trays with codes alone, and the key of the pourer."""

from collections.abc import Mapping
from dataclasses import dataclass
from uuid import UUID

from server.blinding.sealed import Layout, PlannedSlot
from server.blinding.table_plans import get_table
from server.blinding.table_stands import Stand, is_scored, list_ring, list_stands


@dataclass(frozen=True)
class Tray:
    """What stands before one seat, by its codes: nothing of the key.

    Attributes
    ----------
    serving
        Its id.
    seat, sitting, round
        Numbers from 1.
    spare
        Whether the seat is in reserve.
    warm_up
        Whether it is an openly named warm-up cup.
    stands
        Codes with their bowls in the order of tasting.
    """

    serving: UUID
    seat: int
    sitting: int
    round: int
    spare: bool
    warm_up: bool
    stands: tuple[Stand, ...]


@dataclass(frozen=True)
class Pour:
    """Where a brew goes: seat (None: a shared table), place of the code, code and bowl."""

    seat: int | None
    place: int
    code: str
    bowl: int


@dataclass(frozen=True)
class Fill:
    """What one brew fills; this is the key."""

    slot: PlannedSlot
    pours: tuple[Pour, ...]


def list_trays(layout: Layout, round_: int) -> list[Tray]:
    """List what stands before every seat in a round, by seat.

    Parameters
    ----------
    layout : Layout
        Of a scored table.
    round_ : int
        The round: a sitting's table, or its warm-up cups.

    Returns
    -------
    list of Tray
    """
    spare = {seat.number for seat in layout.seats if seat.spare}
    return [
        Tray(
            serving=one.id,
            seat=one.seat,
            sitting=one.sitting,
            round=one.round,
            spare=one.seat in spare,
            warm_up=not is_scored(layout, one),
            stands=list_stands(one),
        )
        for one in sorted(layout.servings, key=lambda serving: serving.seat)
        if one.round == round_
    ]


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


def list_fills(layout: Layout, key: Mapping[UUID, str], round_: int) -> list[Fill]:
    """List what each brew of a round fills, in the order of its samples and numbers.

    Parameters
    ----------
    layout : Layout
        Of a scored table.
    key : mapping of UUID to str
        Cup to brew slot, of this round at least.
    round_ : int
        The round.

    Returns
    -------
    list of Fill
        A shared bowl is there once, at its place around the table. In blocks over several
        sittings a brew may fill no cup: it need not be made.
    """
    pours: dict[str, list[Pour]] = {slot.name: [] for slot in layout.slots}
    shared = get_table(layout.plan).shared
    for tray in list_trays(layout, round_):
        for stand in tray.stands:
            for cup in stand.cups:
                seat = None if shared else tray.seat
                pours[key[cup.id]].append(Pour(seat, stand.place, cup.code, cup.bowl))
        if shared:
            break
    return [
        Fill(slot, tuple(sorted(pours[slot.name], key=_tell_place)))
        for slot in layout.slots
        if slot.round == round_
    ]


def _tell_place(pour: Pour) -> tuple[int, int, int]:
    return pour.seat or 0, pour.place, pour.bowl
