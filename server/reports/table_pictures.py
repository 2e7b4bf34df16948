"""The figures of a scored table, from its analysis; drawn elsewhere, one by one."""

from collections.abc import Iterator
from dataclasses import dataclass, replace

from server.reports.scored import TableAnalysis
from server.reports.table_figures.assessors import build_assessors
from server.reports.table_figures.flags import build_flags
from server.reports.table_figures.interaction import build_interaction
from server.reports.table_figures.maps import Map
from server.reports.table_figures.own_words import build_own_words
from server.reports.table_figures.pictures import Figure
from server.reports.table_figures.profile import Profile, build_profile
from server.reports.table_figures.right import build_right
from server.reports.table_figures.sample_map import build_sample_map
from server.reports.table_figures.shown import Names
from server.reports.table_figures.word_map import build_word_map
from server.reports.table_names import name_all
from server.reports.table_verdicts import list_tests
from server.sheets.scores import collect_ratings, group_scores
from server.stats.profiles import build_profile as build_cells
from server.stats.sample_map import draw_map

TITLES = {
    "profile": "Means and every score behind them",
    "lines": "Assessors over samples",
    "assessors": "How each assessor worked: {question}",
    "flags": "Flags, cup by cup: {question}",
    "right": "Too little, about right, too much",
    "map": "Map of the samples",
    "words": "Map of ticked words: {question}",
    "own-words": "Map from personal words",
}
TOO_FEW_OWN = "No map: fewer than two people scored all samples by words of their own."
MORE = {"map", "words", "own-words"}
"""Figures among the further analyses."""


@dataclass(frozen=True)
class Picture:
    """A figure: its name in addresses, its title, its data, and whether it is a further one."""

    name: str
    title: str
    data: Figure
    further: bool


def list_pictures(analysis: TableAnalysis) -> tuple[Picture, ...]:
    """List every figure that a table has, the most used first."""
    names = name_all(analysis)
    return (*_picture_numbers(analysis, names), *_picture_others(analysis, names))


def _picture_numbers(analysis: TableAnalysis, names: Names) -> Iterator[Picture]:
    numbers, scores = analysis.numbers, analysis.scores
    if numbers is None:
        return
    asked = order_questions(analysis)
    profile = build_profile(numbers, scores, names, asked)
    yield _frame("profile", profile if analysis.control is None else _judge(analysis, profile))
    yield _frame("lines", build_interaction(numbers, scores, names, asked))
    for place, question in enumerate(asked, 1):
        data = build_assessors(numbers, scores, question, names)
        yield _frame("assessors", data, names.attribute(question), place, further=place > 1)
    yield _frame("map", _map_samples(analysis, names))


def _judge(analysis: TableAnalysis, profile: Profile) -> Profile:
    """Judge the declared question, which comes first, by the blind control; pairs are not."""
    first, *rest = profile.panels
    test = list_tests(analysis)[analysis.primary]
    rows = tuple(replace(one, letters=None) for one in first.rows)
    judged = replace(first, p_value=test.p_value, standing=test.standing, rows=rows)
    return replace(profile, panels=(judged, *rest))


def _picture_others(analysis: TableAnalysis, names: Names) -> Iterator[Picture]:
    others = analysis.others
    for place, (question, found) in enumerate(others.flags.items(), 1):
        called = names.attribute(question)
        data = build_flags(question, found.said, found.highest, names)
        yield _frame("flags", data, called, place)
    if others.sides:
        counts = {name: one.counts for name, one in others.sides.items()}
        yield _frame("right", build_right(counts, names))
    for place, (question, ticks) in enumerate(others.ticks.items(), 1):
        yield _frame("words", build_word_map(ticks, names), names.attribute(question), place)
    if analysis.own_words is not None:
        yield _frame("own-words", _map_own_words(analysis, names))


def _frame(
    kind: str, data: Figure, question: str = "", place: int = 0, *, further: bool = False
) -> Picture:
    name = f"{kind}-{place}" if place else kind
    title = TITLES[kind].format(question=question)
    return Picture(name, title, data, further or kind in MORE)


def order_questions(analysis: TableAnalysis) -> list[str]:
    """Return the questions with numbers, the declared one first, then as on the sheet."""
    assert analysis.numbers is not None
    names = list(analysis.numbers.attributes)
    return sorted(names, key=lambda name: name != analysis.primary)


def _map_samples(analysis: TableAnalysis, names: Names) -> Map:
    """Map the samples by all that was scored; changes over passes follow from the rest."""
    assert analysis.numbers is not None
    kept = {
        name: collect_ratings(mine)
        for name, mine in group_scores(analysis.scores).items()
        if name in analysis.numbers.attributes and " to " not in name
    }
    return build_sample_map(draw_map(build_cells(kept)), names)


def _map_own_words(analysis: TableAnalysis, names: Names) -> Map:
    own = analysis.own_words
    if own is None or own.consensus is None or own.check is None or own.words is None:
        return Map(reason=TOO_FEW_OWN)
    return build_own_words(own.consensus, own.check, own.words, names, analysis.alpha)
