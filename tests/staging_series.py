"""Stage an invented rising series from a stated truth, and write it as a sample session.

``python -m tests.staging_series`` writes it anew, as ``tests.staging`` writes the others.
"""

from dataclasses import dataclass
from decimal import Decimal
from math import log10
from random import Random
from typing import Any

from scipy.special import expit

from server.blinding.portable import Document
from server.blinding.sealed import PlannedSlot, SealedTasting
from server.blinding.series_rules import BASE
from server.pages.assets import SAMPLE_SESSIONS
from server.reports.series.analysis import analyse_series
from server.reports.series.findings import conclude_series
from server.tastings import drafts, pouring
from server.tastings.bench import Bench
from server.tastings.series_planning import read_series_plan
from tests.staged_bench import (
    Sealed,
    end_tasting,
    fill_answer,
    find_bar,
    lock_answer,
    open_account,
    open_bench,
    seal_draft,
    serve_round,
    state_finding,
    wobble,
    write_reading,
)


@dataclass(frozen=True)
class SeriesTruth:
    """What is the case in an invented series, whatever its answers say.

    Attributes
    ----------
    file, title, plan, seed, verdict
        As in `staged_truths.Truth`; the plan is the whole form.
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
        account = open_account(bench)
        planned = read_series_plan(truth.plan)
        tasting_id = drafts.keep_draft(bench, account, planned.plan, planned.labels)
        _play(bench, truth, seal_draft(bench, tasting_id))
        document = end_tasting(bench, tasting_id, "", "absent")
        return state_finding(truth.title, document, _conclude)


def _play(bench: Bench, truth: SeriesTruth, sealed: Sealed) -> None:
    tasting, chance = sealed.tasting, Random(truth.seed + 1)
    people = {n: chance.gauss(log10(truth.threshold), truth.spread) for n in sealed.tokens}
    for number in range(1, tasting.plan.total_rounds + 1):
        _serve(bench, sealed.pourer, number, chance)
        for seat in range(1, tasting.plan.assessors + 1):
            assert tasting.plan.series
            dose = log10(tasting.plan.series.steps[number - 1])
            noticed = chance.random() < float(expit(truth.slope * (dose - people[seat])))
            _taste(bench, sealed, (seat, number), noticed, chance)


def _serve(bench: Bench, pourer: str, number: int, chance: Random) -> None:
    bar = find_bar(bench, pourer)

    def note(slot: PlannedSlot) -> None:
        pouring.note_brew(bench, bar.tasting_id, bar.rounds, _read(bench, slot, chance))

    serve_round(bench, bar, number, note)


def _read(bench: Bench, slot: PlannedSlot, chance: Random) -> dict[str, str]:
    """Read a part of the batch; what is stirred in cools it a little."""
    cooler = Decimal(0) if slot.sample == BASE else Decimal("0.4")
    error = wobble(chance)
    return write_reading(bench, slot, "", Decimal("56.0") - cooler + error, Decimal(25) + error)


def _taste(
    bench: Bench, sealed: Sealed, where: tuple[int, int], noticed: bool, chance: Random
) -> None:
    tasting = sealed.tasting
    serving = next(one for one in tasting.servings if (one.seat, one.round) == where)
    comments = ("chalky", "duller", "") if noticed else ("", "no idea")
    form = fill_answer(tasting, serving, noticed, chance, comments) | {"cue": ""}
    lock_answer(bench, sealed.tokens[serving.seat], serving, form)


def _conclude(sealed: SealedTasting, read: Document) -> dict[str, Any]:
    finding = conclude_series(analyse_series(sealed, read.events))
    numbers = {line.name: line.value for line in finding.numbers}
    return {
        "verdict": finding.verdict.value,
        "headline": finding.headline,
        "threshold": numbers["threshold"],
        "group": numbers["group"],
        "blinding_level": finding.blinding_level,
    }


if __name__ == "__main__":
    for one in TRUTHS:
        (SAMPLE_SESSIONS / f"{one.file}.json").write_bytes(stage(one))
