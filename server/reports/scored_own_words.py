"""What assessors' own words have in common: samples turned onto a common map."""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from server.reports.scored_answers import SeatTable
from server.sheets.filled import to_scores
from server.sheets.sheet import Sheet, add_words, keep_words
from server.stats.consensus import Consensus, find_consensus
from server.stats.consensus_chance import ConsensusTest, judge_consensus

DRAWS = 199
"""Permutations of the check; a p-value cannot be below 1 in 200."""


@dataclass(frozen=True)
class OwnWords:
    """Personal words and what they have in common.

    Attributes
    ----------
    chosen
        Assessor to own words, of everybody who has any.
    consensus, check
        Of those who scored all samples by all their words; None if they are fewer than two.
    words
        Their words, in the order of their configuration's columns.
    """

    chosen: Mapping[str, tuple[str, ...]]
    consensus: Consensus | None = None
    check: ConsensusTest | None = None
    words: Mapping[str, tuple[str, ...]] | None = None


def compare_own_words(
    sheet: Sheet, tables: Sequence[SeatTable], levels: Sequence[str]
) -> OwnWords | None:
    """Compare what assessors see by words of their own; None if nobody was asked for any."""
    if not sheet.own_words:
        return None
    import numpy as np

    cells: dict[str, dict[tuple[str, str], list[float]]] = defaultdict(lambda: defaultdict(list))
    for table in tables:
        for word, sample, value in _list_scores(sheet, table):
            cells[table.assessor][word, sample].append(value)
    chosen = {who: tuple(dict.fromkeys(word for word, _ in mine)) for who, mine in cells.items()}
    tasted = [one for one in levels if any((w, one) in m for m in cells.values() for w, _ in m)]
    whole = {
        who: [[_mean(mine[word, one]) for word in chosen[who]] for one in tasted]
        for who, mine in sorted(cells.items())
        if all((word, one) in mine for word in chosen[who] for one in tasted)
    }
    if len(whole) < 2 or len(tasted) < 3:
        return OwnWords(chosen)
    configurations = [np.array(mine, dtype=np.float64) for mine in whole.values()]
    found = find_consensus(configurations, list(whole), tasted)
    check = judge_consensus(configurations, draws=DRAWS)
    return OwnWords(chosen, found, check, {who: chosen[who] for who in whole})


def _list_scores(sheet: Sheet, table: SeatTable) -> list[tuple[str, str, float]]:
    mine = keep_words(add_words(sheet, table.answer.words))
    if mine is None:
        return []
    labels = {one.name: one.label for one in mine.attributes}
    return [
        (labels[one.attribute], one.sample, one.value)
        for one in to_scores(mine, [table.filled])
        if one.value is not None
    ]


def _mean(values: Sequence[float]) -> float:
    return sum(values) / len(values)
