"""Links to hand out: seats, pourers."""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from uuid import UUID

from server.storage import queries, tables
from server.tastings.bench import Bench
from server.tastings.progress import LedTasting
from server.tastings.refusals import Invalid, WrongState
from server.tastings.striking import MESSAGE, strike_off

POURS = "pours in this round"
BEGUN = "Serving has begun: nobody can change from tasting to pouring."


@dataclass(frozen=True)
class Handed:
    """The links of a tasting."""

    seats: Sequence[tables.Seat]
    pourers: Sequence[tables.PourerLink]


def find_links(bench: Bench, tasting_id: UUID) -> Handed:
    """Return the seats and pourers' links of a tasting."""
    with bench.reading() as db:
        return Handed(queries.list_seats(db, tasting_id), queries.list_pourer_links(db, tasting_id))


def add_pourer(bench: Bench, led: LedTasting, rounds: str, seat: str = "") -> str:
    """Make a pourer's link for rounds typed such as ``1, 3``, once; return its token.

    With ``seat``, the person who tastes there pours these rounds and does not taste in
    them: the seat is struck off in them, which must happen before serving begins.
    """
    wanted = _read_rounds(rounds, led.layout.plan.total_rounds)
    if seat.strip():
        _strike_pourer(bench, led.tasting.id, seat, wanted)
    token = bench.draw_token()
    with bench.writing() as db:
        queries.lock_tasting(db, led.tasting.id)
        for link in queries.list_pourer_links(db, led.tasting.id):
            if link.rounds == wanted:
                return link.token
        db.add(
            tables.PourerLink(
                token=token, tasting_id=led.tasting.id, rounds=wanted, created_at=bench.clock()
            )
        )
        db.commit()
    return token


def _strike_pourer(bench: Bench, tasting_id: UUID, seat: str, rounds: list[int]) -> None:
    try:
        strike_off(bench, tasting_id, seat, POURS, rounds)
    except Invalid:
        raise Invalid(seat=MESSAGE) from None
    except WrongState:
        raise Invalid(seat=BEGUN) from None


def _read_rounds(typed: str, most: int) -> list[int]:
    words = re.split(r"[\s,;]+", typed.strip(" ,;"))
    wanted = {int(word) for word in words if re.fullmatch("[0-9]{1,3}", word)}
    if len(wanted) < len(set(words)) or not wanted <= set(range(1, most + 1)):
        raise Invalid(rounds=f"Name rounds from 1 to {most}, such as 1, 2.")
    return sorted(wanted)
