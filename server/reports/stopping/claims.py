"""Headline, what may and may not be said, and limits of a sequential test."""

from collections.abc import Iterator, Mapping

from server.reports import claim_words, claims
from server.reports.analysis import Analysis
from server.reports.claims import Say
from server.reports.control_limits import say_positive
from server.reports.display import show_count, show_p
from server.reports.facts import (
    fill,
    is_named,
    is_one_answer_each,
    is_one_taster,
    list_rivals,
    say_be,
)
from server.reports.stopping import words
from server.reports.stopping.facts import find_risks, get_path, say_sequence
from server.reports.stopping.following import make_sequential
from server.reports.verdicts import Verdict
from server.stats.sequential_plan import DIFFERENCE

OWN = frozenset(words.HEADLINES)
"""Verdicts that only a sequential test can have."""


def say_headline(analysis: Analysis, verdict: Verdict) -> str:
    """Say the conclusion in one sentence."""
    if verdict not in OWN:
        return claims.say_headline(analysis, verdict)
    return say_sequence(words.HEADLINES[verdict], analysis)


def list_may_say(analysis: Analysis, verdict: Verdict) -> tuple[str, ...]:
    """List what the answers support."""
    if verdict in claims.TOLD_APART:
        return tuple(_say_told_apart(analysis))
    return tuple(_MAY_SAY.get(verdict, claims.list_may_say)(analysis, verdict))


def list_may_not_say(analysis: Analysis, verdict: Verdict) -> tuple[str, ...]:
    """List what the answers do not support, however tempting."""
    forbidden = _MAY_NOT_SAY.get(verdict, claims.list_may_not_say)(analysis, verdict)
    stopped = verdict in OWN or verdict in claims.TOLD_APART
    return (*forbidden, *([words.NOT_A_P] if stopped else []))


def limit_numbers(analysis: Analysis, _: Verdict) -> Iterator[str]:
    """Say what narrows the numbers of a sequential test."""
    if analysis.sequence is None:
        return
    path = get_path(analysis)
    yield words.STOPPED
    yield from _limit_risks(analysis)
    if path.left_out:
        yield words.LEFT_OUT.format(answers=show_count(path.left_out, "answer"))
    judged = max((step.trials for step in path.path if step.judged), default=0)
    if path.decided_at is None and judged < path.trials:
        yield words.UNJUDGED.format(answers=show_count(path.trials - judged, "answer"))
    if not is_one_answer_each(analysis):
        yield words.SEVERAL_EACH
    yield from say_positive(analysis)


def _limit_risks(analysis: Analysis) -> Iterator[str]:
    plan = make_sequential(analysis.plan)
    risks = find_risks(plan)
    above = {
        f"α {show_p(risks.false_alarm)} instead of {plan.alpha:g}": risks.false_alarm > plan.alpha,
        f"β {show_p(risks.miss)} instead of {plan.beta:g}": risks.miss > plan.beta,
    }
    told = [said for said, holds in above.items() if holds]
    if told:
        yield words.ABOVE.format(risks=", ".join(told))


def _say_told_apart(analysis: Analysis) -> list[str]:
    rivals = say_be(list_rivals(analysis), "is", "are")
    said = [claim_words.RIVAL.format(rivals=rivals)] if rivals else []
    said.append(claim_words.I_COULD if is_one_taster(analysis) else claim_words.PANEL_COULD)
    named = [fill(claim_words.AS_NAMED, analysis)] if is_named(analysis) else []
    found = (words.FOUND, _choose_end(analysis), words.BY_GUESSING)
    return [*said, *(say_sequence(one, analysis) for one in found), *named]


def _choose_end(analysis: Analysis) -> str:
    path = get_path(analysis)
    last = path.path[-1]
    if path.decision == DIFFERENCE:
        reached = last.high is not None and last.correct >= last.high
        return words.ENDED_HIGH if reached else words.ENDED_NEARER
    reached = last.low is not None and last.correct <= last.low
    return words.ENDED_LOW if reached else words.ENDED_NEARER


def _say_not_of_size(analysis: Analysis, _: Verdict) -> list[str]:
    said = (words.COUNTED, _choose_end(analysis), words.BY_SIZE)
    return [say_sequence(one, analysis) for one in said]


def _say_undecided(analysis: Analysis, _: Verdict) -> list[str]:
    return [say_sequence(words.COUNTED, analysis)]


def _forbid_after_small(analysis: Analysis, _: Verdict) -> list[str]:
    people = [claim_words.NOT_PEOPLE] if is_one_taster(analysis) else []
    below = say_sequence(words.NOT_BELOW, analysis)
    return [claim_words.NOT_ALIKE, claim_words.NOT_NOBODY, below, claim_words.NOT_CLEAN, *people]


def _forbid_undecided(_: Analysis, __: Verdict) -> list[str]:
    return [claim_words.NOT_A_FINDING, claim_words.NOT_ALIKE, words.NOT_MORE]


_MAY_SAY: Mapping[Verdict, Say] = {
    Verdict.NOT_OF_SIZE: _say_not_of_size,
    Verdict.UNDECIDED: _say_undecided,
}
_MAY_NOT_SAY: Mapping[Verdict, Say] = {
    Verdict.NOT_OF_SIZE: _forbid_after_small,
    Verdict.UNDECIDED: _forbid_undecided,
}
