"""Headline, and what may and may not be said, by verdict."""

from collections.abc import Callable, Mapping

from server.blinding.plans import Purpose
from server.brewing.match import Verdict as Match
from server.reports import brew_pick_words, claim_words, headline_words
from server.reports.analysis import Analysis
from server.reports.facts import (
    fill,
    is_named,
    is_one_taster,
    list_rivals,
    say_be,
    say_reason,
    say_still_allowed,
)
from server.reports.reliance import EXTENDS
from server.reports.verdicts import Verdict

RIVAL_STATES = {
    Verdict.TOLD_APART_NEARLY_MATCHED: Match.BORDERLINE,
    Verdict.TOLD_APART_NOT_MATCHED: Match.NOT_MATCHED,
    Verdict.TOLD_APART_NOT_MEASURED: Match.NOT_MEASURED,
}
"""The state of a property that each such verdict is about."""

TOLD_APART = {Verdict.TOLD_APART, *RIVAL_STATES}
INCONCLUSIVE = {
    Verdict.INCONCLUSIVE_WEAK,
    Verdict.INCONCLUSIVE_UNSHOWN,
    Verdict.INCONCLUSIVE_CONTROL_MISSED,
    Verdict.INCONCLUSIVE_CONTROL_SMALL,
    Verdict.INCONCLUSIVE_OUT_OF_REACH,
}

Say = Callable[[Analysis, Verdict], list[str]]


def say_headline(analysis: Analysis, verdict: Verdict) -> str:
    """Say the conclusion in one sentence."""
    rivals = list_rivals(analysis, RIVAL_STATES[verdict]) if verdict in RIVAL_STATES else []
    reason = analysis.exploratory[0] if analysis.exploratory else ""
    return fill(
        headline_words.HEADLINES[verdict],
        analysis,
        rivals=say_be(rivals, "was", "were"),
        reason=say_reason(analysis, reason) if reason else "",
    )


def list_may_say(analysis: Analysis, verdict: Verdict) -> tuple[str, ...]:
    """List what the answers support."""
    return tuple(choose_by_verdict(_MAY_SAY, verdict)(analysis, verdict))


def list_may_not_say(analysis: Analysis, verdict: Verdict) -> tuple[str, ...]:
    """List what the answers do not support, however tempting."""
    return tuple(choose_by_verdict(_MAY_NOT_SAY, verdict)(analysis, verdict))


def choose_by_verdict(table: Mapping[Verdict, Say], verdict: Verdict) -> Say:
    """Choose what a table holds for a verdict or for the family it belongs to."""
    if verdict in TOLD_APART:
        return table[Verdict.TOLD_APART]
    return table[Verdict.INCONCLUSIVE_WEAK if verdict in INCONCLUSIVE else verdict]


def fill_all(*templates: str) -> Say:
    """Return a function that fills these sentences with the facts of an analysis."""

    def say(analysis: Analysis, _: Verdict) -> list[str]:
        return [fill(template, analysis) for template in templates]

    return say


def _say_told_apart(analysis: Analysis, _: Verdict) -> list[str]:
    rivals = say_be(list_rivals(analysis), "is", "are")
    said = [claim_words.RIVAL.format(rivals=rivals)] if rivals else []
    said.append(claim_words.I_COULD if is_one_taster(analysis) else claim_words.PANEL_COULD)
    named = (claim_words.AS_NAMED,) if is_named(analysis) else ()
    return [
        *said,
        *(fill(one, analysis) for one in (claim_words.FOUND, claim_words.BY_GUESSING, *named)),
    ]


def _say_brews(analysis: Analysis, _: Verdict) -> list[str]:
    null = analysis.find_control(Purpose.NULL)
    counted = {"null_k": str(null.correct), "null_n": str(null.trials)} if null else {}
    return [claim_words.BREWS_ALONE, fill(claim_words.BOTH_FOUND, analysis, **counted)]


def _say_not_detected(analysis: Analysis, _: Verdict) -> list[str]:
    said = [
        claim_words.NOT_DETECTED,
        *say_still_allowed(analysis),
        fill(claim_words.NOT_REACHED, analysis),
    ]
    mine = [claim_words.I_HAVE_NOT] if is_one_taster(analysis) else []
    return [*mine, *said, fill(claim_words.HAD_POWER, analysis)]


def _say_inconclusive(analysis: Analysis, verdict: Verdict) -> list[str]:
    said = [fill(claim_words.HAD_POWER, analysis)]
    if verdict != Verdict.INCONCLUSIVE_OUT_OF_REACH:
        said = [claim_words.NOT_DETECTED, fill(claim_words.NOT_REACHED, analysis), *said]
    return [*([claim_words.I_HAVE_NOT] if is_one_taster(analysis) else []), *said]


def _forbid_after_told_apart(analysis: Analysis, _: Verdict) -> list[str]:
    rivals = list_rivals(analysis)
    forbidden = [claim_words.NOT_BUT_RIVAL.format(rivals=" or ".join(rivals))] if rivals else []
    people = claim_words.NOT_PEOPLE if is_one_taster(analysis) else claim_words.NOT_OTHERS
    null = analysis.find_control(Purpose.NULL)
    if null is not None and not null.is_exceeded:
        forbidden.append(claim_words.NOT_SAMPLES_BREWS)
    return [*forbidden, claim_words.NOT_THE_PART, claim_words.NOT_WHY, people]


def _forbid_after_exploring(analysis: Analysis, _: Verdict) -> list[str]:
    pooled = [claim_words.NOT_POOLED] if EXTENDS in analysis.exploratory else []
    return [
        claim_words.NOT_AS_PLANNED,
        claim_words.NOT_A_FINDING,
        *pooled,
        claim_words.NOT_THE_PART,
    ]


def _forbid_after_miss(analysis: Analysis, _: Verdict) -> list[str]:
    people = [claim_words.NOT_PEOPLE] if is_one_taster(analysis) else []
    return [claim_words.NOT_ALIKE, claim_words.NOT_CLEAN, claim_words.NOT_NOBODY, *people]


_MAY_SAY: Mapping[Verdict, Say] = {
    Verdict.TOLD_APART: _say_told_apart,
    Verdict.TOLD_APART_BREWS: _say_brews,
    Verdict.TOLD_APART_POTS: fill_all(claim_words.POTS),
    Verdict.TOLD_APART_ONE_BREW: fill_all(brew_pick_words.MAY_SAY, claim_words.FOUND),
    Verdict.NOT_DETECTED: _say_not_detected,
    Verdict.INCONCLUSIVE_WEAK: _say_inconclusive,
    Verdict.BELOW_GUESSING: fill_all(claim_words.BELOW),
    Verdict.EXPLORATORY: fill_all(claim_words.LEAD),
    Verdict.ABANDONED: fill_all(claim_words.ONLY_RECORD),
    Verdict.NO_ANSWERS: fill_all(claim_words.ONLY_RECORD),
}
_MAY_NOT_SAY: Mapping[Verdict, Say] = {
    Verdict.TOLD_APART: _forbid_after_told_apart,
    Verdict.TOLD_APART_BREWS: fill_all(
        claim_words.NOT_A_PART, claim_words.NOT_SAMPLES_BREWS, claim_words.NOT_WHY
    ),
    Verdict.TOLD_APART_POTS: fill_all(
        claim_words.NOT_SAMPLES, claim_words.NOT_THE_PART, claim_words.NOT_WHY
    ),
    Verdict.TOLD_APART_ONE_BREW: fill_all(
        brew_pick_words.MAY_NOT, claim_words.NOT_THE_PART, claim_words.NOT_WHY
    ),
    Verdict.NOT_DETECTED: _forbid_after_miss,
    Verdict.INCONCLUSIVE_WEAK: _forbid_after_miss,
    Verdict.BELOW_GUESSING: fill_all(claim_words.NOT_NEGATIVE, claim_words.NOT_ALIKE),
    Verdict.EXPLORATORY: _forbid_after_exploring,
    Verdict.ABANDONED: fill_all(claim_words.NOTHING),
    Verdict.NO_ANSWERS: fill_all(claim_words.NOTHING),
}
