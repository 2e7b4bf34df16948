"""From the sealed text and the events of a series to its thresholds."""

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass
from uuid import UUID

from server.blinding.chain import verify_chain
from server.blinding.events import CHECKLIST, Event, State
from server.blinding.plans import Plan, Purpose, Series
from server.blinding.record import Look, Record, fold
from server.blinding.seal import canonical, seal_hash
from server.blinding.sealed import PlannedSample, SealedTasting
from server.blinding.series_rules import BASE
from server.brewing.match import MatchTable
from server.brewing.match_steps import match_steps
from server.methods.asked import find_method
from server.reports.blindness import Blinding, rate_blinding
from server.reports.brew_readings import find_readings
from server.reports.brews import PropertyState, find_properties, find_served_slots
from server.reports.changes import Changes, find_changes
from server.reports.counting import (
    Answers,
    Judgement,
    count_planned,
    count_voided_instead,
    find_contested_answers,
    find_late_answers,
    find_standing_answers,
    find_struck,
    find_voided_answers,
    fold_before_unsealing,
    judge,
)
from server.reports.cues import CueTally, tally_cues
from server.reports.gate_record import GateRecord, describe_gate, weigh_overrides
from server.reports.reliance import Course, find_exploratory_reasons
from server.stats.dose import DoseFit, fit_dose
from server.stats.series import Answer, pool
from server.stats.threshold import BestEstimates, find_best_estimates

LEVEL = 0.95
"""Confidence level of every interval of a finding."""


@dataclass(frozen=True)
class SeriesReading:
    """Thresholds under one rule of what counts.

    Attributes
    ----------
    name
        As in `readings.Reading`.
    servings
        Servings that it treats otherwise than the planned reading.
    answers
        One for each that counts.
    best, curve
        Best estimates and the curve; None if nothing counts.
    """

    name: str
    servings: int
    answers: tuple[Answer, ...]
    best: BestEstimates | None
    curve: DoseFit | None


@dataclass(frozen=True)
class SeriesAnalysis:
    """All that the sealed text and the events of a series say, in numbers.

    Attributes
    ----------
    plan, series, samples
        As sealed; samples are the base and the base at each step.
    chance
        Of a right answer by guessing.
    planned
        Answers that were planned, without those struck off before serving.
    main, alternatives
        The planned reading of the record, and others that something on record calls for.
    judged
        The answers that count, met by the key.
    match, properties
        How warm and how full base and other cups were; strength is left out, because what
        is added may change it.
    gate
        What was let go although it was not matched.
    others
        As in `analysis.Analysis`.
    """

    plan: Plan
    series: Series
    samples: tuple[PlannedSample, ...]
    state: State
    seal: str
    seal_matches: bool | None
    chain_problems: tuple[str, ...]
    level: float
    chance: float
    planned: int
    main: SeriesReading
    alternatives: tuple[SeriesReading, ...]
    judged: tuple[Judgement, ...]
    blinding: Blinding
    match: MatchTable
    properties: tuple[PropertyState, ...]
    gate: GateRecord
    cues: CueTally
    unchecked: tuple[str, ...]
    changes: Changes
    looks: tuple[Look, ...]
    exploratory: tuple[str, ...]
    closing_reason: str
    abandoning_reason: str

    @property
    def base(self) -> str:
        """What everything was added to."""
        return next(one.label for one in self.samples if one.level == BASE)

    @property
    def seats(self) -> tuple[int, ...]:
        """Seats whose people gave an answer that counts."""
        return tuple(sorted({one.seat for one in self.judged}))


def analyse_series(sealed: SealedTasting, events: Sequence[Event]) -> SeriesAnalysis:
    """Turn a sealed series and its events into the numbers of its finding.

    What counts is decided by the events before unsealing, as in `analysis.analyse_tasting`.

    Raises
    ------
    ValueError
        If it is another kind of tasting.
    """
    plan = sealed.plan
    if plan.series is None:
        raise ValueError("sealed must be a series")
    seal = seal_hash(canonical(sealed))
    record, decided = fold(events, seal), fold_before_unsealing(events, seal)
    answers = find_standing_answers(sealed, decided)
    judged = judge(sealed, decided, answers)
    planned = count_planned(sealed, find_struck(events))[Purpose.TEST]
    blinding = rate_blinding(plan.pourer, record.closing, tuple(record.looks))
    problems, course = tuple(verify_chain(seal, events)), Course(stopped=len(judged) < planned)
    over = record.state == State.ABANDONED  # kept for the record, but without a result
    match = _match(sealed, decided, judged)
    gate = describe_gate(sealed, events, decided, judged)
    return SeriesAnalysis(
        plan=plan,
        series=plan.series,
        samples=sealed.samples,
        state=record.state,
        seal=seal,
        seal_matches=record.seal_matches,
        chain_problems=problems,
        level=LEVEL,
        chance=find_method(plan).model.chance,
        planned=planned,
        main=read_series(plan, () if over else judged),
        alternatives=() if over else tuple(_read_otherwise(sealed, decided, answers)),
        judged=judged,
        blinding=blinding,
        match=match,
        properties=weigh_overrides(_pick_judged(match), gate),
        gate=gate,
        cues=tally_cues(judged),
        unchecked=tuple(item for item in CHECKLIST if item not in decided.checks),
        changes=find_changes(sealed, record, decided, events, judged),
        looks=tuple(record.looks),
        exploratory=find_exploratory_reasons(record, blinding, problems, course),
        closing_reason=str((record.closing or {}).get("reason") or ""),
        abandoning_reason=str((record.abandoning or {}).get("reason") or ""),
    )


def read_series(
    plan: Plan, judged: Sequence[Judgement], name: str = "planned", servings: int = 0
) -> SeriesReading:
    """Read judged answers along the steps; whoever left some out is read by the others."""
    assert plan.series is not None
    steps, chance = plan.series.steps, find_method(plan).model.chance
    answers = tuple(
        Answer(str(one.seat), float(steps[one.round - 1]), int(one.correct))
        for one in sorted(judged, key=lambda one: (one.seat, one.round))
    )
    if not answers:
        return SeriesReading(name, servings, (), None, None)
    best = find_best_estimates(answers, chance, LEVEL)
    return SeriesReading(name, servings, answers, best, fit_dose(pool(answers), chance, LEVEL))


def _read_otherwise(
    sealed: SealedTasting, decided: Record, standing: Answers
) -> Iterator[SeriesReading]:
    """Read the record in every other way that its exclusions and amendments allow."""
    contested = find_contested_answers(decided)
    late, voided = find_late_answers(decided), find_voided_answers(decided)
    changed: list[tuple[str, Collection[UUID], Answers]] = [
        ("contested_first", contested, {**standing, **{s: c[0] for s, c in contested.items()}}),
        ("contested_last", contested, {**standing, **{s: c[1] for s, c in contested.items()}}),
        ("late", late, {**standing, **late}),
        ("voided", voided, count_voided_instead(decided, standing)),
    ]
    for name, treated, answers in changed:
        if treated:
            yield read_series(sealed.plan, judge(sealed, decided, answers), name, len(treated))
    judged = judge(sealed, decided, standing)
    kept = [one for one in judged if not one.cue]
    if len(kept) < len(judged):
        yield read_series(sealed.plan, kept, "without_cues", len(judged) - len(kept))


def _pick_judged(match: MatchTable) -> tuple[PropertyState, ...]:
    return tuple(one for one in find_properties(match) if one.name != "strength")


def _match(sealed: SealedTasting, record: Record, judged: Sequence[Judgement]) -> MatchTable:
    plan, served = sealed.plan, find_served_slots(sealed, judged)
    readings = [find_readings(slot, record, plan) for slot in served]
    limits = plan.tds_limit, plan.temperature_limit, plan.fill_limit
    return match_steps(readings, *limits, BASE, age_limit=plan.age_limit)
