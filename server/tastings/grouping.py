"""Groups of seats that a plan looks at besides: how they are typed, and what they can find."""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

from server.blinding.plans import SeatGroup
from server.methods.registry import get_method
from server.stats.binomial import power
from server.stats.thurstone import pc_from_share
from server.tastings.refusals import Invalid

if TYPE_CHECKING:
    from server.tastings.planning import PlanNumbers

MOST = 6
TYPED = re.compile(r"\s*([^:;]{1,60}?)\s*:\s*([0-9,\s–-]+)", re.ASCII)
SPAN = re.compile(r"([0-9]{1,2})(?:\s*[–-]\s*([0-9]{1,2}))?", re.ASCII)
FORM = "Write a name, a colon and seats: staff: 1-3; guests: 4-8. Up to six groups."
SEATS = "“{label}” must be some of the seats from 1 to {most}, and not all of them."
TWICE = "“{label}” is there twice: every group needs a name of its own."


@dataclass(frozen=True)
class GroupPower:
    """What a group can find by itself: the strictest step of Holm’s method is counted."""

    label: str
    answers: int
    power: float


def read_groups(typed: str, assessors: int) -> tuple[SeatGroup, ...]:
    """Read groups of seats; none if nothing was typed.

    Raises
    ------
    Invalid
        If they cannot be read, or name seats that are not there.

    Examples
    --------
    >>> [(one.label, one.seats) for one in read_groups("staff: 1-3; guests: 4, 6", 6)]
    [('staff', (1, 2, 3)), ('guests', (4, 6))]
    """
    parts = [part for part in typed.split(";") if part.strip()]
    if len(parts) > MOST:
        raise Invalid(groups=FORM)
    groups = tuple(_read_one(part, assessors) for part in parts)
    for at, group in enumerate(groups):
        if group.label.casefold() in {one.label.casefold() for one in groups[:at]}:
            raise Invalid(groups=TWICE.format(label=group.label))
    return groups


def write_groups(groups: tuple[SeatGroup, ...]) -> str:
    """Write groups as they are typed.

    Examples
    --------
    >>> write_groups(read_groups("staff:1-3;guests: 4,6", 6))
    'staff: 1, 2, 3; guests: 4, 6'
    """
    return "; ".join(f"{one.label}: {', '.join(map(str, one.seats))}" for one in groups)


def follow_groups(numbers: "PlanNumbers") -> tuple[GroupPower, ...]:
    """Return what each declared group could find of the size that matters."""
    groups, model = read_groups(numbers.groups, numbers.assessors), get_method(numbers.method).model
    if not groups:
        return ()
    alpha = float(numbers.alpha) / len(groups)
    pc = pc_from_share(float(numbers.size_percent) / 100, model.chance)
    answers = [len(one.seats) * numbers.rounds for one in groups]
    return tuple(
        GroupPower(one.label, many, power(many, model.chance, alpha, pc))
        for one, many in zip(groups, answers, strict=True)
    )


def _read_one(part: str, assessors: int) -> SeatGroup:
    found = TYPED.fullmatch(part.strip())
    if found is None:
        raise Invalid(groups=FORM)
    seats = sorted({seat for span in found[2].split(",") for seat in _read_span(span.strip())})
    if not seats or seats[0] < 1 or seats[-1] > assessors or len(seats) == assessors:
        raise Invalid(groups=SEATS.format(label=found[1], most=assessors))
    return SeatGroup(label=found[1], seats=tuple(seats))


def _read_span(span: str) -> Iterator[int]:
    found = SPAN.fullmatch(span)
    if found is None:
        raise Invalid(groups=FORM)
    first = int(found[1])
    yield from range(first, int(found[2] or first) + 1)
