"""From the analysis of a scored table to its finding: what may be concluded, in plain words."""

from dataclasses import dataclass

from server.blinding.seal import spaced
from server.reports import blinding_words, headline_words
from server.reports import table_method_words as method_words
from server.reports.amendments import amend_table
from server.reports.facts import say_be
from server.reports.numbers import NumberLine, ReadingLine
from server.reports.scored import TableAnalysis
from server.reports.table_agreement import say_disagreement
from server.reports.table_control import list_apart
from server.reports.table_differences import list_leads, say_differences, say_p
from server.reports.table_grids import name_question
from server.reports.table_limits import forbid, list_table_limits
from server.reports.table_numbers import list_table_numbers, list_table_readings
from server.reports.table_verdicts import (
    RIVAL_STATES,
    Advice,
    Reason,
    TableVerdict,
    advise,
    decide_table,
    find_declared,
    find_manner,
    list_rivals,
)
from server.reports.table_words import ADVICE, HEADLINES, REASONS


@dataclass(frozen=True)
class TableFinding:
    """What a scored table supports; every member is ready to print.

    Attributes
    ----------
    verdict, advice
        Whether the samples differ, and what the answers speak for, for programs.
    headline
        The conclusion in one sentence.
    question, difference, samples, sheet
        The leader's own words.
    differ, disagree, decide
        Sentences that answer: do they differ, who disagrees, decide or taste again.
    may_not_say, limits, amendments
        Sentences.
    seal, blinding_level, blinding, blinding_reasons
        As in any finding.
    numbers, readings
        Label and value; every way to count, the planned one first.
    """

    verdict: TableVerdict
    advice: Advice
    headline: str
    question: str
    difference: str
    samples: tuple[str, ...]
    sheet: str
    differ: tuple[str, ...]
    disagree: tuple[str, ...]
    decide: tuple[str, ...]
    may_not_say: tuple[str, ...]
    limits: tuple[str, ...]
    amendments: tuple[str, ...]
    seal: str
    seal_hash: str
    blinding_level: int
    blinding: str
    blinding_reasons: tuple[str, ...]
    numbers: tuple[NumberLine, ...]
    readings: tuple[ReadingLine, ...]


def conclude_table(analysis: TableAnalysis) -> TableFinding:
    """Conclude what the analysis of a scored table supports, and no more."""
    verdict = decide_table(analysis)
    advice, reasons = advise(analysis, verdict)
    counts = verdict not in (TableVerdict.ABANDONED, TableVerdict.NO_ANSWERS)
    return TableFinding(
        verdict=verdict,
        advice=advice,
        headline=say_headline(analysis, verdict),
        question=analysis.plan.question,
        difference=analysis.plan.difference,
        samples=tuple(one.label for one in analysis.samples),
        sheet=analysis.sheet.title,
        differ=say_differences(analysis) if counts else (),
        disagree=say_disagreement(analysis) if counts else (),
        decide=(ADVICE[advice], *(say_reason(*one) for one in reasons)),
        may_not_say=forbid(analysis),
        limits=list_table_limits(analysis),
        amendments=amend_table(analysis.changes, analysis.looks),
        seal=blinding_words.say_seal(analysis.seal_matches, analysis.chain_problems),
        seal_hash=analysis.seal,
        blinding_level=analysis.blinding.level,
        blinding=blinding_words.LEVELS[analysis.blinding.level],
        blinding_reasons=tuple(blinding_words.say_cap(cap) for cap in analysis.blinding.caps),
        numbers=list_table_numbers(analysis),
        readings=list_table_readings(analysis) if counts else (),
    )


def say_headline(analysis: TableAnalysis, verdict: TableVerdict) -> str:
    """Say the conclusion in one sentence."""
    reasons = [
        headline_words.EXPLORATORY_REASONS[one].format(seal=spaced(analysis.plan.extends))
        for one in analysis.exploratory[:1]
    ]
    declared = find_declared(analysis)
    rivals = list_rivals(analysis, RIVAL_STATES[verdict]) if verdict in RIVAL_STATES else []
    sentences = {**HEADLINES, **method_words.HEADLINES.get(find_manner(analysis), {})}
    return sentences[verdict].format(
        samples=list_apart(analysis),
        question=name_question(analysis, declared),
        p=say_p(analysis, declared),
        leads=list_leads(analysis),
        reason=" ".join(reasons),
        rivals=say_be(rivals, "was", "were"),
    )


def say_reason(reason: Reason, about: str) -> str:
    """Say why to talk, or to taste again."""
    return REASONS[reason].format(about=about, About=about[:1].upper() + about[1:])
