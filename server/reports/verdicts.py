"""Which of the few possible conclusions an analysis supports."""

from enum import StrEnum

from server.blinding.events import State
from server.brewing.match import Verdict as Match
from server.reports.analysis import Analysis

GOOD_POWER = 0.8
"""Power from which a miss is no longer the likeliest reading; common practice, no source."""


class Verdict(StrEnum):
    """Every conclusion there is."""

    TOLD_APART = "told_apart"
    TOLD_APART_NEARLY_MATCHED = "told_apart_nearly_matched"
    TOLD_APART_NOT_MATCHED = "told_apart_not_matched"
    TOLD_APART_NOT_MEASURED = "told_apart_not_measured"
    TOLD_APART_POTS = "told_apart_pots"
    INCONCLUSIVE_WEAK = "inconclusive_weak"
    INCONCLUSIVE_UNSHOWN = "inconclusive_unshown"
    INCONCLUSIVE_OUT_OF_REACH = "inconclusive_out_of_reach"
    BELOW_GUESSING = "below_guessing"
    EXPLORATORY = "exploratory"
    ABANDONED = "abandoned"
    NO_ANSWERS = "no_answers"


TOLD_APART_BY_MATCH = {
    Match.NOT_MATCHED: Verdict.TOLD_APART_NOT_MATCHED,
    Match.NOT_MEASURED: Verdict.TOLD_APART_NOT_MEASURED,
    Match.BORDERLINE: Verdict.TOLD_APART_NEARLY_MATCHED,
    Match.MATCHED: Verdict.TOLD_APART,
}
"""From the gravest state of a property to the mildest: the first found decides."""


def decide_verdict(analysis: Analysis) -> Verdict:
    """Choose the one conclusion; what voids a conclusion comes before what it would be."""
    if analysis.state == State.ABANDONED:
        return Verdict.ABANDONED
    if analysis.counts is None:
        return Verdict.NO_ANSWERS
    if analysis.exploratory:
        return Verdict.EXPLORATORY
    if is_below_guessing(analysis):
        return Verdict.BELOW_GUESSING
    return _decide_told_apart(analysis) if analysis.main.detected else _decide_missed(analysis)


def is_below_guessing(analysis: Analysis) -> bool:
    """Tell whether even the upper limit of the proportion correct lies below chance."""
    return analysis.counts is not None and analysis.counts.pd_interval is None


def _decide_told_apart(analysis: Analysis) -> Verdict:
    if analysis.shared_pots:
        return Verdict.TOLD_APART_POTS
    states = {one.state for one in analysis.properties}
    return next(verdict for state, verdict in TOLD_APART_BY_MATCH.items() if state in states)


def _decide_missed(analysis: Analysis) -> Verdict:
    if analysis.reach.critical_reached is None:
        return Verdict.INCONCLUSIVE_OUT_OF_REACH
    power = analysis.reach.power_reached or 0.0
    return Verdict.INCONCLUSIVE_UNSHOWN if power >= GOOD_POWER else Verdict.INCONCLUSIVE_WEAK
