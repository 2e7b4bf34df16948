"""The order of the samples: sentences, numbers and tables of the finding."""

from collections.abc import Iterator

from server.reports import table_method_words as words
from server.reports import table_words
from server.reports.display import show_p, show_share
from server.reports.scored import TableAnalysis
from server.reports.scored_kinds import Ordered, find_trend_p
from server.reports.table_figures.shown import Names, list_names, show_p_value
from server.reports.table_grid import Grid
from server.reports.table_verdicts import find_declared
from server.sheets.scales.category import Category
from server.sheets.scales.ranking import Ranking
from server.stats.ranking import ONE_ASSESSOR, TOO_FEW, RankingResult

MOST_PAIRS = 6


def find_declared_order(analysis: TableAnalysis) -> Ordered | None:
    """Return the orders that were declared to count; None if something else was, or nothing."""
    return analysis.others.orders.get(find_declared(analysis))


def say_order(analysis: TableAnalysis) -> Iterator[str]:
    """Say in which order the samples came, and which pairs of them are told apart."""
    found = find_declared_order(analysis)
    if found is None:
        return
    if found.complete is None:
        if found.blocks is not None:
            yield words.ORDER_BLOCKS
        return
    one = found.complete
    yield words.ORDER_SUMS.format(first=_name_first(analysis), sums=_say_sums(analysis, one))
    if one.page is not None:
        yield words.ORDER_TREND.format(
            order=list_names([f"“{analysis.label(level)}”" for level in one.page.order], 8),
            l=f"{one.page.statistic:g}",
            p=show_p_value(find_trend_p(one.page)),
            how=words.HOW[one.page.p_exact is not None],
        )
        yield words.ORDER_FRIEDMAN.format(p=show_p_value(one.p_value))
    if one.detected:
        yield _say_pairs(analysis, one)
    yield from (note for note in one.notes if note in (ONE_ASSESSOR, TOO_FEW))


def _name_first(analysis: TableAnalysis) -> str:
    attribute = analysis.sheet.find_attribute(analysis.table.primary.partition(", ")[0])
    scale = attribute.scale if attribute else None
    if isinstance(scale, Ranking):
        return scale.first
    return scale.words[-1] if isinstance(scale, Category) else ""


def _say_sums(analysis: TableAnalysis, one: RankingResult) -> str:
    sums = sorted(zip(one.rank_sums, one.samples, strict=True))
    return ", ".join(
        words.ORDER_SUM.format(sample=analysis.label(sample), total=f"{total:g}")
        for total, sample in sums
    )


def _say_pairs(analysis: TableAnalysis, one: RankingResult) -> str:
    level = show_share(one.alpha)
    apart = [pair for pair in one.differences.pairs if pair.apart_among_all]
    if not apart:
        return words.ORDER_PAIRS_NONE.format(level=level)
    said = [
        words.ORDER_PAIR.format(one=analysis.label(pair.first), other=analysis.label(pair.second))
        for pair in apart
    ]
    least = find_least(one)
    return words.ORDER_PAIRS.format(
        level=level,
        pairs=list_names(said, MOST_PAIRS),
        least="" if least is None else words.ORDER_LEAST.format(least=f"{least:g}"),
    )


def find_least(one: RankingResult) -> float | None:
    """Return how far apart two rank sums must lie, all pairs together; exact if feasible."""
    exact = one.differences.all_pairs == "exact"
    return one.differences.honest_exact if exact else _round(one.differences.honest)


def find_least_of_pair(one: RankingResult) -> float | None:
    """Return how far apart the rank sums of one pair named beforehand must lie."""
    exact = one.differences.one_pair == "exact"
    return one.differences.least_exact if exact else _round(one.differences.least)


def _round(value: float | None) -> float | None:
    return None if value is None else round(value, 1)


def name_test(found: Ordered) -> str:
    """Name the test that decides."""
    if found.complete is None:
        return words.METHODS["blocks"]
    page = found.complete.page
    if page is not None:
        return words.METHODS["page"].format(how=words.HOW[page.p_exact is not None])
    how = words.HOW[found.complete.distribution == "exact"]
    return words.METHODS["friedman"].format(how=how)


def show_orders(analysis: TableAnalysis, names: Names) -> Iterator[Grid]:
    """Show the rank sums of every question for an order, and its pairs."""
    for question, found in analysis.others.orders.items():
        one = found.complete
        if one is None:
            continue
        called = names.attribute(question)
        sums = zip(one.samples, one.rank_sums, strict=True)
        rows = tuple((names.sample(sample), f"{total:g}") for sample, total in sums)
        title = table_words.ORDER_TITLE.format(question=called)
        yield Grid(f"order-{question}", title, table_words.ORDER_HEAD, rows)
        yield Grid(
            f"order-pairs-{question}",
            words.PAIRS_TITLE.format(question=called),
            words.PAIRS_HEAD,
            tuple(_list_pairs(names, one)),
        )


def _list_pairs(names: Names, one: RankingResult) -> Iterator[tuple[str, ...]]:
    for pair in one.differences.pairs:
        yield (
            names.sample(pair.first),
            names.sample(pair.second),
            f"{pair.difference:g}",
            show_p(pair.p_all_pairs),
            table_words.YES if pair.apart_among_all else table_words.NO,
        )
