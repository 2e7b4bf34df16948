"""How a plan's rounds are set out with what is at hand, in words; refused where cups would wait."""

from collections.abc import Iterator
from dataclasses import dataclass
from math import ceil

from server.blinding.plans import Pots
from server.brewing.kit import Kit
from server.brewing.single_cups import plan_single_waves
from server.brewing.waves import Mend, Table, Waves, plan_own_waves, plan_waves
from server.methods.registry import get_method
from server.reports import kit_words as words
from server.reports.display import show_count
from server.tastings.consequences import Consequences
from server.tastings.refusals import Invalid


@dataclass(frozen=True)
class SettingOut:
    """How rounds are set out; ``troubles`` is empty where it works, ``mend`` says what helps."""

    lines: tuple[str, ...]
    troubles: tuple[str, ...]
    mend: str = ""


def set_out(follow: Consequences, kit: Kit | None) -> SettingOut | None:
    """Plan waves and washing of a plan's rounds; None where nothing at hand is known."""
    if kit is None:
        return None
    numbers, cups = follow.numbers, get_method(follow.numbers.method).cups
    if numbers.single_cups:
        return _set_out_singles(follow, kit, cups)
    brews = 2 * follow.pots.pots
    if numbers.alone:
        waves = plan_own_waves(numbers.rounds, cups, brews, kit)
        lines = (words.OWN.format(cups=numbers.rounds * cups), *_say_waits(waves, kit))
        return _tell(waves, lines, kit, follow)
    seats = numbers.assessors + numbers.spare_seats
    waves = plan_waves(Table(seats, cups, brews, numbers.pots == Pots.BLEND), kit)
    washing = _say_washing(waves, ceil(numbers.sitting_rounds / numbers.days))
    return _tell(waves, (_say_seats(waves), *_say_waits(waves, kit), washing), kit, follow)


def refuse_waiting(follow: Consequences, kit: Kit | None) -> None:
    """Refuse a plan whose cups or brews would wait too long with what is at hand.

    Raises
    ------
    Invalid
        With the trouble and what would mend it, as ``waiting``.
    """
    found = set_out(follow, kit)
    if found is not None and found.troubles:
        raise Invalid(waiting=" ".join((*found.troubles, found.mend)))


def _set_out_singles(follow: Consequences, kit: Kit, cups: int) -> SettingOut:
    """Plan servings of which every cup is a brew of its own."""
    numbers = follow.numbers
    if numbers.alone:
        waves = plan_single_waves(numbers.rounds, cups, kit, alone=True)
        own = words.OWN.format(cups=numbers.rounds * cups)
        return _tell(waves, (own, words.EACH_ALONE, _say_cup_wait(waves, kit)), kit, follow)
    waves = plan_single_waves(numbers.assessors + numbers.spare_seats, cups, kit)
    washing = _say_washing(waves, ceil(numbers.sitting_rounds / numbers.days))
    return _tell(waves, (words.EACH, _say_cup_wait(waves, kit), washing), kit, follow)


def _tell(waves: Waves, lines: tuple[str, ...], kit: Kit, follow: Consequences) -> SettingOut:
    if not waves.troubles:
        return SettingOut((*lines, words.LIMITS), ())
    troubles = tuple(_say_troubles(waves, kit, 2 * follow.pots.pots))
    return SettingOut((), troubles, _say_mends(waves.mends, alone=follow.numbers.alone))


def _say_seats(waves: Waves) -> str:
    if len(waves.seats) == 1:
        return words.AT_ONCE.format(seats=waves.seats[0])
    seats = " and ".join(str(one) for one in sorted(set(waves.seats), reverse=True))
    return words.WAVES.format(waves=show_count(len(waves.seats), "wave"), seats=seats)


def _say_cup_wait(waves: Waves, kit: Kit) -> str:
    return words.CUP_WAIT.format(minutes=_say_minutes(waves.cup_wait_min), limit=kit.wait_min)


def _say_waits(waves: Waves, kit: Kit) -> Iterator[str]:
    brew = _say_minutes(waves.brew_wait_min)
    yield _say_cup_wait(waves, kit)
    yield words.BREW_WAIT.format(minutes=brew, limit=waves.brew_limit_min)


def _say_washing(waves: Waves, rounds: int) -> str:
    if not waves.rounds_at_once:
        return words.WITHIN
    enough = waves.rounds_at_once >= rounds
    return words.ROUNDS_AT_ONCE[enough].format(
        rounds=show_count(rounds, "round"),
        at_once=show_count(waves.rounds_at_once, "round"),
        every="one" if waves.rounds_at_once == 1 else str(waves.rounds_at_once),
    )


def _say_troubles(waves: Waves, kit: Kit, brews: int) -> Iterator[str]:
    facts = {
        "cup_waits": (waves.cup_wait_min, kit.wait_min),
        "brew_waits": (waves.brew_wait_min, waves.brew_limit_min),
    }
    for one in waves.troubles:
        wait, limit = facts.get(one, (0, 0))
        yield words.TROUBLES[one].format(minutes=_say_minutes(wait), limit=limit, pots=brews)


def _say_mends(mends: tuple[Mend, ...], *, alone: bool) -> str:
    if not mends:
        return words.NOT_MENDED[alone]
    said = (" and ".join(show_count(n, *words.NAMES[name]) for name, n in mend) for mend in mends)
    return words.MENDED[alone].format(mends=", or with ".join(said))


def _say_minutes(minutes: int) -> str:
    return show_count(minutes, "minute")
