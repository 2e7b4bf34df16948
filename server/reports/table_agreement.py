"""Who disagrees? The sentences of the first page that answer it, and what to do about it."""

from collections.abc import Iterator

from server.reports import table_words as words
from server.reports.display import NO_VALUE, show_count, show_p, show_share
from server.reports.scored import TableAnalysis
from server.reports.scored_otherwise import find_against
from server.reports.scored_readings import TableReading
from server.reports.table_figures.shown import list_names, show_value
from server.reports.table_grids import name_question
from server.reports.table_verdicts import FEWEST_PEOPLE
from server.sheets.analysis import Analysis

MOST_NAMES = 6


def say_disagreement(analysis: TableAnalysis) -> tuple[str, ...]:
    """Say who goes against the rest; without a declared question, in whichever it is."""
    numbers, people = analysis.numbers, analysis.people
    if numbers is None:
        return (words.NO_NUMBERS,)
    if len(people) < FEWEST_PEOPLE:
        return (words.TOO_FEW.format(people=show_count(len(people), "person", "persons")),)
    return tuple(_say(analysis, numbers))


def _say(analysis: TableAnalysis, numbers: Analysis) -> Iterator[str]:
    against = list_against(numbers)
    if not against:
        yield words.NOBODY
        return
    primary = find_against(numbers, analysis.primary) if analysis.primary else ()
    for who, questions in sorted(against.items(), key=lambda one: one[0] not in primary):
        yield _say_against(analysis, numbers, who, questions)
        if who in primary:
            yield from _say_without(analysis, who)
    yield words.AGAINST_WHAT_TO_DO
    yield _say_chance(analysis, numbers)


def list_against(numbers: Analysis) -> dict[str, list[str]]:
    """Return the questions in which somebody goes against the rest, by who it is."""
    found: dict[str, list[str]] = {}
    for question, one in numbers.attributes.items():
        for who in one.against:
            found.setdefault(who, []).append(question)
    return found


def _say_against(analysis: TableAnalysis, numbers: Analysis, who: str, questions: list[str]) -> str:
    first = analysis.primary if analysis.primary in questions else questions[0]
    one = numbers.attributes[first]
    samples = sum(mean is not None for mean in one.samples.means.values())
    order = sorted(questions, key=lambda name: name != first)
    return words.AGAINST.format(
        who=who[:1].upper() + who[1:],
        questions=list_names([name_question(analysis, name) for name in order], MOST_NAMES),
        r=show_value(one.assessors[who].agreement_r),
        samples=show_count(samples, "sample"),
    )


def _say_without(analysis: TableAnalysis, who: str) -> Iterator[str]:
    rest = next((one for one in analysis.readings if one.who == who), None)
    if rest is not None:
        yield words.AGAINST_PRIMARY.format(
            all=_show(analysis.readings[0]), who=who, rest=_show(rest)
        )


def _show(one: TableReading) -> str:
    if one.f is None or one.p_value is None:
        return NO_VALUE
    shown = show_p(one.p_value)
    return (
        f"F {show_value(one.f)}, p {shown}"
        if "<" in shown
        else (f"F {show_value(one.f)}, p = {shown}")
    )


def _say_chance(analysis: TableAnalysis, numbers: Analysis) -> str:
    looks = sum(
        work.agreement_r is not None
        for one in numbers.attributes.values()
        for work in one.assessors.values()
    )
    return words.AGAINST_BY_CHANCE.format(
        looks=show_count(
            looks, "pairing of person and question", "pairings of person and question"
        ),
        expected=f"{looks * analysis.alpha:.1f}",
        alpha=show_share(analysis.alpha),
    )
