"""What the controls showed, or that none was served, as limits of a conclusion."""

from server.blinding.sealed import Purpose
from server.reports import words
from server.reports.analysis import Analysis
from server.reports.controls import ControlResult, DeclaredSize
from server.reports.display import show_count, show_share
from server.reports.facts import fill, suit
from server.reports.reach import GOOD_POWER


def say_null(analysis: Analysis) -> str:
    """Say what the null control showed, or that nothing is known of brews alone."""
    null = analysis.find_control(Purpose.NULL)
    if null is None:
        return words.NULL_EMPTY if analysis.plan.null_control else suit(words.NO_NULL, analysis)
    if analysis.exploratory:
        return _fill(words.NULL_LEAD, null, analysis)
    if null.detected:
        return _fill(words.NULL_NOTICED, null, analysis)
    return f"{_fill(words.NULL_MISSED, null, analysis)} {_say_null_allows(null)}"


def _say_null_allows(null: ControlResult) -> str:
    if null.critical is None:
        return words.NULL_FEW.format(answers=show_count(null.trials, "answer"))
    if null.pd_upper is None:
        return words.NULL_BELOW
    return words.NULL_ALLOWS.format(upper=show_share(null.pd_upper))


def say_positive(analysis: Analysis) -> list[str]:
    """Say what the positive control showed; that none was served matters after a miss only."""
    positive = analysis.find_control(Purpose.POSITIVE)
    if positive is None or positive.declared is None:
        if analysis.main.detected:
            return []
        planned = analysis.plan.positive_control is not None
        return [fill(words.POSITIVE_EMPTY if planned else words.NO_POSITIVE, analysis)]
    return [_say_declared(analysis, positive, positive.declared)]


def _say_declared(analysis: Analysis, positive: ControlResult, declared: DeclaredSize) -> str:
    return _fill(
        _choose_positive(analysis, positive),
        positive,
        analysis,
        label=declared.label,
        size=show_share(declared.share),
        power=show_share(declared.power),
        needed=show_share(GOOD_POWER),
    )


def _choose_positive(analysis: Analysis, positive: ControlResult) -> str:
    if analysis.exploratory:
        return words.POSITIVE_LEAD
    if not positive.is_large_enough:
        return words.POSITIVE_SMALL
    return words.POSITIVE_PASSED if positive.passed else words.POSITIVE_MISSED


def _fill(template: str, control: ControlResult, analysis: Analysis, **more: str) -> str:
    counted = {"k": str(control.correct), "n": str(control.trials)}
    return fill(template, analysis, **counted, **more)
