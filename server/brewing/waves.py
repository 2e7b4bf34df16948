"""A round in waves: how many seats are served at once, what waits how long, when to wash."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum
from math import ceil

from server.brewing.kit import FLASK_WAIT_MIN, POT_WAIT_MIN, Kit
from server.brewing.schedule import Pace
from server.brewing.sitting import (
    BREW_GAP_MIN,
    CHECK_MIN,
    POUR_S,
    REST_MIN,
    SHUFFLE_MIN,
    TASTE_MIN,
)

MOST_WAVES, MOST_HANDS = 6, 6
"""Waves of a round, and hands looked for when a schedule is mended; more are no plan."""
OWN_FLASKS = 2
"""Flasks of somebody alone: one for the blend of each sample."""
EMPTY_MIN = 1
"""Minutes to empty a pot into a flask and rinse it; common practice, no source."""


Mend = tuple[tuple[str, int], ...]


class Trouble(StrEnum):
    """What is wrong with a schedule."""

    CUPS = "cups"  # too few for a single serving
    VESSELS = "vessels"  # a round's brews do not fit pots and flasks
    CUP_WAITS = "cup_waits"
    BREW_WAITS = "brew_waits"


@dataclass(frozen=True)
class Table:
    """What is to be set out in every round.

    Attributes
    ----------
    seats, cups_per_seat
        Seats that are served, spare ones among them, and cups before each.
    pots
        Pots of a round, of all samples.
    blended
        Every pour comes from a blend of brews.
    """

    seats: int
    cups_per_seat: int
    pots: int
    blended: bool = False


@dataclass(frozen=True)
class Waves:
    """How a round is set out; it works if there is no trouble.

    Attributes
    ----------
    seats
        Seats of every wave.
    cup_wait_min
        Longest from the first cup poured in a wave to the last seat's first sip.
    brew_wait_min, brew_limit_min
        From the end of a brew to the last cup poured from it, and how long it may be: of the
        brew that comes nearest to its limit, or is the farthest beyond it.
    rounds_at_once
        Rounds whose cups can stand before any is washed; 0: not even one's.
    troubles
        What is wrong, if anything.
    mends
        Changes of the kit of which each would mend it: a name and its number, or several
        together where no single one does.
    """

    seats: tuple[int, ...]
    cup_wait_min: int
    brew_wait_min: int
    brew_limit_min: int
    rounds_at_once: int
    troubles: tuple[Trouble, ...]
    mends: tuple[Mend, ...] = ()


def plan_waves(table: Table, kit: Kit, pace: Pace | None = None) -> Waves:
    """Plan the waves of a round.

    Parameters
    ----------
    table : Table
        What a round needs.
    kit : Kit
        What is at hand.
    pace : Pace, optional
        How long things take.

    Returns
    -------
    Waves
        With as few waves as keep every limit; where none does, the nearest to it with its
        troubles, and what would mend them.

    Notes
    -----
    Pots begin to brew one after another, as many at once as there are hands; what is made
    first goes into the flasks. A wave is poured, cools and is served; hands pour the next one
    while it cools if there is time enough, and wash first if the cups do not reach. All of it
    is common practice, no source.

    Examples
    --------
    >>> plan_waves(Table(seats=7, cups_per_seat=3, pots=4), Kit(cups=30, pots=4)).seats
    (7,)
    >>> late = plan_waves(Table(seats=25, cups_per_seat=3, pots=8), Kit(cups=80, pots=8))
    >>> late.troubles, late.mends
    ((<Trouble.BREW_WAITS: 'brew_waits'>,), ((('hands', 2),),))
    """
    pace = pace or Pace()
    best = _find_best(table, kit, pace)
    if not best.troubles:
        return best
    mends = tuple(_find_mends(table, kit, pace))
    return replace(best, mends=mends)


def plan_own_waves(rounds: int, cups: int, pots: int, kit: Kit) -> Waves:
    """Plan a sitting alone: serving after serving, every cup turned at the end alone.

    Parameters
    ----------
    rounds, cups, pots : int
        Servings of the sitting, cups of one, pots of the sitting.
    kit : Kit
        What is at hand; alone there is one pair of hands.

    Returns
    -------
    Waves
        A wave a serving; the cups of all of them have to be there at once.

    Examples
    --------
    >>> plan_own_waves(3, 3, 4, Kit(cups=9, pots=4)).mends
    ((('flasks', 2),),)
    """
    pour = ceil(cups * POUR_S / 60)
    serving = pour + SHUFFLE_MIN + TASTE_MIN + REST_MIN
    wait = (pots - 1) * BREW_GAP_MIN + CHECK_MIN + (rounds - 1) * serving + pour
    limit = FLASK_WAIT_MIN if kit.flasks >= OWN_FLASKS else POT_WAIT_MIN
    troubles = {Trouble.CUPS: rounds * cups > kit.cups, Trouble.BREW_WAITS: wait > limit}
    mends = []
    if troubles[Trouble.CUPS]:
        mends.append(("cups", rounds * cups))
    if troubles[Trouble.BREW_WAITS] and limit < FLASK_WAIT_MIN:
        mends.append(("flasks", OWN_FLASKS))
    helps = bool(mends) and wait <= FLASK_WAIT_MIN
    return Waves(
        seats=(1,) * rounds,
        cup_wait_min=pour + SHUFFLE_MIN,
        brew_wait_min=wait,
        brew_limit_min=limit,
        rounds_at_once=kit.cups // cups,
        troubles=tuple(one for one, holds in troubles.items() if holds),
        mends=(tuple(mends),) if helps else (),
    )


def _find_best(table: Table, kit: Kit, pace: Pace) -> Waves:
    tried: list[Waves] = []
    for number in range(1, min(table.seats, MOST_WAVES) + 1):
        found = _lay_waves(_split(table.seats, number), table, kit, pace)
        if not found.troubles:
            return found
        tried.append(found)
    return min(tried, key=lambda one: (len(one.troubles), _excess(one, kit)))


def _excess(one: Waves, kit: Kit) -> int:
    """Return the minutes by which the limits are passed."""
    late = max(0, one.cup_wait_min - kit.wait_min)
    return late + max(0, one.brew_wait_min - one.brew_limit_min)


def _split(seats: int, waves: int) -> tuple[int, ...]:
    """Split seats into waves that differ by one at most."""
    each, more = divmod(seats, waves)
    return (each + 1,) * more + (each,) * (waves - more)


def _lay_waves(waves: tuple[int, ...], table: Table, kit: Kit, pace: Pace) -> Waves:
    ends = _end_brews(table, kit, pace)
    first = max(ends) + pace.check_min + (pace.blend_min if table.blended else 0)
    cup_wait, last_pour = _serve(first, waves, table, kit, pace)
    brew_wait, limit = _wait_longest(ends, last_pour, kit.flasks)
    checks = {
        Trouble.CUPS: waves[0] * table.cups_per_seat > kit.cups,
        Trouble.VESSELS: table.pots > kit.pots + kit.flasks,
        Trouble.CUP_WAITS: cup_wait > kit.wait_min,
        Trouble.BREW_WAITS: brew_wait > limit,
    }
    return Waves(
        seats=waves,
        cup_wait_min=cup_wait,
        brew_wait_min=brew_wait,
        brew_limit_min=limit,
        rounds_at_once=kit.cups // (table.seats * table.cups_per_seat),
        troubles=tuple(one for one, holds in checks.items() if holds),
    )


def _wait_longest(ends: Sequence[float], last_pour: float, flasks: int) -> tuple[int, int]:
    """Return the wait of the brew that is the farthest beyond its limit, and that limit."""
    limits = [FLASK_WAIT_MIN if at < flasks else POT_WAIT_MIN for at in range(len(ends))]
    waits = [(ceil(last_pour - end), limit) for end, limit in zip(ends, limits, strict=True)]
    return max(waits, key=lambda one: one[0] - one[1])


def _end_brews(table: Table, kit: Kit, pace: Pace) -> list[float]:
    """Return when every brew is made, from the first one's start."""
    ends: list[float] = []
    for number in range(table.pots):
        start = float(number // kit.hands * pace.brew_gap_min)
        if number >= kit.pots:  # an earlier one is emptied into a flask first
            start = max(start, ends[number - kit.pots] + EMPTY_MIN)
        ends.append(start + pace.brew_min)
    return ends


def _serve(
    first: float, waves: Sequence[int], table: Table, kit: Kit, pace: Pace
) -> tuple[int, float]:
    """Return the longest wait of a cup, and when the last cup is poured."""
    busy: list[tuple[float, float]] = []
    waits: list[float] = []
    clean, poured, sipped = kit.cups, first, first
    for seats in waves:
        cups = seats * table.cups_per_seat
        pour = cups * pace.pour_s / 60 / kit.hands
        serve = seats * pace.serve_s / 60 / kit.hands
        earliest = poured
        if cups > clean:  # the first ones are collected and washed
            earliest = max(earliest, sipped + pace.taste_min + pace.collect_min + pace.wash_min)
            clean = kit.cups
        start = _find_start(earliest, pour, serve, busy, pace)
        poured = start + pour
        sipped = poured + pace.cool_min + serve
        busy += [(start, poured), (poured + pace.cool_min, sipped)]
        waits.append(sipped - start)
        clean -= cups
    return ceil(max(waits)), poured


def _find_start(
    earliest: float, pour: float, serve: float, busy: Sequence[tuple[float, float]], pace: Pace
) -> float:
    """Return when the hands are free to pour, and free again to serve when it has cooled."""
    starts = sorted(
        {earliest, *(end for _, end in busy), *(end - pour - pace.cool_min for _, end in busy)}
    )
    return next(
        start
        for start in starts
        if start >= earliest
        and _is_free(start, start + pour, busy)
        and _is_free(start + pour + pace.cool_min, start + pour + pace.cool_min + serve, busy)
    )


def _is_free(start: float, end: float, busy: Sequence[tuple[float, float]]) -> bool:
    dust = 1e-9
    return all(end <= begun + dust or start >= over - dust for begun, over in busy)


def _find_mends(table: Table, kit: Kit, pace: Pace) -> Iterator[Mend]:
    """Find single changes of the kit that mend everything, each as small as it may be."""
    every = table.seats * table.cups_per_seat
    wanted = {
        "hands": range(kit.hands + 1, MOST_HANDS + 1),
        "flasks": range(kit.flasks + 1, table.pots + 1),
        "pots": range(kit.pots + 1, table.pots + 1),
        "cups": [n for n in _list_wave_cups(table) if n > kit.cups],
    }
    none = True
    for name, numbers in wanted.items():
        for number in numbers:
            if not _find_best(table, replace(kit, **{name: number}), pace).troubles:
                yield ((name, number),)
                none = False
                break
    if none:
        most = replace(kit, flasks=max(kit.flasks, table.pots), cups=max(kit.cups, every))
        yield from _find_joint(table, kit, most, pace)


def _list_wave_cups(table: Table) -> list[int]:
    """List how many cups reach for one wave, of as many waves as there may be; fewest first."""
    numbers = range(1, min(table.seats, MOST_WAVES) + 1)
    return sorted({_split(table.seats, one)[0] * table.cups_per_seat for one in numbers})


def _find_joint(table: Table, kit: Kit, most: Kit, pace: Pace) -> Iterator[Mend]:
    """Find the fewest hands that mend it where a flask for each brew and all cups are there."""
    for hands in range(kit.hands, MOST_HANDS + 1):
        tried = replace(most, hands=hands)
        if not _find_best(table, tried, pace).troubles:
            names = ("cups", "flasks", "hands")
            changed = [name for name in names if getattr(tried, name) > getattr(kit, name)]
            yield tuple((name, getattr(tried, name)) for name in changed)
            return
