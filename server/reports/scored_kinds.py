"""What is no number on a score sheet: sides, ticks, flags, orders and comments, each in its way."""

from collections import defaultdict
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, NamedTuple

from server.reports.scored_answers import SeatTable
from server.reports.table_figures.flags import Flag
from server.sheets.filled import name_score
from server.sheets.scales.base import Analysis
from server.sheets.scales.defect import Defect
from server.sheets.scales.ranking import Ranking
from server.sheets.scales.right import Right
from server.sheets.sheet import Attribute, Sheet
from server.stats.defects import Defects, analyse_defects, count_cups
from server.stats.jar import JustAboutRight, analyse_jar
from server.stats.page import Page
from server.stats.ranking import RankingResult, analyse_ranking
from server.stats.rankings import build_rankings, rank_row
from server.stats.skillings_mack import SkillingsMack, analyse_skillings_mack
from server.stats.tick_all import TickAll, analyse_ticks

NO_WORD = "no word given"
TWO_SAMPLES = "It takes two samples or more with an answer."


class Said(NamedTuple):
    """One value, and what it is about; the sample is empty if it is about all codes."""

    table: SeatTable
    sample: str
    cup: str
    code: str
    value: Any


@dataclass(frozen=True)
class Sided:
    """Just-about-right answers to one question.

    Attributes
    ----------
    counts
        By sample, from the lowest answer to the highest.
    liking
        By sample, how liking goes with them; empty if the sheet does not ask for liking.
    """

    counts: Mapping[str, tuple[int, ...]]
    liking: Mapping[str, JustAboutRight]


@dataclass(frozen=True)
class Flagged:
    """Flags of one question: who said what of which cup, and cups with a flag by sample."""

    said: tuple[Flag, ...]
    highest: int
    cups: Defects


@dataclass(frozen=True)
class Ordered:
    """Orders of the samples, from rankings or from words in order.

    Attributes
    ----------
    complete
        Of those who ordered all samples; None if that is nobody, or samples came in blocks.
    blocks
        From whatever part everybody ordered; None if all ordered everything.
    reason
        Why there is neither; or empty.
    """

    complete: RankingResult | None
    blocks: SkillingsMack | None
    reason: str = ""

    @property
    def p_value(self) -> float | None:
        """Of no difference between the samples; of no trend, if an order was declared."""
        if self.complete is not None:
            page = self.complete.page
            return self.complete.p_value if page is None else find_trend_p(page)
        return self.blocks.p_value if self.blocks is not None else None


def find_trend_p(page: Page) -> float | None:
    """Return the p-value of a trend along a declared order: exact wherever that is feasible."""
    return page.p_normal if page.p_exact is None else page.p_exact


@dataclass(frozen=True)
class Remark:
    """A comment, as it was written."""

    question: str
    sample: str
    assessor: str
    text: str


@dataclass(frozen=True)
class OtherKinds:
    """All that is no number, by name of the question and its pass."""

    sides: Mapping[str, Sided]
    ticks: Mapping[str, TickAll]
    flags: Mapping[str, Flagged]
    orders: Mapping[str, Ordered]
    remarks: tuple[Remark, ...]


class Declared(NamedTuple):
    """The order that was declared beforehand, and of which question; both may be empty."""

    question: str = ""
    order: tuple[str, ...] = ()

    def find_order(self, question: str) -> tuple[str, ...]:
        """Return the order declared for a question; its passes share it."""
        return self.order if question.partition(", ")[0] == self.question else ()


UNDECLARED = Declared()


def analyse_others(
    sheet: Sheet,
    tables: Sequence[SeatTable],
    levels: Sequence[str],
    alpha: float,
    declared: Declared = UNDECLARED,
) -> OtherKinds:
    """Analyse every question whose answers are no numbers."""
    liking = _collect_liking(sheet, tables)
    found = {kind: list(_ask(sheet, tables, kind)) for kind in Analysis}
    return OtherKinds(
        sides={name: _count_sides(one, said, liking) for name, one, said in found[Analysis.SIDES]},
        ticks={
            name: ticks
            for name, one, said in found[Analysis.TICKS]
            if (ticks := _count_ticks(one, said, alpha)) is not None
        },
        flags={name: _collect_flags(one, said) for name, one, said in found[Analysis.DEFECTS]},
        orders={
            name: _compare_orders(ranks, said, levels, alpha, declared.find_order(name))
            for kind, ranks in ((Analysis.RANKS, _rank_codes), (Analysis.ORDERED, _place_words))
            for name, one, said in found[kind]
        },
        remarks=tuple(
            Remark(name, one.sample, one.table.assessor, one.value)
            for name, _, said in found[Analysis.TEXT]
            for one in said
        ),
    )


def _ask(
    sheet: Sheet, tables: Sequence[SeatTable], kind: Analysis
) -> Iterator[tuple[str, Attribute, list[Said]]]:
    """Yield every question of a kind with its complete answers, if there are any."""
    for attribute in sheet.attributes:
        if attribute.scale.analysis == kind:
            for time in attribute.times:
                said = list(_list_said(attribute, time, tables))
                if said:
                    yield name_score(attribute.name, time), attribute, said


def _list_said(attribute: Attribute, time: str, tables: Sequence[SeatTable]) -> Iterator[Said]:
    for table in tables:
        codes = tuple(one.code for one in table.stands)
        for one in table.answer.values:
            if (one.attribute, one.time) != (attribute.name, time):
                continue
            if attribute.scale.find_gap(one.value, codes) is None:
                sample = table.find_sample(one.code) if one.code else ""
                yield Said(table, sample, _name_cup(table, one.code, one.bowl), one.code, one.value)


def _name_cup(table: SeatTable, code: str, bowl: int) -> str:
    """Name a cup within its sample: a shared bowl by its number, an own cup by whose it is."""
    truth = table.filled.key.get((code, bowl))
    if truth is None:
        return ""
    if truth.bowl is not None:
        return truth.bowl.removeprefix(truth.sample)
    mine = [
        (stand.code, number)
        for stand in table.stands
        for number in stand.bowls
        if table.find_sample(stand.code) == truth.sample
    ]
    sitting = f", sitting {table.sitting}" if table.sitting > 1 else ""
    number = f", {mine.index((code, bowl)) + 1}" if len(mine) > 1 and (code, bowl) in mine else ""
    return f"{table.assessor}{sitting}{number}"


def _collect_liking(sheet: Sheet, tables: Sequence[SeatTable]) -> dict[tuple[str, int, str], float]:
    """Return liking by assessor, sitting and code, from the first question for it."""
    first = next(_ask(sheet, tables, Analysis.LIKING), None)
    if first is None:
        return {}
    _, attribute, said = first
    return {
        (one.table.assessor, one.table.sitting, one.code): number
        for one in said
        if (number := attribute.scale.to_number(one.value)) is not None
    }


def _count_sides(
    attribute: Attribute, said: Sequence[Said], liking: Mapping[tuple[str, int, str], float]
) -> Sided:
    scale = attribute.scale
    assert isinstance(scale, Right)
    numbers = [number for number, _ in scale.choices]
    by = _group(said)
    counts = {
        sample: tuple(sum(one.value == number for one in mine) for number in numbers)
        for sample, mine in by.items()
    }
    liked: dict[str, JustAboutRight] = {}
    for sample, mine in by.items():
        pairs = [
            (one.value, liking[place])
            for one in mine
            if (place := (one.table.assessor, one.table.sitting, one.code)) in liking
        ]
        if pairs:
            answers, values = zip(*pairs, strict=True)
            liked[sample] = analyse_jar(answers, values, len(numbers), right=0)
    return Sided(counts, liked)


def _group(said: Sequence[Said]) -> dict[str, list[Said]]:
    by: dict[str, list[Said]] = defaultdict(list)
    for one in sorted(said, key=lambda one: one.sample):
        by[one.sample].append(one)
    return dict(by)


def _count_ticks(attribute: Attribute, said: Sequence[Said], alpha: float) -> TickAll | None:
    """Analyse ticks; of several cups of a sample a word must be ticked in more than half."""
    words: Sequence[str] = getattr(attribute.scale, "words", ())
    cups: dict[tuple[str, str], list[Said]] = defaultdict(list)
    for one in said:
        cups[one.table.assessor, one.sample].append(one)
    if len({sample for _, sample in cups}) < 2:
        return None
    ticked = {
        (who, sample, word): 2 * sum(word in one.value for one in mine) > len(mine)
        for (who, sample), mine in sorted(cups.items())
        for word in words
    }
    return analyse_ticks(ticked, alpha)


def _collect_flags(attribute: Attribute, said: Sequence[Said]) -> Flagged:
    scale = attribute.scale
    assert isinstance(scale, Defect)
    flags = tuple(
        Flag(
            one.table.assessor,
            one.sample,
            one.cup,
            one.value.get("word", NO_WORD) if one.value["found"] else "",
            one.value.get("intensity"),
        )
        for one in sorted(said, key=lambda one: (one.sample, one.table.assessor))
    )
    counted = count_cups(
        [one.sample for one in flags], [one.cup for one in flags], [bool(x.word) for x in flags]
    )
    cups = analyse_defects(
        list(counted), [bad for bad, _ in counted.values()], [many for _, many in counted.values()]
    )
    return Flagged(flags, len(scale.levels), cups)


Ranked = Callable[[Said], Mapping[str, float]]


def _rank_codes(said: Said) -> Mapping[str, float]:
    """Return the mean rank of every sample in one ranking of codes."""
    by: dict[str, list[float]] = defaultdict(list)
    for code, rank in Ranking(first="first", last="last", ties=True).rank(said.value).items():
        by[said.table.find_sample(code)].append(rank)
    return {sample: sum(ranks) / len(ranks) for sample, ranks in by.items()}


def _place_words(said: Said) -> Mapping[str, float]:
    """Return the place of a word in its row, the last word first, so that more comes first."""
    return {said.sample: -float(said.value)}


def _compare_orders(
    rank: Ranked,
    said: Sequence[Said],
    levels: Sequence[str],
    alpha: float,
    order: Sequence[str] = (),
) -> Ordered:
    places: dict[str, dict[str, list[float]]] = defaultdict(lambda: defaultdict(list))
    for one in said:
        for sample, place in rank(one).items():
            places[one.table.assessor][sample].append(place)
    means = {
        who: {sample: sum(mine) / len(mine) for sample, mine in samples.items()}
        for who, samples in sorted(places.items())
    }
    tasted = [level for level in levels if any(level in mine for mine in means.values())]
    if len(tasted) < 2:
        return Ordered(None, None, TWO_SAMPLES)
    if all(len(mine) == len(tasted) for mine in means.values()):
        rows = [rank_row([mine[level] for level in tasted]) for mine in means.values()]
        rankings = build_rankings(rows, tasted, list(means))
        known = order if sorted(order) == sorted(tasted) else None
        return Ordered(analyse_ranking(rankings, alpha, known), None)
    return Ordered(None, _compare_blocks(means))


def _compare_blocks(means: Mapping[str, Mapping[str, float]]) -> SkillingsMack:
    from server.stats.ratings import build_ratings

    rows = [(who, sample, mean) for who, mine in means.items() for sample, mean in mine.items()]
    return analyse_skillings_mack(
        build_ratings([r[0] for r in rows], [r[1] for r in rows], [r[2] for r in rows])
    )
