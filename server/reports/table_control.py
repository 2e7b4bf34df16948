"""How far each sample is from the control: sentences, numbers and a table of the finding."""

from collections.abc import Iterator

from server.reports import table_method_words as words
from server.reports import table_words
from server.reports.display import NO_VALUE, show_count, show_p, show_share
from server.reports.scored import TableAnalysis
from server.reports.table_figures.shown import LIMITS, Names, list_names, show_p_value
from server.reports.table_grid import Grid
from server.reports.table_names import show_points
from server.stats.against_control import AgainstControl, Compared
from server.stats.binomial import reaches

MOST_NAMES = 6


def say_control(analysis: TableAnalysis) -> Iterator[str]:
    """Say of every sample how far it is off, beside how far the control is from itself."""
    found = analysis.control
    if found is None:
        return
    if found.base is None:
        yield words.CONTROL_BASE_NONE
        return
    base = show_points(found.base)
    yield words.CONTROL_BASE.format(control=analysis.label(found.control), base=base)
    yield from (_say_one(analysis, one) for one in found.samples)
    samples = show_count(len(found.samples), "sample")
    level = show_share(1 - found.alpha)
    yield words.CONTROL_HOW.format(samples=samples, level=level)
    yield from _say_few(found, samples)


def _say_one(analysis: TableAnalysis, one: Compared) -> str:
    sample = analysis.label(one.sample)
    if one.difference is None or one.p_value is None:
        why = words.CONTROL_FINE if one.people else words.CONTROL_NOBODY
        return words.CONTROL_NONE.format(sample=sample, why=why)
    limited = one.lower is not None and one.upper is not None
    sentence = words.CONTROL_EACH if limited else words.CONTROL_NO_LIMITS
    return sentence.format(
        sample=sample,
        mean=show_points(one.mean),
        base=show_points(one.control),
        difference=show_points(one.difference),
        lower=show_points(one.lower),
        upper=show_points(one.upper),
        p=show_p_value(one.p_adjusted),
        told=words.TOLD[one.apart],
    )


def _say_few(found: AgainstControl, samples: str) -> Iterator[str]:
    people = min((one.people for one in found.samples if one.people), default=0)
    if people and not reaches(0.5**people * len(found.samples), found.alpha):
        yield words.CONTROL_FEW.format(
            alpha=show_share(found.alpha),
            people=show_count(people, "person", "people"),
            least=show_p(0.5**people),
            samples=samples,
        )


def list_apart(analysis: TableAnalysis) -> str:
    """Name the samples further from the control than the control itself."""
    found = analysis.control
    apart = [one.sample for one in found.samples if one.apart] if found else []
    return list_names([f"“{analysis.label(one)}”" for one in apart], MOST_NAMES)


def show_control(analysis: TableAnalysis, names: Names) -> Iterator[Grid]:
    """Show every sample against the blind control."""
    found = analysis.control
    if found is not None:
        title = words.CONTROL_TITLE.format(question=names.attribute(analysis.primary))
        rows = tuple(_show_one(names, one) for one in found.samples)
        yield Grid("control", title, words.CONTROL_HEAD, rows)


def _show_one(names: Names, one: Compared) -> tuple[str, ...]:
    limited = one.lower is not None and one.upper is not None
    limits = LIMITS.format(show_points(one.lower), show_points(one.upper)) if limited else NO_VALUE
    return (
        names.sample(one.sample),
        show_points(one.mean),
        show_points(one.control),
        show_points(one.difference),
        limits,
        NO_VALUE if one.p_adjusted is None else show_p(one.p_adjusted),
        table_words.YES if one.apart else table_words.NO,
        str(one.people),
    )
