"""The numbers of a series, and its tables: right answers by step, best estimates by seat."""

from collections.abc import Iterator

from server.reports.display import NO_VALUE, show_p, show_share
from server.reports.numbers import NumberLine
from server.reports.series import labels
from server.reports.series.analysis import SeriesAnalysis, SeriesReading
from server.reports.series.showing import show_concentration, show_limits
from server.reports.tables import Table
from server.stats.dose import DoseFit
from server.stats.threshold import BestEstimates


def list_numbers(analysis: SeriesAnalysis) -> tuple[NumberLine, ...]:
    """List the numbers; only the first line if there is none."""
    main, unit = analysis.main, analysis.series.unit
    n = len(main.answers)
    lines = [_line("answers", labels.OF.format(k=n, n=analysis.planned))]
    if main.curve is not None and main.best is not None:
        lines += _show_curve(main.curve, unit)
        lines += _show_best(main.best, unit)
        expected = f"{analysis.chance * n:.1f}"
        correct = sum(one.correct for one in main.answers)
        lines.insert(1, _line("correct", labels.RIGHT.format(k=correct, n=n, expected=expected)))
    return tuple(lines)


def _line(name: str, value: str) -> NumberLine:
    return NumberLine(name, labels.NUMBERS[name], value)


def _show_curve(curve: DoseFit, unit: str) -> Iterator[NumberLine]:
    yield _line(
        "threshold", show_limits(curve.threshold, curve.threshold_interval, unit, curve.level)
    )
    yield _line("slope", NO_VALUE if curve.slope is None else f"{curve.slope:.2f}")
    if curve.fit is not None:
        statistic, p = f"{curve.fit.statistic:.2f}", show_p(curve.fit.p_value)
        yield _line("fit", labels.FIT.format(statistic=statistic, df=curve.fit.df, p=p))


def _show_best(best: BestEstimates, unit: str) -> Iterator[NumberLine]:
    yield _line("group", show_limits(best.threshold, best.threshold_interval, unit, best.level))
    below, above = best.past_below, best.past_above
    yield _line("estimates", labels.ESTIMATES.format(n=best.estimated, below=below, above=above))
    yield _line("spread", NO_VALUE if best.sd_log is None else f"{best.sd_log:.3f}")
    yield _line("luck", labels.LUCK.format(steps=f"{best.luck:.2f}"))


def list_tables(analysis: SeriesAnalysis) -> tuple[Table, ...]:
    """List right answers by step, and everybody's answers with their best estimate."""
    if analysis.main.curve is None or analysis.main.best is None:
        return ()
    steps = tuple(_list_steps(analysis.main.curve, analysis.series.unit))
    people = tuple(_list_people(analysis, analysis.main.best))
    head = (labels.PEOPLE_HEAD[0], *_name_steps(analysis), *labels.PEOPLE_HEAD[1:])
    tables = [
        Table("steps", labels.STEPS_TITLE, labels.STEPS_HEAD, steps),
        Table("people", labels.PEOPLE_TITLE, head, people),
    ]
    return (*tables, *_list_readings(analysis))


def _name_steps(analysis: SeriesAnalysis) -> tuple[str, ...]:
    return tuple(f"{one:f} {analysis.series.unit}" for one in analysis.series.steps)


def _list_steps(curve: DoseFit, unit: str) -> Iterator[tuple[str, ...]]:
    fitted = curve.fitted or (None,) * len(curve.steps)
    for step, pc in zip(curve.steps, fitted, strict=True):
        yield (
            show_concentration(step.concentration, unit),
            labels.OF.format(k=step.correct, n=step.trials),
            show_share(step.correct / step.trials),
            NO_VALUE if pc is None else show_share(pc),
        )


def _list_people(analysis: SeriesAnalysis, best: BestEstimates) -> Iterator[tuple[str, ...]]:
    given = {(one.seat, one.round): one.correct for one in analysis.judged}
    rounds = range(1, len(analysis.series.steps) + 1)
    for one in best.estimates:
        marks = (labels.MARKS[given.get((int(one.assessor), number))] for number in rounds)
        value = show_concentration(one.threshold, analysis.series.unit)
        yield one.assessor, *marks, labels.PAST[one.past].format(value=value), str(one.guesses)


def _list_readings(analysis: SeriesAnalysis) -> Iterator[Table]:
    """Tabulate every way to count, if there is more than the planned one."""
    from server.reports.labels import READINGS

    if analysis.alternatives:
        rows = tuple(
            (READINGS[one.name], str(len(one.answers)), *_show_reading(analysis, one))
            for one in (analysis.main, *analysis.alternatives)
        )
        numbers = labels.NUMBERS
        head = ("", numbers["answers"], numbers["threshold"], numbers["group"])
        yield Table("readings", labels.READINGS_TITLE, head, rows)


def _show_reading(analysis: SeriesAnalysis, one: SeriesReading) -> tuple[str, str]:
    unit, level = analysis.series.unit, analysis.level
    curve, best = one.curve, one.best
    if curve is None or best is None:
        return NO_VALUE, NO_VALUE
    return (
        show_limits(curve.threshold, curve.threshold_interval, unit, level),
        show_limits(best.threshold, best.threshold_interval, unit, level),
    )
