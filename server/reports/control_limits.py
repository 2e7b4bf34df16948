"""What the controls showed, or that none was served, as limits of a conclusion."""

from server.blinding.plans import Purpose
from server.reports import limit_words
from server.reports.analysis import Analysis
from server.reports.controls import ControlResult, DeclaredSize
from server.reports.display import NO_VALUE, show_count, show_points, show_share
from server.reports.facts import fill, suit
from server.reports.reach import GOOD_POWER


def say_null(analysis: Analysis) -> str:
    """Say what the null control showed, or that nothing is known of brews alone."""
    null = analysis.find_control(Purpose.NULL)
    if null is None and analysis.plan.single_cups:
        return limit_words.NULL_POINTLESS
    if null is None:
        return (
            limit_words.NULL_EMPTY
            if analysis.plan.null_control
            else suit(limit_words.NO_NULL, analysis)
        )
    if analysis.exploratory:
        return _fill(limit_words.NULL_LEAD, null, analysis)
    said = [
        _fill(
            limit_words.NULL_NOTICED if null.detected else limit_words.NULL_MISSED, null, analysis
        )
    ]
    if not null.detected:
        said.append(_say_null_allows(null))
    return " ".join([*said, *_compare_with_test(null, analysis.level)])


def _compare_with_test(null: ControlResult, level: float) -> list[str]:
    """Say how far the test's share right lies from that of brews alone, and what that allows."""
    limits = null.difference_interval
    if null.difference is None or limits is None:
        return []
    known = (
        (limit_words.NULL_EXCEEDED, limits.low > 0),
        (limit_words.NULL_ABOVE_TEST, limits.high < 0),
    )
    allows = next((one for one, is_so in known if is_so), limit_words.NULL_NOT_EXCEEDED)
    difference, low, high = (show_points(one) for one in (null.difference, *limits))
    compared = {"difference": difference, "low": low, "high": high, "level": show_share(level)}
    return [limit_words.NULL_AGAINST_TEST.format(**compared, allows=allows)]


def _say_null_allows(null: ControlResult) -> str:
    if null.critical is None:
        return limit_words.NULL_FEW.format(answers=show_count(null.trials, "answer"))
    if null.pd_upper is None:
        return limit_words.NULL_BELOW
    return limit_words.NULL_ALLOWS.format(upper=show_share(null.pd_upper))


def say_positive(analysis: Analysis) -> list[str]:
    """Say what the positive control showed; that none was served matters after a miss only."""
    positive = analysis.find_control(Purpose.POSITIVE)
    if positive is None or positive.declared is None:
        if analysis.main.detected:
            return []
        planned = analysis.plan.positive_control is not None
        return [fill(limit_words.POSITIVE_EMPTY if planned else limit_words.NO_POSITIVE, analysis)]
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
        limits=_show_limits(positive, analysis.level),
    )


def _show_limits(control: ControlResult, level: float) -> str:
    if control.pc_interval is None:
        return NO_VALUE
    low, high = (show_share(one) for one in control.pc_interval)
    return limit_words.LIMITS_RIGHT.format(level=show_share(level), low=low, high=high)


def _choose_positive(analysis: Analysis, positive: ControlResult) -> str:
    if analysis.exploratory:
        return limit_words.POSITIVE_LEAD
    if not positive.is_large_enough:
        return limit_words.POSITIVE_SMALL
    return limit_words.POSITIVE_PASSED if positive.passed else limit_words.POSITIVE_MISSED


def _fill(template: str, control: ControlResult, analysis: Analysis, **more: str) -> str:
    counted = {"k": str(control.correct), "n": str(control.trials)}
    return fill(template, analysis, **counted, **more)
