"""Cups brewed one by one, such as espressos: seat by seat, each right before it is served."""

from collections.abc import Iterator
from math import ceil

from server.brewing.kit import Kit
from server.brewing.schedule import Pace
from server.brewing.sitting import SHUFFLE_MIN, SINGLE_MIN
from server.brewing.waves import MOST_HANDS, Mend, Trouble, Waves


def count_brewing_minutes(cups: int, at_once: int = 1) -> int:
    """Return the minutes that the cups of one serving take to brew.

    Examples
    --------
    >>> count_brewing_minutes(3), count_brewing_minutes(3, at_once=2)
    (6, 4)
    """
    return ceil(cups / at_once) * SINGLE_MIN


def plan_single_waves(
    seats: int, cups: int, kit: Kit, *, alone: bool = False, pace: Pace | None = None
) -> Waves:
    """Plan a round whose cups are all brewed one by one; a wave is one serving.

    Parameters
    ----------
    seats, cups : int
        Servings, and cups of each. Alone they are the servings of a sitting, whose cups stay
        covered until its end and have to be there at once.
    kit : Kit
        What is at hand; as many cups brew at the same time as there are pots and hands.
    alone : bool
        Whether one person pours, shuffles and tastes.
    pace : Pace, optional
        How long things take.

    Examples
    --------
    >>> plan_single_waves(7, 3, Kit(cups=30, pots=1)).cup_wait_min
    13
    >>> plan_single_waves(7, 5, Kit(cups=30, pots=2, wait_min=15)).mends
    ((('hands', 2),),)
    """
    wait = _count_wait(cups, kit, pace or Pace(), alone=alone)
    needed = seats * cups if alone else cups
    troubles = {Trouble.CUPS: kit.cups < needed, Trouble.CUP_WAITS: wait > kit.wait_min}
    found = tuple(one for one, holds in troubles.items() if holds)
    mends = _find_mends(cups, kit, pace or Pace(), needed, alone=alone) if found else ()
    return Waves(
        seats=(1,) * seats,
        cup_wait_min=wait,
        brew_wait_min=wait,
        brew_limit_min=kit.wait_min,
        rounds_at_once=kit.cups // (seats * cups),
        troubles=found,
        mends=tuple(mends),
    )


def _count_wait(cups: int, kit: Kit, pace: Pace, *, alone: bool, at_once: int = 0) -> int:
    """Return the minutes from a serving's first cup to its first sip."""
    brewing = count_brewing_minutes(cups, at_once or min(kit.pots, kit.hands))
    if alone:
        return brewing + SHUFFLE_MIN
    return brewing + pace.cool_min + ceil(pace.serve_s / 60)


def _find_mends(cups: int, kit: Kit, pace: Pace, needed: int, *, alone: bool) -> Iterator[Mend]:
    """Find the fewest cups, and the fewest that brew at the same time, that mend all of it."""
    more = (("cups", needed),) if kit.cups < needed else ()
    most = min(MOST_HANDS, cups)
    at_once = next(
        (
            n
            for n in range(min(kit.pots, kit.hands), most + 1)
            if _count_wait(cups, kit, pace, alone=alone, at_once=n) <= kit.wait_min
        ),
        None,
    )
    if at_once is None or (alone and at_once > kit.hands):
        return
    pots = (("pots", at_once),) if kit.pots < at_once else ()
    hands = (("hands", at_once),) if kit.hands < at_once else ()
    yield (*more, *pots, *hands)
