"""Which of the few possible conclusions the answers along a series support."""

from enum import StrEnum

from server.blinding.events import State
from server.brewing.match import Verdict as Match
from server.reports.series.analysis import SeriesAnalysis
from server.stats.dose import ALL_CORRECT, JUMP, NO_MORE_THAN_GUESSING


class SeriesVerdict(StrEnum):
    """Every conclusion there is."""

    NOTICED_FROM = "noticed_from"
    NOTICED_FROM_NOT_MATCHED = "noticed_from_not_matched"
    BETWEEN = "between"
    BELOW = "below"
    ABOVE = "above"
    ALL_RIGHT = "all_right"
    NOT_NOTICED = "not_noticed"
    NOT_ESTIMABLE = "not_estimable"
    EXPLORATORY = "exploratory"
    ABANDONED = "abandoned"
    NO_ANSWERS = "no_answers"


FOUND = {
    SeriesVerdict.NOTICED_FROM,
    SeriesVerdict.NOTICED_FROM_NOT_MATCHED,
    SeriesVerdict.BETWEEN,
}
"""Conclusions that name a concentration within the series."""
WITHOUT_NUMBERS = {SeriesVerdict.ABANDONED, SeriesVerdict.NO_ANSWERS}


def decide_series(analysis: SeriesAnalysis) -> SeriesVerdict:
    """Choose the one conclusion; what voids a conclusion comes before what it would be."""
    if analysis.state == State.ABANDONED:
        return SeriesVerdict.ABANDONED
    if analysis.main.curve is None:
        return SeriesVerdict.NO_ANSWERS
    if analysis.exploratory:
        return SeriesVerdict.EXPLORATORY
    curve = analysis.main.curve
    threshold, limits = curve.threshold, curve.threshold_interval
    if threshold is None:
        return _decide_without_curve(analysis)
    if limits is None or limits == (None, None):
        return SeriesVerdict.NOT_ESTIMABLE
    if threshold < curve.steps[0].concentration:
        return SeriesVerdict.BELOW
    if threshold > curve.steps[-1].concentration:
        return SeriesVerdict.ABOVE
    return _decide_found(analysis)


def _decide_found(analysis: SeriesAnalysis) -> SeriesVerdict:
    if any(one.state == Match.NOT_MATCHED for one in analysis.properties):
        return SeriesVerdict.NOTICED_FROM_NOT_MATCHED
    return SeriesVerdict.NOTICED_FROM


def _decide_without_curve(analysis: SeriesAnalysis) -> SeriesVerdict:
    curve = analysis.main.curve
    assert curve is not None
    limits = curve.threshold_interval
    if ALL_CORRECT in curve.notes:
        return SeriesVerdict.ALL_RIGHT
    if NO_MORE_THAN_GUESSING in curve.notes:
        return SeriesVerdict.NOT_NOTICED
    if JUMP in curve.notes and limits is not None and None not in limits:
        return SeriesVerdict.BETWEEN
    return SeriesVerdict.NOT_ESTIMABLE
