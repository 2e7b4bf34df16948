"""Which of the few possible conclusions an analysis supports."""

from enum import StrEnum

from server.blinding.events import State
from server.blinding.plans import Purpose
from server.brewing.match import Verdict as Match
from server.methods.registry import get_method
from server.methods.traits import has_like_cups
from server.reports.analysis import Analysis
from server.reports.reach import GOOD_POWER
from server.stats.sequential import SequentialPath
from server.stats.sequential_plan import DIFFERENCE, NO_DIFFERENCE


class Verdict(StrEnum):
    """Every conclusion there is."""

    TOLD_APART = "told_apart"
    TOLD_APART_NEARLY_MATCHED = "told_apart_nearly_matched"
    TOLD_APART_NOT_MATCHED = "told_apart_not_matched"
    TOLD_APART_NOT_MEASURED = "told_apart_not_measured"
    TOLD_APART_BREWS = "told_apart_brews"
    TOLD_APART_POTS = "told_apart_pots"
    TOLD_APART_ONE_BREW = "told_apart_one_brew"
    LEANS = "leans"
    LEANS_NEARLY_MATCHED = "leans_nearly_matched"
    LEANS_NOT_MATCHED = "leans_not_matched"
    LEANS_NOT_MEASURED = "leans_not_measured"
    LEANS_POTS = "leans_pots"
    NO_LEAN = "no_lean"
    FEW = "few"
    FEW_TOLD_APART = "few_told_apart"
    FEW_UNSHOWN = "few_unshown"
    FEW_OUT_OF_REACH = "few_out_of_reach"
    NOT_OF_SIZE = "not_of_size"
    UNDECIDED = "undecided"
    NOT_DETECTED = "not_detected"
    INCONCLUSIVE_WEAK = "inconclusive_weak"
    INCONCLUSIVE_UNSHOWN = "inconclusive_unshown"
    INCONCLUSIVE_CONTROL_MISSED = "inconclusive_control_missed"
    INCONCLUSIVE_CONTROL_SMALL = "inconclusive_control_small"
    INCONCLUSIVE_OUT_OF_REACH = "inconclusive_out_of_reach"
    BELOW_GUESSING = "below_guessing"
    EXPLORATORY = "exploratory"
    ABANDONED = "abandoned"
    NO_ANSWERS = "no_answers"


TOLD_APART_BY_MATCH = {
    Match.NOT_MATCHED: Verdict.TOLD_APART_NOT_MATCHED,
    Match.NOT_MEASURED: Verdict.TOLD_APART_NOT_MEASURED,
    Match.BORDERLINE: Verdict.TOLD_APART_NEARLY_MATCHED,
}
"""From the gravest state of a rival cause to the mildest: the first found decides."""

LEANS = {
    Verdict.TOLD_APART: Verdict.LEANS,
    Verdict.TOLD_APART_NEARLY_MATCHED: Verdict.LEANS_NEARLY_MATCHED,
    Verdict.TOLD_APART_NOT_MATCHED: Verdict.LEANS_NOT_MATCHED,
    Verdict.TOLD_APART_NOT_MEASURED: Verdict.LEANS_NOT_MEASURED,
    Verdict.TOLD_APART_POTS: Verdict.LEANS_POTS,
    Verdict.INCONCLUSIVE_UNSHOWN: Verdict.NO_LEAN,
}
"""What stands in place of a verdict where no answer is right: answers lean to a sample or not.

There are no controls, and what a panel notices is not asked.
"""


def decide_verdict(analysis: Analysis) -> Verdict:
    """Choose the one conclusion; what voids a conclusion comes before what it would be."""
    if analysis.state == State.ABANDONED:
        return Verdict.ABANDONED
    if not analysis.has_result:
        return Verdict.NO_ANSWERS
    if analysis.exploratory:
        return Verdict.EXPLORATORY
    if is_below_guessing(analysis):
        return Verdict.BELOW_GUESSING
    if analysis.plan.similarity is not None:
        return _decide_few(analysis)
    if analysis.sequence is not None:
        return _decide_sequence(analysis, analysis.sequence)
    found = _decide_told_apart(analysis) if analysis.main.detected else _decide_missed(analysis)
    return LEANS.get(found, found) if analysis.two_sided else found


def is_below_guessing(analysis: Analysis) -> bool:
    """Tell whether even the upper limit of the proportion correct lies below chance."""
    return analysis.counts is not None and analysis.counts.pd_interval is None


def find_rivals(analysis: Analysis) -> dict[str, Match]:
    """Collect what may be why the samples were told apart, and how far it matched.

    Looks by which the odd cup was found before sealing weigh like a property that
    was not matched. Where water was added on purpose, strength is what differs.
    """
    rivals = {one.name: one.state for one in analysis.properties if one.is_rival}
    if analysis.plan.dilution_percent is not None:
        rivals.pop("strength", None)
    if analysis.look is not None and analysis.look.is_cue:
        rivals["looks"] = Match.NOT_MATCHED
    return rivals


def _is_single_pair(analysis: Analysis) -> bool:
    """Tell whether every pair set one and the same pot against another."""
    alike = has_like_cups(get_method(analysis.plan.method))
    return not alike and any(one.brews_served < 2 for one in analysis.brews)


def _decide_told_apart(analysis: Analysis) -> Verdict:
    if analysis.shared_pots or _is_single_pair(analysis):
        return Verdict.TOLD_APART_POTS
    null = analysis.find_control(Purpose.NULL)
    if null is not None and null.detected and not null.is_exceeded:
        return Verdict.TOLD_APART_BREWS
    if analysis.by_brew is not None and analysis.by_brew.carrying:
        return Verdict.TOLD_APART_ONE_BREW
    states = find_rivals(analysis).values()
    found = (verdict for state, verdict in TOLD_APART_BY_MATCH.items() if state in states)
    return next(found, Verdict.TOLD_APART)


def _decide_few(analysis: Analysis) -> Verdict:
    """Decide a similarity test; what it does not settle is read as told apart, or not shown.

    A panel that missed a known difference, which it should have found, shows nothing by
    noticing little.
    """
    detected, few = analysis.main.detected, analysis.few
    if few is not None and few.most_correct is not None and few.upper is None:
        return Verdict.BELOW_GUESSING
    if few is not None and few.similar:
        positive = analysis.find_control(Purpose.POSITIVE)
        if detected:
            return Verdict.FEW_TOLD_APART
        missed = positive is not None and positive.is_large_enough and not positive.detected
        return Verdict.INCONCLUSIVE_CONTROL_MISSED if missed else Verdict.FEW
    if detected:
        return _decide_told_apart(analysis)
    out_of_reach = few is None or few.most_correct is None
    return Verdict.FEW_OUT_OF_REACH if out_of_reach else Verdict.FEW_UNSHOWN


def _decide_sequence(analysis: Analysis, sequence: SequentialPath) -> Verdict:
    if sequence.decision == DIFFERENCE:
        return _decide_told_apart(analysis)
    return Verdict.NOT_OF_SIZE if sequence.decision == NO_DIFFERENCE else Verdict.UNDECIDED


def _decide_missed(analysis: Analysis) -> Verdict:
    if analysis.reach.critical_reached is None:
        return Verdict.INCONCLUSIVE_OUT_OF_REACH
    if (analysis.reach.power_reached or 0.0) < GOOD_POWER:
        return Verdict.INCONCLUSIVE_WEAK
    positive = analysis.find_control(Purpose.POSITIVE)
    if positive is None:
        return Verdict.INCONCLUSIVE_UNSHOWN
    if not positive.is_large_enough:
        return Verdict.INCONCLUSIVE_CONTROL_SMALL
    return Verdict.NOT_DETECTED if positive.passed else Verdict.INCONCLUSIVE_CONTROL_MISSED
