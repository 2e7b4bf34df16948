"""Headline, what may and may not be said, and what to do next, by verdict."""

from collections.abc import Callable, Mapping

from server.brewing.match import Verdict as Match
from server.reports import words
from server.reports.analysis import WANTED_POWER, Analysis
from server.reports.display import show_share
from server.reports.facts import fill, is_one_taster, list_rivals, say_be
from server.reports.reliance import CHAIN_BROKEN, NOT_UNSEALED, SEAL_MISMATCH
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
    Verdict.INCONCLUSIVE_OUT_OF_REACH,
}

Say = Callable[[Analysis, Verdict], list[str]]


def say_headline(analysis: Analysis, verdict: Verdict) -> str:
    """Say the conclusion in one sentence."""
    rivals = list_rivals(analysis, RIVAL_STATES[verdict]) if verdict in RIVAL_STATES else []
    reason = analysis.exploratory[0] if analysis.exploratory else ""
    return fill(
        words.HEADLINES[verdict],
        analysis,
        rivals=say_be(rivals, "was", "were"),
        reason=words.EXPLORATORY_REASONS.get(reason, ""),
    )


def list_may_say(analysis: Analysis, verdict: Verdict) -> tuple[str, ...]:
    """List what the answers support."""
    return tuple(_choose(_MAY_SAY, verdict)(analysis, verdict))


def list_may_not_say(analysis: Analysis, verdict: Verdict) -> tuple[str, ...]:
    """List what the answers do not support, however tempting."""
    return tuple(_choose(_MAY_NOT_SAY, verdict)(analysis, verdict))


def list_next_steps(analysis: Analysis, verdict: Verdict) -> tuple[str, ...]:
    """List what to do next, most useful first."""
    return tuple(_choose(_NEXT, verdict)(analysis, verdict))


def _choose(table: Mapping[Verdict, Say], verdict: Verdict) -> Say:
    if verdict in TOLD_APART:
        return table[Verdict.TOLD_APART]
    return table[Verdict.INCONCLUSIVE_WEAK if verdict in INCONCLUSIVE else verdict]


def _fill_all(*templates: str) -> Say:
    def say(analysis: Analysis, _: Verdict) -> list[str]:
        return [fill(template, analysis) for template in templates]

    return say


def _say_told_apart(analysis: Analysis, _: Verdict) -> list[str]:
    rivals = say_be(list_rivals(analysis), "is", "are")
    said = [words.RIVAL.format(rivals=rivals)] if rivals else []
    said.append(words.I_COULD if is_one_taster(analysis) else words.PANEL_COULD)
    return [*said, *(fill(one, analysis) for one in (words.FOUND, words.BY_GUESSING))]


def _say_inconclusive(analysis: Analysis, verdict: Verdict) -> list[str]:
    said = [fill(words.HAD_POWER, analysis)]
    if verdict != Verdict.INCONCLUSIVE_OUT_OF_REACH:
        said = [words.NOT_DETECTED, fill(words.NOT_REACHED, analysis), *said]
    return [*([words.I_HAVE_NOT] if is_one_taster(analysis) else []), *said]


def _forbid_after_told_apart(analysis: Analysis, _: Verdict) -> list[str]:
    rivals = list_rivals(analysis)
    forbidden = [words.NOT_BUT_RIVAL.format(rivals=" or ".join(rivals))] if rivals else []
    people = words.NOT_PEOPLE if is_one_taster(analysis) else words.NOT_OTHERS
    return [*forbidden, words.NOT_THE_PART, words.NOT_WHY, people]


def _forbid_after_miss(analysis: Analysis, _: Verdict) -> list[str]:
    people = [words.NOT_PEOPLE] if is_one_taster(analysis) else []
    return [words.NOT_ALIKE, words.NOT_CLEAN, words.NOT_NOBODY, *people]


def _step_after_told_apart(analysis: Analysis, _: Verdict) -> list[str]:
    measure = list_rivals(analysis, Match.NOT_MEASURED)
    bring = list_rivals(analysis, Match.NOT_MATCHED, Match.BORDERLINE)
    steps = [
        *([words.NEXT_MATCH.format(rivals=" and ".join(bring))] if bring else []),
        *([words.NEXT_MEASURE.format(rivals=" and ".join(measure))] if measure else []),
    ]
    steps = steps or [words.NEXT_NULL, words.NEXT_DIRECTION, words.NEXT_STATES]
    return [*steps, *([words.NEXT_PANEL] if is_one_taster(analysis) else [])]


def _step_after_miss(analysis: Analysis, _: Verdict) -> list[str]:
    needed, reached = analysis.reach.trials_needed, analysis.main.trials
    steps = [words.NEXT_POSITIVE]
    if needed is None:
        steps.append(words.NEXT_TOO_SMALL)
    elif needed > reached:
        power = show_share(WANTED_POWER)
        steps.insert(0, words.NEXT_TRIALS.format(trials=needed, power=power))
    return [*steps, *([words.NEXT_PANEL] if is_one_taster(analysis) else [])]


def _step_after_exploring(analysis: Analysis, _: Verdict) -> list[str]:
    if NOT_UNSEALED in analysis.exploratory:
        return [words.NEXT_UNSEAL]
    broken = {SEAL_MISMATCH, CHAIN_BROKEN} & set(analysis.exploratory)
    return [*([words.NEXT_SEAL] if broken else []), words.NEXT_AGAIN]


_MAY_SAY: Mapping[Verdict, Say] = {
    Verdict.TOLD_APART: _say_told_apart,
    Verdict.TOLD_APART_POTS: _fill_all(words.POTS),
    Verdict.INCONCLUSIVE_WEAK: _say_inconclusive,
    Verdict.BELOW_GUESSING: _fill_all(words.BELOW),
    Verdict.EXPLORATORY: _fill_all(words.LEAD),
    Verdict.ABANDONED: _fill_all(words.ONLY_RECORD),
    Verdict.NO_ANSWERS: _fill_all(words.ONLY_RECORD),
}
_MAY_NOT_SAY: Mapping[Verdict, Say] = {
    Verdict.TOLD_APART: _forbid_after_told_apart,
    Verdict.TOLD_APART_POTS: _fill_all(words.NOT_SAMPLES, words.NOT_THE_PART, words.NOT_WHY),
    Verdict.INCONCLUSIVE_WEAK: _forbid_after_miss,
    Verdict.BELOW_GUESSING: _fill_all(words.NOT_NEGATIVE, words.NOT_ALIKE),
    Verdict.EXPLORATORY: _fill_all(words.NOT_AS_PLANNED, words.NOT_A_FINDING, words.NOT_THE_PART),
    Verdict.ABANDONED: _fill_all(words.NOTHING),
    Verdict.NO_ANSWERS: _fill_all(words.NOTHING),
}
_NEXT: Mapping[Verdict, Say] = {
    Verdict.TOLD_APART: _step_after_told_apart,
    Verdict.TOLD_APART_POTS: _fill_all(words.NEXT_BREWS),
    Verdict.INCONCLUSIVE_WEAK: _step_after_miss,
    Verdict.BELOW_GUESSING: _fill_all(words.NEXT_CHECK),
    Verdict.EXPLORATORY: _step_after_exploring,
    Verdict.ABANDONED: _fill_all(words.NEXT_AGAIN),
    Verdict.NO_ANSWERS: _fill_all(words.NEXT_AGAIN),
}
