"""Headline, what may and may not be said, and limits of a similarity test."""

from collections.abc import Iterator, Mapping

from server.reports import claim_words, claims, limit_words
from server.reports.analysis import Analysis
from server.reports.claims import Say
from server.reports.control_limits import say_positive
from server.reports.display import join_words
from server.reports.facts import fill, is_one_taster, list_rivals
from server.reports.few import words
from server.reports.few.facts import say_few
from server.reports.verdicts import Verdict
from server.stats.similarity import FEWEST_ADVISED

OWN = frozenset(words.HEADLINES)
"""Verdicts of which this module speaks; of all others a difference test would say as much."""

PASSED = {Verdict.FEW, Verdict.FEW_TOLD_APART}


def say_headline(analysis: Analysis, verdict: Verdict) -> str:
    """Say the conclusion in one sentence."""
    if verdict not in OWN:
        return claims.say_headline(analysis, verdict)
    return say_few(words.HEADLINES[verdict], analysis)


def list_may_say(analysis: Analysis, verdict: Verdict) -> tuple[str, ...]:
    """List what the answers support."""
    if verdict not in OWN:
        return claims.list_may_say(analysis, verdict)
    return tuple(_MAY_SAY[verdict](analysis, verdict))


def list_may_not_say(analysis: Analysis, verdict: Verdict) -> tuple[str, ...]:
    """List what the answers do not support, however tempting."""
    if verdict not in OWN:
        return claims.list_may_not_say(analysis, verdict)
    return tuple(_MAY_NOT_SAY[verdict](analysis, verdict))


def limit_numbers(analysis: Analysis, verdict: Verdict) -> Iterator[str]:
    """Say what narrows the numbers of a similarity test."""
    few = analysis.few
    if verdict not in OWN and few is not None and not analysis.exploratory:
        yield limit_words.NOT_ESTIMABLE if few.upper is None else say_few(words.NOT_FEW, analysis)
    if analysis.plan.rounds * analysis.plan.sittings > 1:
        yield words.ONE_EACH_NEEDED
    if analysis.main.trials < FEWEST_ADVISED:
        yield words.SMALL
    rivals = list_rivals(analysis)
    if rivals and verdict in PASSED:
        yield words.MASKED.format(rivals=join_words(rivals))
    yield from say_positive(analysis)


def _say_passed(analysis: Analysis, verdict: Verdict) -> list[str]:
    told = fill(claim_words.PANEL_COULD, analysis) if verdict == Verdict.FEW_TOLD_APART else ""
    said = (words.PASSED, words.AT_LIMIT, words.UPPER, words.SEALED)
    return [*([told] if told else []), *(say_few(one, analysis) for one in said)]


def _say_unshown(analysis: Analysis, _: Verdict) -> list[str]:
    said = (words.NEEDED, words.UPPER, words.WOULD_PASS)
    return [say_few(one, analysis) for one in said]


def _say_counted(analysis: Analysis, _: Verdict) -> list[str]:
    return [say_few(words.COUNTED, analysis)]


def _forbid_after_pass(analysis: Analysis, verdict: Verdict) -> list[str]:
    apart = (
        [claim_words.NOT_WHY, claim_words.NOT_THE_PART] if verdict == Verdict.FEW_TOLD_APART else []
    )
    people = claim_words.NOT_PEOPLE if is_one_taster(analysis) else words.NOT_BEYOND
    smaller = say_few(words.NOT_SMALLER, analysis)
    return [
        *apart,
        claim_words.NOT_ALIKE,
        claim_words.NOT_NOBODY,
        smaller,
        claim_words.NOT_CLEAN,
        people,
    ]


def _forbid_after_miss(analysis: Analysis, _: Verdict) -> list[str]:
    more = say_few(words.NOT_MORE, analysis)
    return [more, words.NOT_TOLD_APART, claim_words.NOT_ALIKE, claim_words.NOT_NOBODY]


_MAY_SAY: Mapping[Verdict, Say] = {
    Verdict.FEW: _say_passed,
    Verdict.FEW_TOLD_APART: _say_passed,
    Verdict.FEW_UNSHOWN: _say_unshown,
    Verdict.FEW_OUT_OF_REACH: _say_counted,
}
_MAY_NOT_SAY: Mapping[Verdict, Say] = {
    Verdict.FEW: _forbid_after_pass,
    Verdict.FEW_TOLD_APART: _forbid_after_pass,
    Verdict.FEW_UNSHOWN: _forbid_after_miss,
    Verdict.FEW_OUT_OF_REACH: _forbid_after_miss,
}
