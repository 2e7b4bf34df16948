"""Headline, and what may and may not be said, where either sample may be chosen more often."""

from collections.abc import Iterator, Mapping

from server.methods.registry import get_method
from server.methods.traits import asks_for_liking
from server.reports import claim_words, claims
from server.reports.analysis import Analysis
from server.reports.claims import Say, fill_all
from server.reports.display import show_count, show_share
from server.reports.facts import fill, is_one_taster, list_rivals, say_be
from server.reports.reliance import EXTENDS
from server.reports.sides import words
from server.reports.sides.numbers import find_share_limits, show_even_split, show_size
from server.reports.verdicts import Verdict

FOUND = {
    Verdict.LEANS: None,
    Verdict.LEANS_NEARLY_MATCHED: claims.RIVAL_STATES[Verdict.TOLD_APART_NEARLY_MATCHED],
    Verdict.LEANS_NOT_MATCHED: claims.RIVAL_STATES[Verdict.TOLD_APART_NOT_MATCHED],
    Verdict.LEANS_NOT_MEASURED: claims.RIVAL_STATES[Verdict.TOLD_APART_NOT_MEASURED],
}
"""Verdicts of answers that lean, with the state of a rival cause that each is about."""

MISSED = {Verdict.NO_LEAN, Verdict.INCONCLUSIVE_WEAK, Verdict.INCONCLUSIVE_OUT_OF_REACH}


def is_liking(analysis: Analysis) -> bool:
    """Tell whether people were asked what they like."""
    return asks_for_liking(get_method(analysis.plan.method))


def say(template: str, analysis: Analysis, **more: str) -> str:
    """Fill a sentence with the facts of answers that lean or do not."""
    policy = analysis.plan.no_preference if analysis.main.neither else "forced"
    facts = {
        "expected": show_even_split(analysis),
        "size": show_size(analysis),
        "servings": fill(words.SERVINGS[policy], analysis),
    } | more
    success = fill("{success}", analysis)
    return fill(template, analysis, Success=success[0].upper() + success[1:], **facts)


def say_headline(analysis: Analysis, verdict: Verdict) -> str:
    """Say the conclusion in one sentence."""
    if verdict == Verdict.NO_ANSWERS and analysis.main.neither:
        return words.NOBODY_CHOSE
    if verdict not in words.HEADLINES:
        return claims.say_headline(analysis, verdict)
    state = FOUND.get(verdict)
    rivals = list_rivals(analysis, state) if state else []
    return say(words.HEADLINES[verdict], analysis, rivals=say_be(rivals, "was", "were"))


def list_may_say(analysis: Analysis, verdict: Verdict) -> tuple[str, ...]:
    """List what the answers support."""
    return tuple(choose(_MAY_SAY, verdict)(analysis, verdict))


def list_may_not_say(analysis: Analysis, verdict: Verdict) -> tuple[str, ...]:
    """List what the answers do not support, however tempting."""
    return tuple(choose(_MAY_NOT_SAY, verdict)(analysis, verdict))


def choose(table: Mapping[Verdict, Say], verdict: Verdict) -> Say:
    """Choose what a table holds for a verdict or for the family it belongs to."""
    if verdict in FOUND:
        return table[Verdict.LEANS]
    return table[Verdict.NO_LEAN if verdict in MISSED else verdict]


def limit_numbers(analysis: Analysis, _: Verdict) -> Iterator[str]:
    """Say what the numbers are about: answers for neither, and what else goes with them."""
    yield from _limit_choice(analysis)
    limits = find_share_limits(analysis)
    if limits is not None and not analysis.main.detected and not analysis.exploratory:
        low, high = (show_share(one) for one in limits)
        yield say(words.GO_WITH, analysis, low=low, high=high, level=show_share(analysis.level))


def _limit_choice(analysis: Analysis) -> Iterator[str]:
    if not is_liking(analysis):
        return
    neither, policy = analysis.main.neither, analysis.plan.no_preference
    if policy == "forced":
        yield words.FORCED
    elif neither:
        one = neither == 1
        told = {
            "count": f"{show_count(neither, 'answer')} {'was' if one else 'were'}",
            "are": "is" if one else "are",
        }
        yield (words.LEFT_OUT if policy == "left_out" else words.SPLIT).format(**told)
        if policy == "split_evenly" and neither % 2:
            yield words.SPLIT_ODD


def _say_lean(analysis: Analysis, _: Verdict) -> list[str]:
    rivals = say_be(list_rivals(analysis), "is", "are")
    said = [f"{rivals[0].upper()}{rivals[1:]} a rival cause."] if rivals else []
    return [*said, say(words.FOUND, analysis), say(words.BY_CHANCE, analysis)]


def _say_miss(analysis: Analysis, verdict: Verdict) -> list[str]:
    said = [say(words.HAD_POWER, analysis)]
    if verdict != Verdict.INCONCLUSIVE_OUT_OF_REACH:
        said = [words.NO_LEAN, say(words.NOT_REACHED, analysis), *said]
    return said


def _say_lead(analysis: Analysis, _: Verdict) -> list[str]:
    return [say(words.LEAD, analysis)]


def _forbid_after_lean(analysis: Analysis, _: Verdict) -> list[str]:
    rivals = list_rivals(analysis)
    forbidden = [claim_words.NOT_BUT_RIVAL.format(rivals=" or ".join(rivals))] if rivals else []
    people = claim_words.NOT_PEOPLE if is_one_taster(analysis) else words.NOT_EVERYBODY
    asked = words.NOT_TOLD_APART if is_liking(analysis) else words.NOT_HOW_MUCH
    rest = (words.NOT_QUALITY, words.NOT_WHY, claim_words.NOT_THE_PART, people)
    return [*forbidden, say(asked, analysis), *rest]


def _forbid_after_miss(analysis: Analysis, _: Verdict) -> list[str]:
    asked = words.NOT_INDIFFERENT if is_liking(analysis) else words.NOT_AS_MUCH
    people = [claim_words.NOT_PEOPLE] if is_one_taster(analysis) else []
    return [asked, words.NOT_ALIKE, *people]


def _forbid_after_exploring(analysis: Analysis, _: Verdict) -> list[str]:
    pooled = [claim_words.NOT_POOLED] if EXTENDS in analysis.exploratory else []
    return [claim_words.NOT_AS_PLANNED, words.NOT_A_FINDING, *pooled, claim_words.NOT_THE_PART]


_MAY_SAY: Mapping[Verdict, Say] = {
    Verdict.LEANS: _say_lean,
    Verdict.LEANS_POTS: fill_all(words.POTS),
    Verdict.NO_LEAN: _say_miss,
    Verdict.EXPLORATORY: _say_lead,
    Verdict.ABANDONED: fill_all(claim_words.ONLY_RECORD),
    Verdict.NO_ANSWERS: fill_all(claim_words.ONLY_RECORD),
}
_MAY_NOT_SAY: Mapping[Verdict, Say] = {
    Verdict.LEANS: _forbid_after_lean,
    Verdict.LEANS_POTS: fill_all(claim_words.NOT_SAMPLES, claim_words.NOT_THE_PART, words.NOT_WHY),
    Verdict.NO_LEAN: _forbid_after_miss,
    Verdict.EXPLORATORY: _forbid_after_exploring,
    Verdict.ABANDONED: fill_all(claim_words.NOTHING),
    Verdict.NO_ANSWERS: fill_all(claim_words.NOTHING),
}
