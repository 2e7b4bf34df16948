"""Tables of a scored table's finding; every cell is ready to print."""

from collections.abc import Iterator

from server.reports import table_words as words
from server.reports.display import NO_VALUE, show_p, show_share
from server.reports.scored import TableAnalysis
from server.reports.scored_bowls import Uniformity
from server.reports.table_control import show_control
from server.reports.table_figures.shown import Names, show_value
from server.reports.table_grid import Grid
from server.reports.table_match import show_brews
from server.reports.table_names import name_all, show_points
from server.reports.table_orders import show_orders
from server.reports.table_verdicts import Test, list_tests
from server.sheets.filled import name_score
from server.sheets.scales.base import Analysis


def list_grids(analysis: TableAnalysis) -> tuple[Grid, ...]:
    """List the tables beside the figures' own; those without rows are left out."""
    names = name_all(analysis)
    grids = (
        _show_questions(analysis, names),
        *show_control(analysis, names),
        *_show_bowls(analysis, names),
        *_show_reference(analysis, names),
        *_show_ticks(analysis, names),
        *show_orders(analysis, names),
        *_show_sides(analysis, names),
        *_show_own_words(analysis),
        show_brews(analysis),
        _show_remarks(analysis, names),
    )
    return tuple(one for one in grids if one.rows)


def _show_questions(analysis: TableAnalysis, names: Names) -> Grid:
    rows = tuple(
        (names.attribute(name), _show_test(analysis, name, one), _p(one.p_value), _stand(one))
        for name, one in list_tests(analysis).items()
    )
    return Grid("questions", words.QUESTIONS_TITLE, words.QUESTIONS_HEAD, rows)


def _stand(one: Test) -> str:
    return words.STANDINGS[one.standing]


def _show_test(analysis: TableAnalysis, name: str, test: Test) -> str:
    if analysis.control is not None and name == analysis.primary:
        return words.TEST_CONTROL
    if not test.numeric or analysis.numbers is None:
        return words.TESTS[False]
    return words.TESTS[True].format(f=show_value(analysis.numbers.attributes[name].samples.f))


def _p(p: float | None) -> str:
    return NO_VALUE if p is None else show_p(p)


def _show_bowls(analysis: TableAnalysis, names: Names) -> Iterator[Grid]:
    if analysis.bowls is not None:
        rows, shared = tuple(_list_bowls(analysis.bowls, names)), analysis.bowls.shared
        yield Grid("bowls", words.UNIFORM_TITLES[shared], words.UNIFORM_HEADS[shared], rows)


def _list_bowls(found: Uniformity, names: Names) -> Iterator[tuple[str, ...]]:
    for question, one in found.questions.items():
        if one.test is None:
            continue
        apart = [x.bowl for x in (*found.apart, *found.leads) if x.question == question]
        yield (
            names.attribute(question),
            show_points(one.spread),
            show_points(one.error),
            _p(one.test.p_value),
            ", ".join(apart) or "–",
        )


def _show_reference(analysis: TableAnalysis, names: Names) -> Iterator[Grid]:
    level = analysis.table.reference
    if level and analysis.numbers is not None:
        rows = []
        for question, one in analysis.numbers.attributes.items():
            if analysis.control is not None and question == analysis.primary:
                continue  # has a table of its own
            means, letters = one.samples.means, one.samples.letters
            base = means.get(level)
            for sample, mean in means.items():
                if sample != level and mean is not None and base is not None:
                    told = tell_apart(letters.get(sample), letters.get(level))
                    difference = show_points(mean - base)
                    rows.append((names.attribute(question), names.sample(sample), difference, told))
        yield Grid("reference", words.REFERENCE_TITLE, words.REFERENCE_HEAD, tuple(rows))


def tell_apart(one: str | None, other: str | None) -> str:
    """Say whether two samples share a letter.

    Examples
    --------
    >>> tell_apart("a", "ab"), tell_apart("a", "b"), tell_apart(None, "a")
    ('no', 'yes', 'not estimable')
    """
    if one is None or other is None:
        return NO_VALUE
    return words.NO if set(one) & set(other) else words.YES


def _show_ticks(analysis: TableAnalysis, names: Names) -> Iterator[Grid]:
    for question, found in analysis.others.ticks.items():
        samples = tuple(names.sample(one) for one in found.samples)
        rows = tuple(
            (
                word,
                _p(one.p_holm),
                *(show_share(one.shares[s]) if s in one.shares else "–" for s in found.samples),
            )
            for word, one in found.words.items()
        )
        title = words.TICKS_TITLE.format(question=names.attribute(question))
        yield Grid(f"ticks-{question}", title, (*words.TICKS_HEAD, *samples), rows)


def _show_sides(analysis: TableAnalysis, names: Names) -> Iterator[Grid]:
    for question, found in analysis.others.sides.items():
        rows = []
        for sample, one in found.liking.items():
            for side, called in ((one.low, words.TOO_LITTLE), (one.high, words.TOO_MUCH)):
                people = show_share(side.share) + (words.SMALL_SIDE if side.small else "")
                drop, weighted = show_value(side.drop), show_value(side.weighted_drop)
                rows.append((names.sample(sample), called, people, drop, weighted))
        title = words.SIDES_TITLE.format(question=names.attribute(question))
        yield Grid(f"sides-{question}", title, words.SIDES_HEAD, tuple(rows))


def _show_own_words(analysis: TableAnalysis) -> Iterator[Grid]:
    if analysis.own_words is not None:
        rows = tuple((who, ", ".join(mine)) for who, mine in analysis.own_words.chosen.items())
        yield Grid("own-words", words.WORDS_TITLE, words.WORDS_HEAD, rows)


def _show_remarks(analysis: TableAnalysis, names: Names) -> Grid:
    rows = tuple(
        (names.attribute(one.question), names.sample(one.sample), one.assessor, one.text)
        for one in analysis.others.remarks
    )
    return Grid("remarks", words.REMARKS_TITLE, words.REMARKS_HEAD, rows)


def show_notes(analysis: TableAnalysis) -> Grid:
    """Show what the methods themselves remark, question by question."""
    names, rows = name_all(analysis), []
    if analysis.numbers is not None:
        for question, one in analysis.numbers.attributes.items():
            rows += [(names.attribute(question), note) for note in one.notes]
    return Grid("notes", words.NOTES_TITLE, words.NOTES_HEAD, tuple(rows))


def asks_liking(analysis: TableAnalysis) -> bool:
    """Tell whether the sheet asks how much a sample is liked."""
    kinds = {one.scale.analysis for one in analysis.sheet.attributes}
    return bool(kinds & {Analysis.LIKING, Analysis.SIDES})


def name_question(analysis: TableAnalysis, name: str) -> str:
    """Return what a question is called, quoted as it was typed."""
    called = name_all(analysis).attributes
    for one in analysis.sheet.attributes:
        if name == one.name:
            return f"“{name_score(one.label, '')}”"
    return f"“{called.get(name, name)}”"
