"""Stage an invented rising series from a stated truth, and write it as a sample session.

``python -m tests.staging_series`` writes it anew, as ``tests.staging`` writes the others.
"""

from dataclasses import dataclass
from decimal import Decimal
from math import log10
from random import Random
from uuid import UUID

from scipy.special import expit

from server.blinding.events import CHECKLIST
from server.blinding.portable import build_document, read_document
from server.blinding.seal import read_sealed
from server.blinding.sealed import PlannedSlot, SealedTasting
from server.blinding.series_rules import BASE
from server.pages.assets import SAMPLE_SESSIONS
from server.reports.series.analysis import analyse_series
from server.reports.series.findings import conclude_series
from server.storage import queries
from server.storage.key import read_sealed_text
from server.tastings import (
    accounts,
    answering,
    checking,
    closing,
    drafts,
    exporting,
    pouring,
    sealing,
    seating,
)
from server.tastings.bench import Bench
from server.tastings.series_planning import read_series_plan
from tests.answers import find_answers, guess_answer
from tests.staging import open_bench


@dataclass(frozen=True)
class SeriesTruth:
    """What is the case in an invented series, whatever its answers say.

    Attributes
    ----------
    file, title, plan, seed, verdict
        As in `staging.Truth`.
    threshold
        Concentration that somebody in the middle notices half of the time.
    spread
        Standard deviation between people, of log10.
    slope
        Of everybody's own curve, per factor of ten.
    """

    file: str
    title: str
    plan: dict[str, str]
    seed: int
    verdict: str
    threshold: float
    spread: float
    slope: float


TRUTHS = (
    SeriesTruth(
        file="hard-tap",
        title="Sample: hard tap water, a rising series",
        plan={
            "question": "From how much hard tap water on is it noticed in our white tea?",
            "base": "white tea brewed with soft spring water",
            "substance": "white tea brewed with hard tap water",
            "unit": "%",
            "steps": "3 6 12 24 48 96",
            "pourer": "absent",
            "assessors": "12",
            "spare_seats": "1",
            "cup_ml": "25",
            "pot_ml": "600",
        },
        seed=2031051431,
        verdict="noticed_from",
        threshold=20.0,
        spread=0.15,
        slope=8.0,
    ),
)


def stage(truth: SeriesTruth) -> bytes:
    """Play a series by its truth from plan to unsealing and return its document."""
    with open_bench(truth.seed) as bench:
        account = accounts.find_link(bench, accounts.issue_link(bench))
        assert account
        planned = read_series_plan(truth.plan)
        tasting_id = drafts.keep_draft(bench, account.id, planned.plan, planned.labels)
        sealing.seal_tasting(bench, tasting_id)
        for item in CHECKLIST:
            checking.tick_check(bench, tasting_id, item, done=True)
        _play(bench, truth, tasting_id)
        closing.close_tasting(bench, tasting_id, "", "absent")
        closing.unseal_tasting(bench, tasting_id)
        return _write(truth, exporting.export_tasting(bench, tasting_id).document)


def _play(bench: Bench, truth: SeriesTruth, tasting_id: UUID) -> None:
    with bench.reading() as db:
        text = read_sealed_text(db, tasting_id)
        tokens = {seat.number: seat.token for seat in queries.list_seats(db, tasting_id)}
        pourer = queries.list_pourer_links(db, tasting_id)[0].token
    assert text
    sealed, chance = read_sealed(text), Random(truth.seed + 1)
    people = {n: chance.gauss(log10(truth.threshold), truth.spread) for n in tokens}
    for number in range(1, sealed.plan.total_rounds + 1):
        _serve(bench, pourer, number, chance)
        for seat in range(1, sealed.plan.assessors + 1):
            assert sealed.plan.series
            dose = log10(sealed.plan.series.steps[number - 1])
            noticed = chance.random() < float(expit(truth.slope * (dose - people[seat])))
            _taste(bench, sealed, tokens[seat], (seat, number), noticed, chance)


def _serve(bench: Bench, pourer: str, number: int, chance: Random) -> None:
    bar = pouring.find_bar(bench, pourer)
    assert bar
    for slot in bar.slots(number):
        pouring.tick_poured(bench, bar, slot.name, done=True)
        pouring.note_brew(bench, bar.tasting_id, bar.rounds, _read(bench, slot, chance))
    for serving in bar.servings(number):
        if serving.seat <= bar.layout.plan.assessors:
            pouring.tick_served(bench, bar, serving.id, done=True)


def _read(bench: Bench, slot: PlannedSlot, chance: Random) -> dict[str, str]:
    """Read a part of the batch; what is stirred in cools it a little."""
    cooler = Decimal(0) if slot.sample == BASE else Decimal("0.4")
    wobble = Decimal(chance.choice((-3, 0, 3))) / 10
    return {
        "slot": slot.name,
        "tds": "",
        "temperature_c": str(Decimal("56.0") - cooler + wobble),
        "fill_g": str(Decimal(25) + wobble),
        "time": f"{bench.clock():%H:%M}",
        "note": "",
    }


def _taste(
    bench: Bench,
    sealed: SealedTasting,
    token: str,
    where: tuple[int, int],
    noticed: bool,
    chance: Random,
) -> None:
    serving = next(one for one in sealed.servings if (one.seat, one.round) == where)
    (right,) = find_answers(sealed, serving, right=True)
    form = (right if noticed else guess_answer(sealed, serving, chance)) | {
        "comment": chance.choice(("chalky", "duller", "") if noticed else ("", "no idea")),
        "guess": "on" if not noticed and chance.random() < 0.7 else "",
        "cue": "",
    }
    seating.read_instructions(bench, token)
    answering.confirm_codes(bench, token, serving.id, differ=False)
    answering.record_answer(bench, token, serving.id, form, f"r{serving.round}")


def _write(truth: SeriesTruth, document: bytes) -> bytes:
    read = read_document(document)
    assert read.sealed_text
    finding = conclude_series(analyse_series(read_sealed(read.sealed_text), read.events))
    numbers = {line.name: line.value for line in finding.numbers}
    expected = {
        "verdict": finding.verdict.value,
        "headline": finding.headline,
        "threshold": numbers["threshold"],
        "group": numbers["group"],
        "blinding_level": finding.blinding_level,
    }
    return build_document(
        truth.title, read.seal, read.sealed_text, None, read.events, expected=expected
    )


if __name__ == "__main__":
    for one in TRUTHS:
        (SAMPLE_SESSIONS / f"{one.file}.json").write_bytes(stage(one))
