"""Stage the invented tastings of `staged_truths`, and write them as sample sessions.

``python -m tests.staging`` writes every session anew; the draw is seeded and the clock is
set, so the files change only when the program does. ``tests/test_sample_sessions.py``
holds the files to what is staged here.
"""

import json
from dataclasses import dataclass
from datetime import timedelta
from decimal import Decimal
from pathlib import Path
from random import Random
from typing import Any
from uuid import UUID

from server.blinding.portable import Document, read_document
from server.blinding.sealed import PlannedServing, PlannedSlot, SealedTasting
from server.methods.base import NEITHER
from server.methods.registry import get_method
from server.methods.traits import asks_for_liking
from server.pages.assets import SAMPLE_SESSIONS
from server.reports.analysis import analyse_tasting
from server.reports.findings import conclude
from server.storage import queries
from server.tastings import alone as own
from server.tastings import drafts, exporting, planning, pouring, releasing, seating
from server.tastings.bench import Bench
from tests.playing_alone import PlayAlone
from tests.staged_bench import (
    end_tasting,
    fill_answer,
    find_bar,
    lock_answer,
    open_account,
    open_bench,
    say_guessed,
    seal_draft,
    serve_round,
    state_finding,
    wobble,
    write_reading,
)
from tests.staged_truths import COMMENTS, TRUTHS, Truth


def stage(truth: Truth) -> bytes:
    """Play a tasting by its truth from plan to unsealing and return its document."""
    with open_bench(truth.seed) as bench:
        account = open_account(bench)
        tasting_id = drafts.create_draft(bench, account, planning.read_plan(truth.form))
        sealed = seal_draft(bench, tasting_id)
        table = Table(truth, sealed.tasting, sealed.tokens, sealed.pourer, Random(truth.seed + 1))
        play_alone(bench, table) if table.sealed.plan.alone else _play(bench, table)
        reason = "the answers looked clear enough" if truth.stop_after else ""
        document = end_tasting(bench, tasting_id, reason, truth.poured)
        return state_finding(truth.title, document, _conclude)


@dataclass(frozen=True)
class Table:
    """A sealed tasting being played, with all that nobody at it should know."""

    truth: Truth
    sealed: SealedTasting
    tokens: dict[int, str]
    pourer: str
    chance: Random


def _play(bench: Bench, table: Table) -> None:
    left = table.truth.stop_after
    for number in range(1, table.sealed.plan.total_rounds + 1):
        _serve(bench, table, number)
        for seat in range(1, table.sealed.plan.assessors + 1):
            if left == 0:
                return _peek(bench, table.sealed.tasting)
            _taste(bench, table, seat, number)
            left = None if left is None else left - 1
        if _is_told_to_stop(bench, table.sealed.tasting):
            return None
    return None


def _is_told_to_stop(bench: Bench, tasting_id: UUID) -> bool:
    with bench.reading() as db:
        return queries.load_record(db, tasting_id).told_to_stop


def _peek(bench: Bench, tasting_id: UUID) -> None:
    """Look at the key and, with the answers so far in the other hand, at the results."""
    exporting.export_tasting(
        bench, tasting_id, exporting.KeyLook("present", "to see how it is going")
    )


def _serve(bench: Bench, table: Table, number: int) -> None:
    bar = find_bar(bench, table.pourer)
    if table.truth.released:
        _release(bench, table, bar, number)
        serve_round(bench, bar, number, lambda _: None)
    else:
        serve_round(bench, bar, number, lambda slot: _note(bench, table, bar, slot))


def _note(bench: Bench, table: Table, bar: pouring.Bar, slot: PlannedSlot) -> None:
    pouring.note_brew(bench, bar.tasting_id, bar.rounds, _read(bench, table, slot))


def _release(bench: Bench, table: Table, bar: pouring.Bar, number: int) -> None:
    """Read every pot of a round, and let go those that wait for it, with the reason."""
    for slot in bar.slots(number):
        _note(bench, table, bar, slot)
    with bench.reading() as db:
        record = queries.load_record(db, bar.tasting_id)
    for gate in releasing.list_slot_gates(bar.layout, record, bar.slots(number)):
        if gate.held:
            form = {"slot": gate.slot.name, "release_reason": table.truth.released}
            releasing.release_brew(bench, bar.tasting_id, bar.rounds, form)


def _read(bench: Bench, table: Table, slot: PlannedSlot) -> dict[str, str]:
    """Read a pot: the truth, and an error of reading."""
    truth, chance = table.truth, table.chance
    strength = Decimal(truth.apart.get(slot.name, truth.tds[slot.sample]))
    readings = [strength + Decimal(chance.choice((-1, 0, 0, 1))) / 100 for _ in range(3)]
    celsius = Decimal(truth.celsius[slot.sample]) + wobble(chance)
    fill = Decimal(truth.fill[slot.sample]) + wobble(chance)
    return write_reading(bench, slot, " ".join(map(str, readings)), celsius, fill)


def _taste(bench: Bench, table: Table, seat: int, number: int) -> None:
    sealed, chance, token = table.sealed, table.chance, table.tokens[seat]
    serving = next(one for one in sealed.servings if (one.seat, one.round) == (seat, number))
    shares = [table.truth.odd.get(sealed.key[cup.id], 0.0) for cup in serving.cups]
    noticed = chance.random() < max(table.truth.share(sealed.purpose(serving)), *shares)
    form = fill_answer(sealed, serving, noticed, chance, table.truth.comments[noticed])
    if asks_for_liking(get_method(sealed.plan.method)):
        form["guess"] = ""  # nobody guesses what they like
        form |= {"pick": NEITHER} if chance.random() < table.truth.neither else {}
    lock_answer(bench, token, serving, form)


def play_alone(bench: Bench, table: Table) -> None:
    """Sit down once a day: mark, brew, pour, shuffle, taste, lock, and turn the cups at the end."""
    alone = PlayAlone(bench, Made(table.sealed.tasting, table.sealed), seed=table.truth.seed + 2)
    seating.read_instructions(bench, alone.token)
    for sitting in range(1, table.sealed.plan.sittings + 1):
        own.prepare_sitting(bench, alone.token, sitting)
        for slot in table.sealed.slots:
            if slot.round == alone.servings(sitting)[0].round:
                rounds = range(1, table.sealed.plan.total_rounds + 1)
                pouring.note_brew(bench, table.sealed.tasting, rounds, _read(bench, table, slot))
        for serving in alone.servings(sitting):
            _taste_alone(alone, table, serving)
        lost = {one.id: 1 for one in alone.servings(sitting) if one.round == table.truth.lost}
        alone.turn(sitting, lost)
        bench.clock.now += timedelta(days=1)


def _taste_alone(alone: PlayAlone, table: Table, serving: PlannedServing) -> None:
    chance = table.chance
    noticed = chance.random() < table.truth.noticed
    right = noticed or chance.randrange(len(serving.cups)) == 0
    alone.answer(
        serving,
        right=right,
        seconds=chance.randrange(22, 40),
        comment=chance.choice(COMMENTS[noticed]),
        guess=say_guessed(noticed, chance),
    )


@dataclass(frozen=True)
class Made:
    """What is played: its id, and what was sealed."""

    id: UUID
    sealed: SealedTasting


def _conclude(sealed: SealedTasting, read: Document) -> dict[str, Any]:
    finding = conclude(analyse_tasting(sealed, read.events))
    numbers = {line.name: line.value for line in finding.numbers}
    return {
        "verdict": finding.verdict.value,
        "headline": finding.headline,
        "correct": numbers["correct"],
        "p_value": numbers["p_value"],
        "blinding_level": finding.blinding_level,
    }


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
