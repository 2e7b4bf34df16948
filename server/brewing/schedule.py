"""Who does what, and when: a run from kettle-on to the last sip, as clock times."""

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, fields
from datetime import datetime, time, timedelta
from enum import StrEnum
from fractions import Fraction
from math import ceil, floor

from server.brewing.sitting import SINGLE_MIN

HOTTEST_C = 65
"""Highest temperature at which a cup is served, in °C (see ``cautions.HOT``)."""

CLOSING = "Last sip is over: nobody tastes again", "Close, once every answer is in"
GOING_ON = "Last sip of this day", "Leave the tasting open: it goes on another day"
"""What tasters and leader are told after the last round of a run."""

_CLOCK_TIME = re.compile(r"([01]?[0-9]|2[0-3]):([0-5][0-9])")


class Who(StrEnum):
    """Who does a step; one person may be several of them."""

    LEADER = "leader"
    POURER = "pourer"
    SERVER = "server"
    TASTERS = "tasters"


@dataclass(frozen=True)
class Pace:
    """How long things take: every default is common practice, no source.

    Attributes
    ----------
    heat_min, warm_min, grind_min
        Minutes to boil the water, to rinse and warm the cups, to weigh and grind.
    brew_gap_min, brew_min
        Minutes between the starts of two pots, and from start to end of one.
    blend_min, check_min
        Minutes to blend the brews of a sample, and to fill and read the check cups.
    pour_s, serve_s
        Seconds to fill one cup, and to serve one seat.
    cool_min
        Minutes to allow for cooling; the thermometer decides, not the clock.
    taste_min, rest_min
        Minutes for a round's tasting, and at least between two rounds' sips.
    collect_min, wash_min
        Minutes to collect what was served, and to wash it up.

    Raises
    ------
    ValueError
        If a duration is negative.
    """

    heat_min: int = 10
    warm_min: int = 5
    grind_min: int = 5
    brew_gap_min: int = 2
    brew_min: int = 5
    blend_min: int = 2
    check_min: int = 2
    pour_s: int = 8
    cool_min: int = 6
    serve_s: int = 20
    taste_min: int = 8
    rest_min: int = 10
    collect_min: int = 5
    wash_min: int = 15

    def __post_init__(self) -> None:
        for field in fields(self):
            value = getattr(self, field.name)
            if value < 0:
                raise ValueError(f"{field.name} must be at least 0, got {value}")


@dataclass(frozen=True)
class Step:
    """One line of the run.

    Attributes
    ----------
    at, day
        Clock time at which it begins, and 1 more for every midnight passed since the start.
    round
        Number of the round it belongs to.
    who, what, minutes
        Who does what, and how many minutes it takes.
    pause_point
        Whether the run may stop here for as long as need be: nothing is brewed,
        and nothing stands on the table.
    """

    at: time
    day: int
    round: int
    who: Who
    what: str
    minutes: int
    pause_point: bool = False


@dataclass(frozen=True)
class _Crew:
    """What is the same in every round."""

    seats: int
    cups: int
    blended: bool
    pace: Pace
    single: bool = False


@dataclass(frozen=True)
class _Line:
    """A step that begins so many minutes after something."""

    after: int
    who: Who
    what: str
    minutes: int
    pause_point: bool = False

    @property
    def end(self) -> int:
        return self.after + self.minutes

    def later(self, minutes: int) -> "_Line":
        return _Line(self.after + minutes, self.who, self.what, self.minutes, self.pause_point)


_Names = tuple[Sequence[str], Sequence[str]]
"""What is brewed in a round, and what is poured from."""


def parse_start(text: str) -> time:
    """Read a clock time such as ``09:30``.

    Raises
    ------
    ValueError
        If it is none.

    Examples
    --------
    >>> parse_start(" 9:30 ")
    datetime.time(9, 30)
    """
    found = _CLOCK_TIME.fullmatch(text.strip())
    if not found:
        raise ValueError(f"start must be a clock time such as 09:30, got {text.strip()[:20]!r}")
    return time(int(found[1]), int(found[2]))


def plan_run(
    start: time,
    pots: Sequence[Sequence[str]],
    seats: int,
    *,
    cups_per_seat: int = 3,
    blended: bool = False,
    single: bool = False,
    pace: Pace | None = None,
    opens: bool = True,
    closes: bool = True,
    pours: Sequence[Sequence[str]] | None = None,
) -> list[Step]:
    """Lay out a run from kettle-on to the last sip and the wash-up.

    Parameters
    ----------
    start : time
        Clock time of the first kettle; a clock at the place, without a time zone.
    pots : sequence of sequences of str
        For every round the names of its pots, in the order in which they are brewed:
        the samples take turns in it.
    seats : int
        Seats that are served in every round.
    cups_per_seat : int
        Cups set before a seat at once.
    blended : bool
        Every pour comes from a blend of brews.
    single : bool
        Every cup is a brew of its own: seats are brewed for and served one after another.
    pace : Pace, optional
        How long things take.
    opens, closes : bool
        Whether the tasting begins and ends with this run: it may take several days.
    pours : sequence of sequences of str, optional
        For every round what cups are filled from, in that order: blends of several pots, or
        parts of one. Without it, the pots.

    Returns
    -------
    list of Step
        By the time at which they begin. The next kettle goes on when the last round is
        washed up, and not before the tasters will have rested ``pace.rest_min``
        between two rounds' sips.

    Raises
    ------
    ValueError
        If the start has a time zone, a round has no pot or nothing to pour, or a number is
        below 1.

    Notes
    -----
    A run may pause when a round is collected and washed up and the next kettle is not on,
    never between pouring and tasting: what stands cools, and strength and temperature
    would be told apart instead of samples (common practice, no source).

    Examples
    --------
    >>> run = plan_run(time(9, 30), [["A1", "B1"], ["B2", "A2"]], seats=6)
    >>> [f"{one.at:%H:%M}" for one in run if one.what.startswith("Brew")]
    ['09:40', '09:42', '10:38', '10:40']
    >>> [f"{one.at:%H:%M}" for one in run if one.what.startswith("Release")]
    ['09:49', '09:50', '10:47', '10:48']
    >>> [f"{one.at:%H:%M}" for one in run if one.pause_point]
    ['10:28']
    """
    _check(start, pots, seats=seats, cups_per_seat=cups_per_seat)
    rounds = list(zip(pots, pours or pots, strict=True))
    if not all(poured for _, poured in rounds):
        raise ValueError("pours must name at least one pour a round")
    crew = _Crew(seats, cups_per_seat, blended, pace or Pace(), single)
    steps: list[Step] = []
    kettle = 0
    for number, names in enumerate(rounds, 1):
        last = number == len(rounds)
        end = None if not last else CLOSING if closes else GOING_ON
        lines = list(_lay_round(names, crew, first=opens and number == 1, end=end))
        washed = max(line.end for line in lines if line.who == Who.SERVER)
        rested = _rest(lines, crew.pace, 0 if last else _lead(rounds[number], crew))
        if not last:
            lines.append(_pause(washed, rested))
        ordered = sorted(lines, key=lambda line: line.after)
        steps += [_tell(start, number, line.later(kettle)) for line in ordered]
        kettle += max(washed, rested)
    return steps


def count_minutes(run: Sequence[Step]) -> int:
    """Return the minutes from the first kettle to the end of the last step.

    Examples
    --------
    >>> count_minutes(plan_run(time(9, 30), [["A1", "B1"], ["B2", "A2"]], seats=6))
    116
    """
    first = run[0].at
    ends = (1440 * step.day + 60 * step.at.hour + step.at.minute + step.minutes for step in run)
    return max(ends) - 60 * first.hour - first.minute


def _lay_round(
    names: _Names, crew: _Crew, *, first: bool, end: tuple[str, str] | None
) -> Iterator[_Line]:
    """List a round's steps, counted from its kettle; ``end`` is what is said after the last."""
    if first:
        yield _Line(0, Who.LEADER, "Read out the short seal; a witness signs the seal card", 0)
    *prepared, sip = _reach_sip(names, crew)
    yield from prepared
    yield sip
    yield from _clear(sip.end, crew.pace, end)


def _reach_sip(names: _Names, crew: _Crew) -> list[_Line]:
    """List everything up to tasting, which comes last."""
    if crew.single:
        return _reach_sip_singly(crew)
    pace, (pots, poured) = crew.pace, names
    lines = _brew(pots, pace)
    if crew.blended:
        lines.append(_next(lines, "Blend the brews of each sample in a warm pot and stir",
                           pace.blend_min))  # fmt: skip
    lines.append(_next(lines, "Fill a check cup from every pot: same fill, note its °C. Set a "
                       "covered TDS sample of each aside to cool",
                       pace.check_min))  # fmt: skip
    lines += _pour(poured, crew, max(line.end for line in lines))
    cool = (
        f"Wait until the check cup filled last is at {HOTTEST_C} °C or below, however long it takes"
    )
    lines.append(_next(lines, cool, pace.cool_min))
    serve = f"Serve {crew.seats} seats from the tray list, codes left to right"
    lines.append(_next(lines, serve, ceil(crew.seats * pace.serve_s / 60), Who.SERVER))
    taste = "First sniff of every cup, then taste; answer and lock"
    lines.append(_next(lines, taste, pace.taste_min, Who.TASTERS))
    return lines


def _pour(names: Sequence[str], crew: _Crew, after: int) -> Iterator[_Line]:
    """List the pours, each as long as the others: how many cups one fills is for the key."""
    each = Fraction(crew.seats * crew.cups * crew.pace.pour_s, 60 * len(names))
    for at, name in enumerate(names):
        begin, end = floor(at * each), ceil((at + 1) * each)
        last = "; last a check cup" if at == len(names) - 1 else ""
        what = f"Release {name} if it matches; stir, then pour it{last}"
        yield _Line(after + begin, Who.POURER, what, end - begin)


def _reach_sip_singly(crew: _Crew) -> list[_Line]:
    """List the same where the cups of one seat are brewed after those of another."""
    pace, each = crew.pace, crew.cups * SINGLE_MIN
    ready = max(pace.heat_min, pace.warm_min)
    serving = f"of {crew.seats}: brew its {crew.cups} cups one by one by the fill list, set out"
    lines = [
        _Line(0, Who.POURER, "Heat what brews, flush and warm it", pace.heat_min),
        _Line(ready - pace.warm_min, Who.SERVER, "Rinse and warm the cups", pace.warm_min),
        *(
            _Line(ready + at * each, Who.POURER, f"Serving {at + 1} {serving}", each)
            for at in range(crew.seats)
        ),
    ]
    taste = f"Seats taste in turn, each once its cups are at {HOTTEST_C} °C or below; answer, lock"
    return [*lines, _next(lines, taste, pace.cool_min + pace.taste_min, Who.TASTERS)]


def _brew(names: Sequence[str], pace: Pace) -> list[_Line]:
    ready = max(pace.heat_min, pace.warm_min, pace.grind_min)
    grind = "Weigh every dose; grind now, and clear the grinder between samples"
    return [
        _Line(0, Who.POURER, "Kettle on", pace.heat_min),
        _Line(ready - pace.warm_min, Who.SERVER, "Rinse and warm the cups", pace.warm_min),
        _Line(ready - pace.grind_min, Who.POURER, grind, pace.grind_min),
        *(
            _Line(ready + at * pace.brew_gap_min, Who.POURER, f"Brew {name}", pace.brew_min)
            for at, name in enumerate(names)
        ),
    ]


def _clear(sipped: int, pace: Pace, end: tuple[str, str] | None) -> list[_Line]:
    """List what follows a round's tasting."""
    collected = sipped + pace.collect_min
    lines = [
        _Line(sipped, Who.SERVER, "Collect, once every answer is locked", pace.collect_min),
        _Line(collected, Who.SERVER, "Wash up and rinse well", pace.wash_min),
    ]
    if end:
        tasters, leader = end
        return [
            _Line(sipped, Who.TASTERS, tasters, 0),
            *lines,
            _Line(collected, Who.LEADER, leader, 0),
        ]
    rest = "Rinse with water and rest; do not talk about the cups"
    return [_Line(sipped, Who.TASTERS, rest, pace.rest_min), *lines]


def _next(lines: list[_Line], what: str, minutes: int, who: Who = Who.POURER) -> _Line:
    """Return a step that begins when all those before it are done."""
    return _Line(max(line.end for line in lines), who, what, minutes)


def _lead(names: _Names, crew: _Crew) -> int:
    """Return the minutes from a round's kettle to its first sniff."""
    return _reach_sip(names, crew)[-1].after


def _rest(lines: list[_Line], pace: Pace, lead: int) -> int:
    """Return the earliest next kettle that leaves the tasters their rest."""
    sipped = next(line.end for line in lines if line.who == Who.TASTERS)
    return sipped + pace.rest_min - lead


def _pause(washed: int, rested: int) -> _Line:
    what = "The run may pause here: nothing is brewed, nothing stands on the table"
    return _Line(washed, Who.LEADER, what, max(0, rested - washed), pause_point=True)


def _tell(start: time, number: int, line: _Line) -> Step:
    origin = datetime.combine(datetime.min, start)
    moment = origin + timedelta(minutes=line.after)
    day = (moment.date() - origin.date()).days
    return Step(
        moment.time(), day, number, line.who, line.what, line.minutes, line.pause_point
    )  # fmt: skip


def _check(start: time, pots: Sequence[Sequence[str]], **numbers: int) -> None:
    if start.tzinfo is not None:
        raise ValueError(f"start must be a clock time without a time zone, got {start}")
    if not pots:
        raise ValueError("pots must name at least one round, got none")
    for number, names in enumerate(pots, 1):
        if not names:
            raise ValueError(f"pots must name at least one pot a round, got none in {number}")
    for name, value in numbers.items():
        if value < 1:
            raise ValueError(f"{name} must be at least 1, got {value}")
