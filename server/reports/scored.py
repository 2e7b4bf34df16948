"""From sealed text and events to the numbers of a scored table: one function for every report."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from server.blinding.chain import verify_chain
from server.blinding.events import Event, State
from server.blinding.plans import Plan, TablePlan
from server.blinding.record import Look, fold
from server.blinding.seal import canonical, seal_hash
from server.blinding.sealed import PlannedSample, SealedTasting
from server.blinding.table_plans import get_table
from server.blinding.table_stands import list_scored
from server.brewing.match import MatchTable
from server.reports.blindness import Blinding, rate_blinding
from server.reports.brews import PropertyState, find_judged, match_served
from server.reports.changes import Changes, find_changes
from server.reports.counting import (
    find_standing_answers,
    find_struck,
    fold_before_unsealing,
)
from server.reports.gate_record import GateRecord, describe_gate, weigh_overrides
from server.reports.reliance import Course, find_exploratory_reasons
from server.reports.scored_answers import (
    Missing,
    SeatTable,
    count_missing,
    names_bowls,
)
from server.reports.scored_beliefs import ScoreBeliefs, weigh_scores
from server.reports.scored_bowls import Uniformity, measure_uniformity
from server.reports.scored_calibration import OpenBowls, find_open_bowls
from server.reports.scored_control import compare_control
from server.reports.scored_declared import analyse_kinds, find_primary, list_scores
from server.reports.scored_kinds import OtherKinds
from server.reports.scored_otherwise import read_all_ways, read_given
from server.reports.scored_own_words import OwnWords, compare_own_words
from server.reports.scored_readings import (
    TableReading,
)
from server.reports.specimens import SamplePieces, find_pieces
from server.sheets.analysis import Analysis, analyse_scores
from server.sheets.cards import read_sheet
from server.sheets.scores import Score
from server.sheets.sheet import Sheet
from server.stats.against_control import AgainstControl


@dataclass(frozen=True)
class TableAnalysis:
    """All that the sealed text and the events say of a scored table, in numbers.

    Attributes
    ----------
    plan, table, sheet
        As sealed.
    samples
        All that the table compares.
    state
        Last state of the tasting.
    seal, seal_matches, chain_problems
        The seal, what was said of it at unsealing, and what does not fit in the chain.
    alpha
        Planned level.
    primary
        Name of the score that was declared to count; empty if none was, or it is no number.
    planned, answered
        Sheets planned, less those struck off in time, and sheets that count.
    tables
        The sheets that count, met by the key.
    scores
        Their numbers, changes over the passes included.
    numbers
        Analysis of `scores`; None if there are none, or the tasting was abandoned.
    control
        Samples against the blind control; None if no method asks for it.
    others
        What is no number.
    bowls
        Bowls of one sample compared; None without bowls that could be.
    beliefs
        Bayes factors of the declared question; None if it has no numbers, or none was
        declared, or bowls were shared: then people are no samples of their own.
    match, properties
        Strength, temperature and fill of the brews behind the sheets that count, and how far
        they matched.
    gate
        What was sealed, or let go, although it was not matched.
    pieces
        Pieces of the part that the samples were brewed with; empty if nobody noted any.
    single
        Whether every sample stood in one bowl or came from one pot, so that a bowl cannot
        be told from its sample.
    own_words
        None if nobody was asked for any.
    readings
        The planned one first.
    missing, refused
        Places without a value; values that the sheet cannot take.
    open_bowls
        What became of the open bowls before the codes; None if none were planned.
    exploratory
        Reasons why the numbers are not those of the planned analysis.
    """

    plan: Plan
    table: TablePlan
    sheet: Sheet
    samples: tuple[PlannedSample, ...]
    state: State
    seal: str
    seal_matches: bool | None
    chain_problems: tuple[str, ...]
    alpha: float
    primary: str
    planned: int
    answered: int
    tables: tuple[SeatTable, ...]
    scores: tuple[Score, ...]
    numbers: Analysis | None
    beliefs: ScoreBeliefs | None
    control: AgainstControl | None
    others: OtherKinds
    bowls: Uniformity | None
    match: MatchTable
    properties: tuple[PropertyState, ...]
    gate: GateRecord
    pieces: tuple[SamplePieces, ...]
    single: bool
    own_words: OwnWords | None
    readings: tuple[TableReading, ...]
    missing: Missing
    refused: int
    open_bowls: OpenBowls | None
    blinding: Blinding
    changes: Changes
    looks: tuple[Look, ...]
    exploratory: tuple[str, ...]
    closing_reason: str
    abandoning_reason: str

    @property
    def people(self) -> tuple[str, ...]:
        """Everybody whose sheet counts."""
        return tuple(sorted({one.assessor for one in self.tables}))

    def label(self, level: str) -> str:
        """Return the leader's label of a sample."""
        return next((one.label for one in self.samples if one.level == level), level)


def analyse_table(sealed: SealedTasting, events: Sequence[Event]) -> TableAnalysis:
    """Turn a sealed scored table and its events into the numbers of its finding.

    Parameters
    ----------
    sealed : SealedTasting
        With a table.
    events : sequence of Event
        Every event since sealing, in order of ``seq``.

    Returns
    -------
    TableAnalysis
        Depends on nothing but the arguments. What counts is decided by the events before
        unsealing; later ones only add what is to be said.

    Raises
    ------
    ValueError
        If the tasting is no scored table, or its sheet is none.
    """
    seal = seal_hash(canonical(sealed))
    record, decided = fold(events, seal), fold_before_unsealing(events, seal)
    table, alpha = get_table(sealed.plan), float(sealed.plan.alpha)
    sheet = read_sheet(table.sheet)
    answers = find_standing_answers(sealed, decided)
    tables = read_given(sealed, sheet, decided, answers)
    scores = list_scores(sheet, tables)
    primary = find_primary(sheet, table.primary)
    over = record.state == State.ABANDONED
    numbers = None if over else _analyse(scores, alpha, primary)
    planned = _count_planned(sealed, events)
    blinding = rate_blinding(sealed.plan.pourer, record.closing, tuple(record.looks))
    problems = tuple(verify_chain(seal, events))
    course = Course(stopped=len(tables) < planned, extends=sealed.plan.extends)
    levels = [one.level for one in sealed.samples]
    match = match_served(sealed, decided, tables)
    gate = describe_gate(sealed, events, decided, tables)
    return TableAnalysis(
        plan=sealed.plan,
        table=table,
        sheet=sheet,
        samples=sealed.samples,
        state=record.state,
        seal=seal,
        seal_matches=record.seal_matches,
        chain_problems=problems,
        alpha=alpha,
        primary=primary,
        planned=planned,
        answered=len(tables),
        tables=tables,
        scores=scores,
        numbers=numbers,
        beliefs=None if over or table.shared else weigh_scores(
            scores, primary, levels, table.prior_scale, alpha
        ),
        control=None if over else compare_control(table, scores, primary, levels, alpha),
        others=analyse_kinds(sealed, sheet, () if over else tables),
        bowls=_compare_bowls(sealed, sheet, () if over else tables, primary),
        match=match,
        properties=weigh_overrides(find_judged(sealed.plan, match), gate),
        gate=gate,
        pieces=find_pieces(sealed, decided, tables),
        single=_has_single_bowls(sealed),
        own_words=None if over else compare_own_words(sheet, tables, levels),
        readings=() if over else read_all_ways(sealed, sheet, decided, tables, numbers, primary),
        missing=count_missing(sheet, tables),
        refused=sum(one.refused for one in tables),
        open_bowls=find_open_bowls(sealed, decided, events),
        blinding=blinding,
        changes=find_changes(sealed, record, decided, events, tables),
        looks=tuple(record.looks),
        exploratory=find_exploratory_reasons(record, blinding, problems, course),
        closing_reason=str((record.closing or {}).get("reason") or ""),
        abandoning_reason=str((record.abandoning or {}).get("reason") or ""),
    )  # fmt: skip


def _analyse(scores: Sequence[Score], alpha: float, primary: str) -> Analysis | None:
    known = {one.attribute for one in scores if one.value is not None}
    if not known:
        return None
    return analyse_scores(scores, alpha, primary if primary in known else None)


def _count_planned(sealed: SealedTasting, events: Sequence[Event]) -> int:
    struck = find_struck(events)
    return sum(one.id not in struck for one in list_scored(sealed, spare=False))


def _compare_bowls(
    sealed: SealedTasting, sheet: Sheet, tables: Sequence[SeatTable], primary: str
) -> Uniformity | None:
    many = Counter(slot.sample for slot in sealed.slots)
    if not tables or max(many.values(), default=0) < 2:
        return None
    shared = names_bowls(sealed)
    alpha = float(sealed.plan.alpha)
    return measure_uniformity(sheet, tables, primary, shared=shared, alpha=alpha)


def _has_single_bowls(sealed: SealedTasting) -> bool:
    many = Counter(slot.sample for slot in sealed.slots for _ in range(slot.brews))
    return all(many[one.level] < 2 for one in sealed.samples)
