"""The numbers about several answers of a person, after all others."""

from collections.abc import Iterator

from server.reports import numbers
from server.reports.analysis import Analysis
from server.reports.display import show_p, show_share
from server.reports.numbers import NumberLine
from server.reports.repeats import labels
from server.stats.betabinomial import BetaBinomialFit
from server.stats.replicates import ReplicatesResult


def list_numbers(analysis: Analysis) -> tuple[NumberLine, ...]:
    """List the numbers; exact p of all answers together stands among the first as ever."""
    found = analysis.repeats
    lines = numbers.list_numbers(analysis)
    return lines if found is None else (*lines, *_show_people(analysis.plan.several, found))


def _line(name: str, value: str) -> NumberLine:
    return NumberLine(name, labels.NUMBERS[name], value)


def _show_people(decides: str, found: ReplicatesResult) -> Iterator[NumberLine]:
    yield _line("decides", labels.DECIDES[decides])
    mean = found.mean_against_chance.p_value
    yield _line("mean_p", labels.NOTHING if mean is None else show_p(mean))
    if found.all_guessing is not None:
        yield _line("pattern_p", show_p(found.all_guessing.p_value))
    if found.corrected is not None:
        yield from _show_model(found.corrected)


def _show_model(fit: BetaBinomialFit) -> Iterator[NumberLine]:
    level = show_share(fit.level)
    low, high = (show_share(one) for one in fit.mean_interval)
    share = {"value": show_share(fit.mean), "low": low, "high": high}
    yield _line("mean_share", labels.LIMITS.format(level=level, **share))
    if fit.gamma is None or fit.gamma_interval is None:
        yield _line("gamma", labels.NOTHING)
    else:
        least, most = (f"{one:.2f}" for one in fit.gamma_interval)
        gamma = {"value": f"{fit.gamma:.2f}", "low": least, "high": most}
        yield _line("gamma", labels.LIMITS.format(level=level, **gamma))
    compared = fit.against_binomial
    yield _line("differ_p", labels.NOTHING if compared is None else show_p(compared.p_value))
