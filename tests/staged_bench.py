"""What everybody does who plays an invented tasting on a bench: seal, serve, answer, end."""

from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from decimal import Decimal
from pathlib import Path
from random import Random
from tempfile import TemporaryDirectory
from typing import Any
from uuid import UUID

from server.blinding.events import CHECKLIST
from server.blinding.portable import Document, build_document, read_document
from server.blinding.seal import read_sealed
from server.blinding.sealed import PlannedServing, PlannedSlot, SealedTasting
from server.storage import queries
from server.storage.engine import open_engine, sqlite_url
from server.storage.key import read_sealed_text
from server.storage.migrate import upgrade
from server.tastings import (
    accounts,
    answering,
    checking,
    closing,
    exporting,
    pouring,
    sealing,
    seating,
)
from server.tastings.bench import Bench
from tests.answers import find_answers, guess_answer


@dataclass
class WalkingClock:
    """A clock that goes on a few seconds whenever somebody looks at it."""

    now: datetime

    def __call__(self) -> datetime:
        self.now += timedelta(seconds=7)
        return self.now


@contextmanager
def open_bench(seed: int) -> Iterator[Bench]:
    """Open a throwaway bench whose chance and clock repeat."""
    with TemporaryDirectory() as folder:
        engine = open_engine(sqlite_url(Path(folder)))
        upgrade(engine)
        yield Bench(engine, Random(seed), WalkingClock(datetime(2031, 5, 14, 9, tzinfo=UTC)))
        engine.dispose()


def open_account(bench: Bench) -> UUID:
    """Open a leader's account."""
    account = accounts.find_link(bench, accounts.issue_link(bench))
    assert account
    return account.id


@dataclass(frozen=True)
class Sealed:
    """A sealed tasting, with all that nobody at its table should know; and its links."""

    tasting: SealedTasting
    tokens: dict[int, str]
    pourer: str


def seal_draft(bench: Bench, tasting_id: UUID) -> Sealed:
    """Seal a draft and tick off the room."""
    sealing.seal_tasting(bench, tasting_id)
    for item in CHECKLIST:
        checking.tick_check(bench, tasting_id, item, done=True)
    with bench.reading() as db:
        text = read_sealed_text(db, tasting_id)
        assert text
        tokens = {seat.number: seat.token for seat in queries.list_seats(db, tasting_id)}
        pourer = queries.list_pourer_links(db, tasting_id)[0].token
    return Sealed(read_sealed(text), tokens, pourer)


def find_bar(bench: Bench, pourer: str) -> pouring.Bar:
    """Find the bar of a pourer's link."""
    bar = pouring.find_bar(bench, pourer)
    assert bar
    return bar


def serve_round(
    bench: Bench, bar: pouring.Bar, number: int, note: Callable[[PlannedSlot], None]
) -> None:
    """Pour every pot of a round, note each, and serve the seats that count."""
    for slot in bar.slots(number):
        pouring.tick_poured(bench, bar, slot.name, done=True)
        note(slot)
    for serving in bar.servings(number):
        if serving.seat <= bar.layout.plan.assessors:
            pouring.tick_served(bench, bar, serving.id, done=True)


def write_reading(
    bench: Bench, slot: PlannedSlot, tds: str, celsius: Decimal, fill: Decimal
) -> dict[str, str]:
    """Fill in the form of a brew's readings."""
    return {
        "slot": slot.name,
        "tds": tds,
        "temperature_c": str(celsius),
        "fill_g": str(fill),
        "time": f"{bench.clock():%H:%M}",
        "note": "",
    }


def wobble(chance: Random) -> Decimal:
    """Draw an error of reading, in tenths."""
    return Decimal(chance.choice((-3, 0, 3))) / 10


def fill_answer(
    sealed: SealedTasting,
    serving: PlannedServing,
    noticed: bool,
    chance: Random,
    comments: Sequence[str],
) -> dict[str, str]:
    """Fill in a ballot: rightly if something was noticed, else by guessing."""
    (right,) = find_answers(sealed, serving, right=True)
    return (right if noticed else guess_answer(sealed, serving, chance)) | {
        "comment": chance.choice(comments),
        "guess": say_guessed(noticed, chance),
    }


def say_guessed(noticed: bool, chance: Random) -> str:
    """Draw whether somebody says of their guess that it was one."""
    return "on" if not noticed and chance.random() < 0.7 else ""


def lock_answer(bench: Bench, token: str, serving: PlannedServing, form: dict[str, str]) -> None:
    """Read the instructions, confirm the codes and lock a ballot."""
    seating.read_instructions(bench, token)
    answering.confirm_codes(bench, token, serving.id, differ=False)
    answering.record_answer(bench, token, serving.id, form, f"r{serving.round}")


def end_tasting(bench: Bench, tasting_id: UUID, reason: str, poured: str) -> bytes:
    """Close a tasting, unseal it and return its document."""
    closing.close_tasting(bench, tasting_id, reason, poured)
    closing.unseal_tasting(bench, tasting_id)
    return exporting.export_tasting(bench, tasting_id).document


def state_finding(
    title: str, document: bytes, conclude: Callable[[SealedTasting, Document], dict[str, Any]]
) -> bytes:
    """Write a document again, with its title and the finding that it must lead to."""
    read = read_document(document)
    assert read.sealed_text
    expected = conclude(read_sealed(read.sealed_text), read)
    return build_document(title, read.seal, read.sealed_text, None, read.events, expected=expected)
