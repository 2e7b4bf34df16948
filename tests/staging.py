"""Stage invented tastings from a stated truth, and write them as sample sessions.

``python -m tests.staging`` writes every session anew; the draw is seeded and the clock is
set, so the files change only when the program does. ``tests/test_sample_sessions.py``
holds the files to what is staged here.
"""

import json
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from decimal import Decimal
from pathlib import Path
from random import Random
from tempfile import TemporaryDirectory
from typing import Any
from uuid import UUID

from server.blinding.portable import build_document, read_document
from server.blinding.seal import read_sealed
from server.blinding.sealed import PlannedServing, SealedTasting
from server.pages.assets import SAMPLE_SESSIONS
from server.reports.analysis import analyse_tasting
from server.reports.findings import conclude
from server.storage import queries
from server.storage.engine import open_engine, sqlite_url
from server.storage.key import read_sealed_text
from server.storage.migrate import upgrade
from server.tastings import (
    accounts,
    answering,
    closing,
    exporting,
    planning,
    pouring,
    sealing,
    seating,
)
from server.tastings.bench import Bench


@dataclass
class WalkingClock:
    """A clock that goes on a few seconds whenever somebody looks at it."""

    now: datetime

    def __call__(self) -> datetime:
        self.now += timedelta(seconds=7)
        return self.now


@dataclass(frozen=True)
class Truth:
    """What is the case in an invented tasting, whatever its answers say.

    Attributes
    ----------
    file, title
        Name of the file, and of the tasting in a list.
    plan
        The leader's form.
    noticed
        Share of servings in which the difference is tasted; all others are guesses.
    tds, celsius
        Strength (%TDS) and temperature at service by sample, before reading errors.
    verdict
        What the finding must conclude.
    poured
        Who really poured, as closing asks.
    """

    file: str
    title: str
    plan: dict[str, str]
    noticed: float
    tds: dict[str, str]
    celsius: dict[str, str]
    verdict: str
    poured: str = "absent"
    seed: int = 1
    comments: dict[bool, tuple[str, ...]] = field(default_factory=dict)


TEA_BAR = {
    "question": "Does a fresh filter cartridge leave a taste in our green tea?",
    "sample_a": "flushed cartridge, 30 L through it",
    "sample_b": "fresh cartridge, 1 L through it",
    "difference": "how much water has run through the filter cartridge",
    "pourer": "absent",
    "assessors": "8",
    "rounds": "3",
    "spare_seats": "1",
    "size_percent": "45",
    "cup_ml": "35",
    "pot_ml": "500",
    "swallow": "on",
}

TRUTHS = (
    Truth(
        file="fresh-cartridge",
        title="Sample: fresh cartridge",
        plan=TEA_BAR,
        noticed=0.6,
        tds={"A": "0.42", "B": "0.43"},
        celsius={"A": "57.5", "B": "57.0"},
        verdict="told_apart",
        seed=20310514,
        comments={True: ("like a plastic bag", "flat, a bit stale", ""), False: ("", "no idea")},
    ),
)


@contextmanager
def open_bench(seed: int) -> Iterator[Bench]:
    """Open a throwaway bench whose chance and clock repeat."""
    with TemporaryDirectory() as folder:
        engine = open_engine(sqlite_url(Path(folder)))
        upgrade(engine)
        yield Bench(engine, Random(seed), WalkingClock(datetime(2031, 5, 14, 9, tzinfo=UTC)))
        engine.dispose()


def stage(truth: Truth) -> bytes:
    """Play a tasting by its truth from plan to unsealing and return its document."""
    with open_bench(truth.seed) as bench:
        account = accounts.find_link(bench, accounts.issue_link(bench))
        assert account
        tasting_id = planning.create_draft(bench, account.id, planning.read_plan(truth.plan))
        sealing.seal_tasting(bench, tasting_id)
        sealed, tokens, pourer = _look_up(bench, tasting_id)
        chance = Random(truth.seed + 1)
        for number in range(1, sealed.plan.rounds + 1):
            _serve(bench, truth, pourer, number, chance)
            for seat in range(1, sealed.plan.assessors + 1):
                serving = next(s for s in sealed.servings if (s.seat, s.round) == (seat, number))
                _taste(bench, truth, tokens[seat], sealed, serving, chance)
        closing.close_tasting(bench, tasting_id, "", truth.poured)
        closing.unseal_tasting(bench, tasting_id)
        return _write(truth, exporting.export_tasting(bench, tasting_id).document)


def _look_up(bench: Bench, tasting_id: UUID) -> tuple[SealedTasting, dict[int, str], str]:
    with bench.reading() as db:
        text = read_sealed_text(db, tasting_id)
        assert text
        seats = {seat.number: seat.token for seat in queries.list_seats(db, tasting_id)}
        return read_sealed(text), seats, queries.list_pourer_links(db, tasting_id)[0].token


def _serve(bench: Bench, truth: Truth, token: str, number: int, chance: Random) -> None:
    bar = pouring.find_bar(bench, token)
    assert bar
    for slot in bar.slots(number):
        true = Decimal(truth.tds[slot.sample])
        readings = [true + Decimal(chance.choice((-1, 0, 0, 1))) / 100 for _ in range(3)]
        celsius = Decimal(truth.celsius[slot.sample]) + Decimal(chance.choice((-3, 0, 3))) / 10
        form = {
            "slot": slot.name,
            "tds": " ".join(map(str, readings)),
            "temperature_c": str(celsius),
            "time": f"{bench.clock():%H:%M}",
            "note": "",
        }
        pouring.tick_poured(bench, bar, slot.name, done=True)
        pouring.note_brew(bench, bar.tasting_id, bar.rounds, form)
    for serving in bar.servings(number):
        if serving.seat <= bar.layout.plan.assessors:
            pouring.tick_served(bench, bar, serving.id, done=True)


def _taste(
    bench: Bench,
    truth: Truth,
    token: str,
    sealed: SealedTasting,
    serving: PlannedServing,
    chance: Random,
) -> None:
    noticed = chance.random() < truth.noticed
    order = sealed.order(serving)
    odd = next(at for at, level in enumerate(order) if order.count(level) == 1)
    pick = serving.codes[odd if noticed else chance.randrange(len(order))]
    form = {"pick": pick, "comment": chance.choice(truth.comments[noticed])}
    if not noticed and chance.random() < 0.7:
        form["guess"] = "on"
    seating.read_instructions(bench, token)
    answering.confirm_codes(bench, token, serving.id, differ=False)
    answering.record_answer(bench, token, serving.id, form, f"r{serving.round}")


def _write(truth: Truth, document: bytes) -> bytes:
    read = read_document(document)
    assert read.sealed_text
    finding = conclude(analyse_tasting(read_sealed(read.sealed_text), read.events))
    numbers = {line.name: line.value for line in finding.numbers}
    expected = {
        "verdict": finding.verdict.value,
        "headline": finding.headline,
        "correct": numbers["correct"],
        "p_value": numbers["p_value"],
        "blinding_level": finding.blinding_level,
    }
    return build_document(
        truth.title, read.seal, read.sealed_text, None, read.events, expected=expected
    )


def write_all(folder: Path = SAMPLE_SESSIONS) -> dict[str, Any]:
    """Write every sample session; return what each of them is expected to find."""
    expected = {}
    for truth in TRUTHS:
        document = stage(truth)
        (folder / f"{truth.file}.json").write_bytes(document)
        expected[truth.file] = read_document(document).expected
    return expected


if __name__ == "__main__":
    print(json.dumps(write_all(), indent=2, ensure_ascii=False))  # noqa: T201 - a command
