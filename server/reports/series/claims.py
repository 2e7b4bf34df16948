"""What a series supports: its headline, what may be said, what not, and what comes next."""

from collections.abc import Iterator

from server.brewing.match import Verdict as Match
from server.reports.display import join_words, show_share
from server.reports.headline_words import EXPLORATORY_REASONS
from server.reports.series import words
from server.reports.series.analysis import SeriesAnalysis
from server.reports.series.showing import show_concentration, show_ends
from server.reports.series.verdicts import FOUND, WITHOUT_NUMBERS, SeriesVerdict

OUTSIDE = {SeriesVerdict.BELOW, SeriesVerdict.ABOVE}
LOWER = {SeriesVerdict.BELOW, SeriesVerdict.ALL_RIGHT}
HIGHER = {SeriesVerdict.ABOVE, SeriesVerdict.NOT_NOTICED}


def say_headline(analysis: SeriesAnalysis, verdict: SeriesVerdict) -> str:
    """Say the conclusion in one sentence."""
    return words.HEADLINES[verdict].format(**collect_facts(analysis))


def collect_facts(analysis: SeriesAnalysis) -> dict[str, str]:
    """Collect what sentences are filled with."""
    main, series, unit = analysis.main, analysis.series, analysis.series.unit
    correct, n = sum(one.correct for one in main.answers), len(main.answers)
    curve, best = main.curve, main.best
    low, high = show_ends((curve and curve.threshold_interval) or (None, None), unit)
    return {
        "substance": series.substance,
        "base": analysis.base,
        "attribute": analysis.plan.attribute,
        "threshold": show_concentration(curve.threshold if curve else None, unit),
        "low": low,
        "high": high,
        "level": show_share(analysis.level),
        "first": f"{series.steps[0]:f} {unit}",
        "last": f"{series.steps[-1]:f} {unit}",
        "steps": str(len(series.steps)),
        "k": str(correct),
        "n": str(n),
        "expected": f"{analysis.chance * n:.1f}",
        "group": show_concentration(best.threshold if best else None, unit),
        "people": str(best.estimated if best else 0),
        "rivals": _say_rivals(analysis),
        "reason": _say_reason(analysis),
    }


def _say_rivals(analysis: SeriesAnalysis) -> str:
    rivals = [one.name for one in analysis.properties if one.state == Match.NOT_MATCHED]
    return f"{join_words(rivals)} {'was' if len(rivals) == 1 else 'were'}" if rivals else ""


def _say_reason(analysis: SeriesAnalysis) -> str:
    return EXPLORATORY_REASONS[analysis.exploratory[0]] if analysis.exploratory else ""


def list_may_say(analysis: SeriesAnalysis, verdict: SeriesVerdict) -> tuple[str, ...]:
    """List what may be said, the strongest first."""
    facts = collect_facts(analysis)
    return tuple(one.format(**facts) for one in _choose_may_say(analysis, verdict))


def _choose_may_say(analysis: SeriesAnalysis, verdict: SeriesVerdict) -> Iterator[str]:
    if verdict in WITHOUT_NUMBERS:
        return
    if verdict == SeriesVerdict.EXPLORATORY:
        yield words.LEAD
        return
    if verdict not in FOUND:
        yield words.OUTSIDE if verdict in OUTSIDE else words.NOT_REACHED
        return
    yield words.JUMPED if verdict == SeriesVerdict.BETWEEN else words.HALF
    yield from _say_group(analysis)
    yield words.RIGHT[bool(analysis.plan.attribute)]


def _say_group(analysis: SeriesAnalysis) -> Iterator[str]:
    best, unit = analysis.main.best, analysis.series.unit
    if best is None or best.threshold is None:
        return
    limits = ""
    if best.threshold_interval is not None:
        low, high = show_ends(best.threshold_interval, unit)
        limits = words.GROUP_LIMITS.format(level=show_share(best.level), low=low, high=high)
    yield words.GROUP.replace("{limits}", limits)


def list_may_not_say(analysis: SeriesAnalysis, verdict: SeriesVerdict) -> tuple[str, ...]:
    """List what may not be said; that it is safe comes first."""
    if verdict in WITHOUT_NUMBERS:
        return words.NOT_SAFE, words.NOTHING
    found = verdict in FOUND
    return (
        words.NOT_SAFE,
        *((words.NOT_NOBODY,) if found else (words.NOT_NOBODY_YET, words.NOT_A_FINDING)),
        *((words.NOT_EXTRAPOLATED,) if verdict in OUTSIDE else ()),
        *(() if analysis.plan.attribute else (words.NOT_NAMED,)),
        words.NOT_ONE,
        words.NOT_OTHERS,
        words.NOT_LIKED,
    )


def list_next_steps(analysis: SeriesAnalysis, verdict: SeriesVerdict) -> tuple[str, ...]:
    """List what to do next."""
    facts = collect_facts(analysis)
    return tuple(one.format(**facts) for one in _choose_next(analysis, verdict))


def _choose_next(analysis: SeriesAnalysis, verdict: SeriesVerdict) -> Iterator[str]:
    if verdict in WITHOUT_NUMBERS or verdict == SeriesVerdict.EXPLORATORY:
        yield words.NEXT_WHOLE
        return
    if any(one.is_rival for one in analysis.properties):
        yield words.NEXT_MATCH
    if verdict in LOWER:
        yield words.NEXT_LOWER
    elif verdict in HIGHER:
        yield words.NEXT_HIGHER
    elif verdict == SeriesVerdict.NOT_ESTIMABLE:
        yield words.NEXT_MORE
    else:
        if verdict != SeriesVerdict.BETWEEN:
            yield words.NEXT_CLOSER
        yield words.NEXT_REPEAT
