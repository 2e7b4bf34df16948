"""From the analysis of a series to its finding: what may be concluded, in plain words."""

from dataclasses import dataclass

from server.methods.asked import find_method
from server.reports import blinding_words
from server.reports.amendments import amend_table
from server.reports.numbers import NumberLine
from server.reports.series.analysis import SeriesAnalysis
from server.reports.series.claims import (
    list_may_not_say,
    list_may_say,
    list_next_steps,
    say_headline,
)
from server.reports.series.limits import list_limits
from server.reports.series.numbers import list_numbers, list_tables
from server.reports.series.verdicts import SeriesVerdict, decide_series
from server.reports.tables import Table


@dataclass(frozen=True)
class SeriesFinding:
    """What a series supports; members as in `findings.Finding`, and its tables."""

    verdict: SeriesVerdict
    headline: str
    method: str
    question: str
    base: str
    added: str
    blinding_level: int
    blinding: str
    blinding_reasons: tuple[str, ...]
    seal: str
    may_say: tuple[str, ...]
    may_not_say: tuple[str, ...]
    limits: tuple[str, ...]
    amendments: tuple[str, ...]
    next_steps: tuple[str, ...]
    numbers: tuple[NumberLine, ...]
    tables: tuple[Table, ...]


def conclude_series(analysis: SeriesAnalysis) -> SeriesFinding:
    """Conclude what the analysis supports, and no more."""
    verdict, series = decide_series(analysis), analysis.series
    steps = ", ".join(f"{one:f}" for one in series.steps)
    return SeriesFinding(
        verdict=verdict,
        headline=say_headline(analysis, verdict),
        method=f"{find_method(analysis.plan).title}, {analysis.plan.standard}",
        question=analysis.plan.question,
        base=analysis.base,
        added=f"{series.substance}: {steps} {series.unit}",
        blinding_level=analysis.blinding.level,
        blinding=blinding_words.LEVELS[analysis.blinding.level],
        blinding_reasons=tuple(blinding_words.say_cap(cap) for cap in analysis.blinding.caps),
        seal=blinding_words.say_seal(analysis.seal_matches, analysis.chain_problems),
        may_say=list_may_say(analysis, verdict),
        may_not_say=list_may_not_say(analysis, verdict),
        limits=list_limits(analysis, verdict),
        amendments=amend_table(analysis.changes, analysis.looks),
        next_steps=list_next_steps(analysis, verdict),
        numbers=list_numbers(analysis),
        tables=list_tables(analysis),
    )
