"""What narrows the conclusion of a series."""

from collections.abc import Iterator

from server.brewing.match import Verdict as Match
from server.reports import headline_words, limit_words
from server.reports.brews import PropertyState
from server.reports.cue_limits import list_cues
from server.reports.display import (
    NO_VALUE,
    join_words,
    quote,
    show_apart,
    show_count,
    show_number,
    show_p,
)
from server.reports.gate_limits import limit_gate
from server.reports.series import words
from server.reports.series.analysis import SeriesAnalysis
from server.reports.series.verdicts import WITHOUT_NUMBERS, SeriesVerdict

BAD_FIT = 0.05


def list_limits(analysis: SeriesAnalysis, verdict: SeriesVerdict) -> tuple[str, ...]:
    """List the limits, the gravest first."""
    if verdict in WITHOUT_NUMBERS:
        return (*_limit_count(analysis), words.NO_COMPLIANCE)
    return (
        *_limit_exploratory(analysis),
        *limit_gate(analysis.gate, analysis.properties),
        *_limit_count(analysis),
        *_limit_numbers(analysis),
        *_limit_asking(analysis),
        *_limit_cups(analysis),
        *_limit_cues(analysis),
        words.NOT_RECORDED,
        words.NO_COMPLIANCE,
    )


def _limit_exploratory(analysis: SeriesAnalysis) -> Iterator[str]:
    for reason in analysis.exploratory[1:]:
        sentence = headline_words.EXPLORATORY_REASONS[reason]
        yield sentence[0].upper() + sentence[1:]
    yield from analysis.chain_problems


def _limit_count(analysis: SeriesAnalysis) -> Iterator[str]:
    answers = len(analysis.main.answers)
    if answers < analysis.planned:
        yield words.INCOMPLETE.format(
            answers=answers,
            planned=analysis.planned,
            reason=quote(analysis.abandoning_reason or analysis.closing_reason),
        )
    if analysis.alternatives:
        yield words.DEPENDS


def _limit_numbers(analysis: SeriesAnalysis) -> Iterator[str]:
    best, curve = analysis.main.best, analysis.main.curve
    yield from dict.fromkeys((*(curve.notes if curve else ()), *(best.notes if best else ())))
    if curve and curve.fit and curve.fit.p_value < BAD_FIT:
        yield words.BADLY_FITTED.format(p=show_p(curve.fit.p_value))
    yield words.POOLED


def _limit_asking(analysis: SeriesAnalysis) -> Iterator[str]:
    yield words.ODD_OR_NAMED[bool(analysis.plan.attribute)]
    yield words.RISING
    persons = show_count(len(analysis.seats), "person", "persons")
    yield words.ONE_ANSWER.format(persons=persons, steps=len(analysis.series.steps))
    if any(cap.cause != "key_look" and cap.level == 2 for cap in analysis.blinding.caps):
        yield limit_words.POURER_PRESENT


def _limit_cups(analysis: SeriesAnalysis) -> Iterator[str]:
    yield from (_say_property(one) for one in analysis.properties if one.state != Match.MATCHED)
    yield words.ONE_BATCH
    if analysis.changes.calls_open:
        servings = show_count(analysis.changes.calls_open, "serving")
        yield limit_words.CALLS_OPEN.format(servings=servings)
    if analysis.unchecked:
        items = join_words([limit_words.CHECKS[item] for item in analysis.unchecked])
        yield limit_words.UNCHECKED.format(items=items)


def _say_property(one: PropertyState) -> str:
    worst = NO_VALUE if one.worst is None else f"up to {show_apart(one.worst, one.unit)}"
    return words.PROPERTY[one.state].format(
        Name=one.name.capitalize(), worst=worst, limit=f"{show_number(one.limit)} {one.unit}"
    )


def _limit_cues(analysis: SeriesAnalysis) -> Iterator[str]:
    cues = analysis.cues
    asked = show_count(cues.asked, "answer")
    if not cues.asked:
        yield limit_words.NO_CUE_QUESTION
    elif cues.named:
        named = len(cues.named)
        yield limit_words.CUES_NAMED.format(named=named, asked=asked, cues=list_cues(cues))
    else:
        yield limit_words.NO_CUES.format(asked=asked)
