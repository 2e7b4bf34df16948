"""From an analysis to its finding: what may be concluded, in plain words."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass

from server.methods.registry import get_method
from server.reports import blinding_words
from server.reports.amendments import list_amendments
from server.reports.analysis import Analysis
from server.reports.contrast_words import SOAK
from server.reports.contrasts import (
    forbid_by_contrast,
    record_manner,
    record_soak,
    say_of_contrast,
    step_by_contrast,
)
from server.reports.families import Family, find_family
from server.reports.gate_words import NO_TEST
from server.reports.group_words import limit_groups, list_group_numbers
from server.reports.limits import WITHOUT_NUMBERS, list_limits
from server.reports.numbers import NumberLine, ReadingLine, show_answers_only
from server.reports.soak_words import speak_of_jars
from server.reports.verdicts import Verdict, decide_verdict, find_rivals


@dataclass(frozen=True)
class Finding:
    """What a tasting supports; every member is ready to print.

    Attributes
    ----------
    verdict
        The conclusion, for programs.
    headline
        The conclusion in one sentence.
    method
        Its name and the standard that describes it.
    question, difference, samples
        The leader's own words.
    blinding_level, blinding, blinding_reasons
        0 to 4, its name, and what it follows from.
    seal
        Whether seal and record fit.
    may_say, may_not_say, limits, amendments, next_steps
        Sentences.
    numbers
        Label and value.
    readings
        Every way to count, the planned one first; empty if there is one only.
    """

    verdict: Verdict
    headline: str
    method: str
    question: str
    difference: str
    samples: tuple[str, ...]
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
    readings: tuple[ReadingLine, ...]


def conclude(analysis: Analysis) -> Finding:
    """Conclude what the analysis supports, and no more."""
    verdict, plan, say = decide_verdict(analysis), analysis.plan, _choose_words(analysis)
    family, rivals = find_family(analysis), bool(find_rivals(analysis))
    forbidden = say(family.list_may_not_say(analysis, verdict))
    steps = say(family.list_next_steps(analysis, verdict))
    numberless = verdict in WITHOUT_NUMBERS
    return Finding(
        verdict=verdict,
        headline=say((_say_headline(analysis, verdict, family),))[0],
        method=f"{get_method(analysis.plan.method).title}, {analysis.plan.standard}",
        question=analysis.plan.question,
        difference=analysis.plan.difference,
        samples=tuple(sample.label for sample in analysis.samples),
        blinding_level=analysis.blinding.level,
        blinding=blinding_words.LEVELS[analysis.blinding.level],
        blinding_reasons=tuple(blinding_words.say_cap(cap) for cap in analysis.blinding.caps),
        seal=blinding_words.say_seal(analysis.seal_matches, analysis.chain_problems),
        may_say=(
            *say(family.list_may_say(analysis, verdict)),
            *say_of_contrast(plan, verdict, rivals),
        ),
        may_not_say=forbid_by_contrast(plan, verdict, rivals, forbidden),
        limits=(
            *say(list_limits(analysis, verdict, family.limit_numbers)),
            *record_soak(plan),
            *record_manner(plan),
            *limit_groups(analysis),
        ),
        amendments=list_amendments(analysis),
        next_steps=step_by_contrast(plan, verdict, rivals, steps),
        numbers=show_answers_only(analysis) if numberless else _list_numbers(analysis, family),
        readings=() if verdict == Verdict.ABANDONED else family.list_readings(analysis),
    )


def _choose_words(analysis: Analysis) -> Callable[[Iterable[str]], tuple[str, ...]]:
    """Choose how sentences are said: about brews or, after a soak in water, about jars."""
    if analysis.plan.contrast != SOAK:
        return tuple
    return lambda sentences: tuple(speak_of_jars(one) for one in sentences)


def _say_headline(analysis: Analysis, verdict: Verdict, family: Family) -> str:
    if verdict == Verdict.NO_ANSWERS and analysis.one_brew.trials:
        return NO_TEST
    return family.say_headline(analysis, verdict)


def _list_numbers(analysis: Analysis, family: Family) -> tuple[NumberLine, ...]:
    return (*family.list_numbers(analysis), *list_group_numbers(analysis))
