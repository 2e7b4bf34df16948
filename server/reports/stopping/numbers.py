"""The numbers of a sequential test: how it ended, and the exact risks of its plan."""

from collections.abc import Iterator
from dataclasses import replace

from server.reports import numbers
from server.reports.analysis import Analysis
from server.reports.display import show_count, show_p
from server.reports.numbers import NumberLine, ReadingLine
from server.reports.stopping import labels
from server.reports.stopping.facts import find_risks, get_path, list_looks, say_sequence
from server.reports.stopping.following import make_sequential

FIXED = {
    "critical", "p_value", "pc", "pd", "pd_upper", "d_prime", "power_planned", "power_reached",
    "findable",
}  # fmt: skip
"""Numbers that hold only where no answer decided how many there were."""


def list_numbers(analysis: Analysis) -> tuple[NumberLine, ...]:
    """List the numbers; how the test ended comes after the count."""
    shared = [one for one in numbers.list_numbers(analysis) if one.name not in FIXED]
    if analysis.sequence is None:
        return tuple(shared)
    return (*shared[:2], *_show_end(analysis), *shared[2:], *_show_risks(analysis))


def list_readings(analysis: Analysis) -> tuple[ReadingLine, ...]:
    """List every way to count, with how each would have ended the test."""
    readings = (analysis.main, *analysis.alternatives)
    lines = numbers.list_readings(analysis)
    return tuple(
        replace(line, p=labels.NEVER, outcome=labels.OUTCOMES.get(one.ended, labels.NEVER))
        for line, one in zip(lines, readings, strict=False)
    )


def _line(name: str, value: str, **facts: str) -> NumberLine:
    return NumberLine(name, labels.NUMBERS[name].format(**facts), value)


def _show_end(analysis: Analysis) -> Iterator[NumberLine]:
    path = get_path(analysis)
    yield _line("ended", labels.ENDED[path.decision])
    yield _line("looks", show_count(len(list_looks(path)), "block"))
    yield _line("p_value", labels.NO_P)


def _show_risks(analysis: Analysis) -> Iterator[NumberLine]:
    risks, size = find_risks(make_sequential(analysis.plan)), say_sequence("{size}", analysis)
    yield _line("true_alpha", show_p(risks.false_alarm))
    yield _line("true_beta", show_p(risks.miss), size=size)
    yield _line("mean_guessing", f"{risks.mean_guessing:.1f}")
    yield _line("mean_size", f"{risks.mean_size:.1f}", size=size)
