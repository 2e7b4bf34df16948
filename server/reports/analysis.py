"""From sealed text and events to numbers: the one function every report calls."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Any

from server.blinding.chain import verify_chain
from server.blinding.events import Event, State
from server.blinding.record import Look, Record, fold
from server.blinding.seal import canonical, seal_hash
from server.blinding.sealed import Plan, PlannedSample, SealedTasting
from server.brewing.match import MatchTable
from server.methods.registry import get_method
from server.reports.blindness import Blinding, rate_blinding
from server.reports.brews import (
    PropertyState,
    SampleBrews,
    count_brews,
    find_properties,
    find_shared_pots,
    match_served,
)
from server.reports.changes import Changes, find_changes
from server.reports.counting import (
    Judgement,
    find_standing_answers,
    fold_before_unsealing,
    judge,
)
from server.reports.readings import Reading, find_alternatives, read_counts
from server.reports.reliance import find_exploratory_reasons
from server.reports.tallies import (
    GuessTally,
    OrderTally,
    PositionTally,
    RoundTally,
    tally_guesses,
    tally_orders,
    tally_positions,
    tally_rounds,
)
from server.stats.binomial import critical_number, power
from server.stats.counts import CountsResult
from server.stats.thurstone import ForcedChoice, share_from_pc
from server.stats.trials import smallest_share, trials_for_power

LEVEL = 0.95
"""Confidence level of every interval of a finding."""

WANTED_POWER = 0.8
"""Power that a next test is sized for; common practice, no source."""


@dataclass(frozen=True)
class Reach:
    """How far the test got, and what it could find.

    Attributes
    ----------
    planned, reached
        Planned and counted answers.
    critical_planned, critical_reached
        Fewest right answers that reach the planned level, if any number does.
    size_d_prime, size_share
        The size that matters, as d′ and as share of noticing judgements.
    power_planned, power_reached
        Chance of finding a difference of that size with so many answers.
    findable_share
        Smallest share that the reached answers find with power 0.8, if any.
    trials_needed
        Answers from which on a test finds the size that matters with power 0.8;
        None if more than a test can be planned for.
    """

    planned: int
    reached: int
    critical_planned: int | None
    critical_reached: int | None
    size_d_prime: float
    size_share: float
    power_planned: float
    power_reached: float | None
    findable_share: float | None
    trials_needed: int | None


@dataclass(frozen=True)
class People:
    """How many persons gave how many counted answers; nothing about anyone in particular."""

    persons: int
    spare_persons: int
    spare_answers: int
    fewest: int
    most: int


@dataclass(frozen=True)
class Analysis:
    """All that the sealed text and the events say, in numbers.

    Attributes
    ----------
    plan, samples
        As sealed.
    state
        Last state of the tasting.
    seal, seal_matches, chain_problems
        The seal, what was said of it at unsealing, and what does not fit in
        the chain of events.
    alpha, level
        Planned level of the test, and of the intervals.
    main
        The planned reading of the record.
    alternatives
        Other readings: contested, late and voided answers counted.
    counts
        Statistics of the main reading; None if nothing was answered, or the
        tasting was abandoned.
    exploratory
        Reasons why the numbers are not those of the planned test.
    """

    plan: Plan
    samples: tuple[PlannedSample, ...]
    state: State
    seal: str
    seal_matches: bool | None
    chain_problems: tuple[str, ...]
    alpha: float
    level: float
    main: Reading
    alternatives: tuple[Reading, ...]
    counts: CountsResult | None
    reach: Reach
    people: People
    blinding: Blinding
    brews: tuple[SampleBrews, ...]
    match: MatchTable
    properties: tuple[PropertyState, ...]
    shared_pots: int
    rounds: tuple[RoundTally, ...]
    positions: tuple[PositionTally, ...]
    orders: tuple[OrderTally, ...]
    guesses: GuessTally
    changes: Changes
    looks: tuple[Look, ...]
    exploratory: tuple[str, ...]
    closing_reason: str
    abandoning_reason: str

    @property
    def incomplete(self) -> bool:
        """Fewer answers count than were planned."""
        return self.main.trials < self.plan.trials


def analyse_tasting(sealed: SealedTasting, events: Sequence[Event]) -> Analysis:
    """Turn a sealed tasting and its events into the numbers of its finding.

    Parameters
    ----------
    sealed : SealedTasting
        Plan, layout and key.
    events : sequence of Event
        Every event since sealing, in order of ``seq``.

    Returns
    -------
    Analysis
        Depends on nothing but the arguments. What counts is decided by the
        events before unsealing; later ones only add what is to be said.
    """
    seal = seal_hash(canonical(sealed))
    record, decided = fold(events, seal), fold_before_unsealing(events, seal)
    answers = find_standing_answers(sealed, decided)
    judgements = judge(sealed, decided, answers)
    main, counts = read_counts(sealed.plan, judgements, LEVEL)
    alternatives = find_alternatives(sealed, decided, answers, LEVEL)
    if record.state == State.ABANDONED:  # kept for the record, but without a result
        main, counts, alternatives = replace(main, p_value=None, detected=False), None, ()
    blinding = rate_blinding(sealed.plan.pourer, record.closing, tuple(record.looks))
    problems = tuple(verify_chain(seal, events))
    return Analysis(
        plan=sealed.plan,
        samples=sealed.samples,
        state=record.state,
        seal=seal,
        seal_matches=record.seal_matches,
        chain_problems=problems,
        alpha=float(sealed.plan.alpha),
        level=LEVEL,
        main=main,
        alternatives=alternatives,
        counts=counts,
        reach=_measure_reach(sealed.plan, main.trials),
        people=_count_people(sealed, judgements),
        blinding=blinding,
        exploratory=find_exploratory_reasons(record, blinding, problems, main, sealed.plan),
        changes=find_changes(sealed, record, decided, events, judgements),
        looks=tuple(record.looks),
        closing_reason=_find_reason(record.closing),
        abandoning_reason=_find_reason(record.abandoning),
        **_describe_serving(sealed, record, judgements),
    )


def _describe_serving(
    sealed: SealedTasting, record: Record, judgements: tuple[Judgement, ...]
) -> dict[str, Any]:
    match = match_served(sealed, record, judgements)
    return {
        "brews": count_brews(sealed, record, judgements),
        "match": match,
        "properties": find_properties(match),
        "shared_pots": find_shared_pots(sealed, judgements),
        "rounds": tally_rounds(sealed, judgements),
        "positions": tally_positions(judgements),
        "orders": tally_orders(get_method(sealed.plan.method).orders, judgements),
        "guesses": tally_guesses(judgements),
    }


def _measure_reach(plan: Plan, reached: int) -> Reach:
    model = get_method(plan.method).model
    size, alpha = float(plan.size_d_prime), float(plan.alpha)
    pc = float(model.pc(size))
    return Reach(
        planned=plan.trials,
        reached=reached,
        critical_planned=critical_number(plan.trials, model.chance, alpha),
        critical_reached=critical_number(reached, model.chance, alpha) if reached else None,
        size_d_prime=size,
        size_share=share_from_pc(pc, model.chance),
        power_planned=power(plan.trials, model.chance, alpha, pc),
        power_reached=power(reached, model.chance, alpha, pc) if reached else None,
        findable_share=_find_share(reached, model.chance, alpha) if reached else None,
        trials_needed=_find_trials(model, alpha, pc),
    )


@lru_cache(maxsize=256)
def _find_share(trials: int, chance: float, alpha: float) -> float | None:
    return smallest_share(trials, chance, alpha, WANTED_POWER)


@lru_cache(maxsize=256)
def _find_trials(model: ForcedChoice, alpha: float, pc: float) -> int | None:
    try:
        return trials_for_power(model.chance, alpha, WANTED_POWER, pc).trials_stable
    except ValueError:
        return None


def _count_people(sealed: SealedTasting, judgements: Sequence[Judgement]) -> People:
    spare = {seat.number for seat in sealed.seats if seat.spare}
    given: dict[int, int] = {}
    for judgement in judgements:
        given[judgement.seat] = given.get(judgement.seat, 0) + 1
    return People(
        persons=len(given),
        spare_persons=sum(seat in spare for seat in given),
        spare_answers=sum(number for seat, number in given.items() if seat in spare),
        fewest=min(given.values(), default=0),
        most=max(given.values(), default=0),
    )


def _find_reason(body: Any) -> str:
    return str(body.get("reason") or "") if body else ""
