"""From sealed text and events to numbers: the one function every report calls."""

from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace
from typing import Any
from uuid import UUID

from server.blinding.chain import verify_chain
from server.blinding.events import CHECKLIST, Event, State
from server.blinding.marks import learn_key
from server.blinding.plans import Plan, Purpose
from server.blinding.record import Look, Record, fold
from server.blinding.seal import canonical, seal_hash
from server.blinding.sealed import PlannedSample, SealedTasting
from server.brewing.match import MatchTable
from server.methods.asked import find_orders
from server.methods.registry import get_method
from server.methods.traits import is_two_sided
from server.reports.alone import Alone, describe_alone
from server.reports.blindness import Blinding, rate_blinding
from server.reports.brew_picks import analyse_brews
from server.reports.brews import (
    PropertyState,
    SampleBrews,
    count_brews,
    find_compared,
    find_judged,
    find_shared_pots,
    match_served,
)
from server.reports.changes import Changes, find_changes
from server.reports.controls import ControlResult, measure_controls
from server.reports.counting import (
    Judgement,
    count_planned,
    find_standing_answers,
    find_struck,
    fold_before_unsealing,
    judge,
    pick_purpose,
)
from server.reports.cues import CueTally, tally_cues
from server.reports.gate_record import GateRecord, describe_gate, weigh_overrides
from server.reports.grouped import GroupResult, measure_groups
from server.reports.looks import LookResult, measure_looks
from server.reports.one_brew import OneBrew, count_one_brew
from server.reports.reach import Reach, measure_reach
from server.reports.readings import Reading, count_answered, find_alternatives, read_counts
from server.reports.reliance import Course, find_exploratory_reasons
from server.reports.specimens import SamplePieces, find_pieces
from server.reports.stopping.following import count_complete, follow_blocks
from server.reports.summing import analyse_people, judge_few
from server.reports.tallies import (
    GuessTally,
    OrderTally,
    PositionTally,
    RoundTally,
    SortingTally,
    tally_guesses,
    tally_orders,
    tally_positions,
    tally_rounds,
    tally_sortings,
)
from server.stats.by_brew import BrewsResult
from server.stats.counts import CountsResult
from server.stats.replicates import ReplicatesResult
from server.stats.sequential import SequentialPath
from server.stats.similarity import SimilarityResult
from server.stats.yes_no import YesNoResult

CHECKED_ALONE = ("roaster_off", "no_smell")
"""What of the checklist concerns somebody who is alone in the room."""

LEVEL = 0.95
"""Confidence level of every interval of a finding."""


@dataclass(frozen=True)
class People:
    """How many persons gave how many answers to the test; nothing about anyone in particular."""

    persons: int
    spare_persons: int
    spare_answers: int
    fewest: int
    most: int


@dataclass(frozen=True)
class Analysis:
    """All that the sealed text and the events say, in numbers.

    Unless it says otherwise, everything is about the test itself, without the controls.

    Attributes
    ----------
    plan
        As sealed, with its controls.
    samples
        The two that the test compares.
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
    counts, kinds
        Statistics of the main reading: of counted answers, or of servings of two kinds that
        were called one or the other. None if nothing was answered, or the tasting was abandoned.
    few
        Result of the similarity test, if one was planned and it can be judged.
    sequence
        Way of the count to its end, where the answers decided when to stop.
    repeats
        How people differ, where the plan declared what becomes of several answers each.
    groups
        Secondary: groups of seats that the plan declared, each by itself.
    controls
        What each planned control showed; none if the tasting was abandoned.
    alone
        How one person poured and tasted; None where somebody else poured.
    cues
        What else than smell and taste told the tasters, as far as they were asked.
    pieces
        Pieces of the part that the samples were brewed with; empty if nobody noted any.
    by_brew
        Answers by the brews behind them; None where no answer is right or wrong by itself.
    look
        What looking alone could tell before sealing; None if nobody tried.
    gate
        What was sealed, or let go, although it was not matched.
    one_brew
        Answers to servings whose cups of both samples came from one brew; they do not count.
    unchecked
        What nobody ticked off in the room.
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
    few: SimilarityResult | None
    sequence: SequentialPath | None
    repeats: ReplicatesResult | None
    groups: tuple[GroupResult, ...]
    kinds: YesNoResult | None
    controls: tuple[ControlResult, ...]
    look: LookResult | None
    unchecked: tuple[str, ...]
    reach: Reach
    people: People
    blinding: Blinding
    brews: tuple[SampleBrews, ...]
    match: MatchTable
    properties: tuple[PropertyState, ...]
    gate: GateRecord
    one_brew: OneBrew
    shared_pots: int
    by_brew: BrewsResult | None
    pieces: tuple[SamplePieces, ...]
    rounds: tuple[RoundTally, ...]
    positions: tuple[PositionTally, ...]
    sortings: tuple[SortingTally, ...]
    orders: tuple[OrderTally, ...]
    guesses: GuessTally
    changes: Changes
    looks: tuple[Look, ...]
    alone: Alone | None
    cues: CueTally
    exploratory: tuple[str, ...]
    closing_reason: str
    abandoning_reason: str

    @property
    def two_sided(self) -> bool:
        """Whether no answer is right, and either sample may be chosen more often."""
        return is_two_sided(get_method(self.plan.method))

    @property
    def has_result(self) -> bool:
        """Whether there is something to conclude from."""
        return self.counts is not None or self.kinds is not None

    @property
    def answered(self) -> int:
        """Answers on record that were not taken out, those for neither sample among them."""
        return count_answered(self.plan, self.main)

    @property
    def incomplete(self) -> bool:
        """Fewer answers count than were planned, and the plan had not said stop."""
        if self.sequence is not None and self.sequence.decided_at is not None:
            return False
        return self.answered < self.reach.planned

    def find_control(self, purpose: Purpose) -> ControlResult | None:
        """Find a control of which at least one answer counts."""
        served = (one for one in self.controls if one.purpose == purpose and one.trials)
        return next(served, None)


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
    sealed = learn_key(sealed, decided)
    struck = find_struck(events)
    planned = count_planned(sealed, struck)
    answers = find_standing_answers(sealed, decided)
    judgements = judge(sealed, decided, answers)
    tests = pick_purpose(judgements, Purpose.TEST)
    complete = count_complete(sealed, decided)
    followed = follow_blocks(sealed.plan, tests, complete)
    main, counts = read_counts(sealed.plan, tests, LEVEL, complete=complete)
    alone = describe_alone(sealed, decided, events, tests)
    given_up = alone.given_up if alone else 0
    shared = judge(sealed, decided, answers, one_brew=True)
    alternatives = find_alternatives(sealed, decided, answers, LEVEL, given_up)
    controls = measure_controls(sealed, planned, judgements, main, LEVEL)
    course = Course(
        stopped=not followed.ended_in and count_answered(sealed.plan, main) < planned[Purpose.TEST],
        stopped_knowing=alone is not None and alone.stopped_knowing,
        cued=_is_cued(main, alternatives),
        extends=sealed.plan.extends,
        contradicted=followed.contradicts(decided),
    )
    if record.state == State.ABANDONED:  # kept for the record, but without a result
        main, counts = replace(main, p_value=None, detected=False), None
        alternatives, controls = (), ()
    return Analysis(
        plan=sealed.plan,
        samples=find_compared(sealed),
        seal=seal,
        alpha=float(sealed.plan.alpha),
        level=LEVEL,
        main=main,
        alternatives=alternatives,
        few=judge_few(sealed.plan, main.correct, main.trials) if counts else None,
        sequence=followed.path if counts else None,
        repeats=analyse_people(sealed.plan, tests, LEVEL) if counts else None,
        groups=measure_groups(sealed.plan, tests) if counts else (),
        counts=counts if isinstance(counts, CountsResult) else None,
        kinds=counts if isinstance(counts, YesNoResult) else None,
        controls=controls,
        look=measure_looks(sealed.plan),
        alone=alone,
        cues=tally_cues(tests, judged=not is_two_sided(get_method(sealed.plan.method))),
        unchecked=_find_unchecked(sealed.plan, decided),
        reach=measure_reach(sealed.plan, planned[Purpose.TEST], main.trials),
        people=_count_people(sealed, tests),
        one_brew=count_one_brew(shared),
        changes=find_changes(sealed, record, decided, events, judgements),
        **_describe_course(sealed, record, events, seal, course),
        **_describe_serving(sealed, record, events, tests, struck),
    )


def _is_cued(main: Reading, alternatives: Sequence[Reading]) -> bool:
    """Tell whether what was found hangs on answers that named something but smell and taste."""
    without = [one for one in alternatives if one.name == "without_cues"]
    return main.detected and not all(one.detected for one in without)


def _find_unchecked(plan: Plan, decided: Record) -> tuple[str, ...]:
    asked = CHECKED_ALONE if plan.alone else CHECKLIST
    return tuple(item for item in asked if item not in decided.checks)


def _describe_course(
    sealed: SealedTasting, record: Record, events: Sequence[Event], seal: str, course: Course
) -> dict[str, Any]:
    blinding = rate_blinding(sealed.plan.pourer, record.closing, tuple(record.looks))
    problems = tuple(verify_chain(seal, events))
    return {
        "state": record.state,
        "seal_matches": record.seal_matches,
        "chain_problems": problems,
        "blinding": blinding,
        "exploratory": find_exploratory_reasons(record, blinding, problems, course),
        "looks": tuple(record.looks),
        "closing_reason": _find_reason(record.closing),
        "abandoning_reason": _find_reason(record.abandoning),
    }


def _describe_serving(
    sealed: SealedTasting,
    record: Record,
    events: Sequence[Event],
    judgements: tuple[Judgement, ...],
    struck: Collection[UUID],
) -> dict[str, Any]:
    match = match_served(sealed, record, judgements)
    method, gate = get_method(sealed.plan.method), describe_gate(sealed, events, record, judgements)
    return {
        "brews": count_brews(sealed, record, judgements),
        "match": match,
        "properties": weigh_overrides(find_judged(sealed.plan, match), gate),
        "gate": gate,
        "shared_pots": find_shared_pots(sealed, judgements),
        "by_brew": analyse_brews(sealed, judgements),
        "pieces": find_pieces(
            sealed,
            record,
            judgements,
            {} if is_two_sided(method) else {one.serving: one.correct for one in judgements},
        ),
        "rounds": tally_rounds(sealed, struck, judgements),
        "positions": tally_positions(judgements, 2 if method.reference else 1),
        "sortings": tally_sortings(method, find_orders(sealed.plan), judgements),
        "orders": tally_orders(find_orders(sealed.plan), judgements),
        "guesses": tally_guesses(judgements),
    }


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
