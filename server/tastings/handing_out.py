"""Links to hand out: seats, pourers."""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from uuid import UUID

from server.storage import queries, tables
from server.tastings.bench import Bench
from server.tastings.progress import LedTasting
from server.tastings.refusals import Invalid


@dataclass(frozen=True)
class Handed:
    """The links of a tasting."""

    seats: Sequence[tables.Seat]
    pourers: Sequence[tables.PourerLink]


def find_links(bench: Bench, tasting_id: UUID) -> Handed:
    """Return the seats and pourers' links of a tasting."""
    with bench.reading() as db:
        return Handed(queries.list_seats(db, tasting_id), queries.list_pourer_links(db, tasting_id))


def add_pourer(bench: Bench, led: LedTasting, rounds: str) -> str:
    """Make a pourer's link for rounds typed such as ``1, 3``; return its token."""
    wanted = sorted({int(number) for number in re.findall(r"\d{1,3}", rounds)})
    known = range(1, led.layout.plan.rounds + 1)
    if not wanted or not set(wanted) <= set(known):
        raise Invalid(rounds=f"Name rounds from 1 to {led.layout.plan.rounds}, such as 1, 2.")
    token = bench.draw_token()
    with bench.writing() as db:
        db.add(
            tables.PourerLink(
                token=token, tasting_id=led.tasting.id, rounds=wanted, created_at=bench.clock()
            )
        )
        db.commit()
    return token
