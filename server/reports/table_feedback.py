"""What an assessor may read of themselves after unsealing: nobody else by name, no ranking."""

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations

from server.reports.scored import TableAnalysis
from server.reports.table_names import name_all
from server.reports.table_order_feedback import list_own_orders
from server.sheets.scores import Score, group_scores

FEWEST = 4
"""Below this many people the others could be recognised; common practice, no source."""

MOST_PAIRS = 3


@dataclass(frozen=True)
class OwnRow:
    """One sample: own mean or place, and that of the others (None where nobody else gave one)."""

    sample: str
    own: float
    others: float | None


@dataclass(frozen=True)
class OwnQuestion:
    """One question.

    Attributes
    ----------
    question
        What the sheet calls it.
    rows
        By sample; empty in a panel so small that others could be recognised.
    distance
        Mean distance from the others over samples, whatever its direction.
    agreement
        Correlation with the others over samples, -1 to 1.
    turned
        Pairs of samples: scored above the other one, where most scored it below.
    repeats
        Mean distance between own scores of one sample; None without repeats.
    """

    question: str
    rows: tuple[OwnRow, ...]
    distance: float | None
    agreement: float | None
    turned: tuple[tuple[str, str], ...]
    repeats: float | None


@dataclass(frozen=True)
class Feedback:
    """What one assessor may read; ``small`` says why it is about own repeats alone."""

    people: int
    small: bool
    questions: tuple[OwnQuestion, ...]


Cells = Mapping[str, Mapping[str, Sequence[float]]]
"""Scores of one question by assessor and sample."""


def give_feedback(analysis: TableAnalysis) -> dict[int, Feedback]:
    """Return what everybody may read, by the number of the seat they sat at."""
    seats = {one.seat: one.assessor for one in analysis.tables}
    small = len(seats) < FEWEST
    names = name_all(analysis)
    questions = {
        names.attribute(name): _collect(scores, analysis)
        for name, scores in group_scores(analysis.scores).items()
    }
    return {
        seat: Feedback(
            len(seats),
            small,
            (
                *(
                    _describe(analysis, name, cells, who, small=small)
                    for name, cells in questions.items()
                    if who in cells
                ),
                *(() if small else _describe_orders(analysis, who)),
            ),
        )
        for seat, who in seats.items()
    }


def _collect(scores: Sequence[Score], analysis: TableAnalysis) -> Cells:
    cells: dict[str, dict[str, list[float]]] = defaultdict(lambda: defaultdict(list))
    if analysis.numbers is not None:
        for one in scores:
            if one.value is not None:
                cells[one.assessor][one.sample].append(one.value)
    return {who: dict(mine) for who, mine in cells.items()}


def _describe(
    analysis: TableAnalysis, question: str, cells: Cells, who: str, *, small: bool
) -> OwnQuestion:
    own = {sample: _mean(values) for sample, values in sorted(cells[who].items())}
    repeats = _measure_repeats(cells[who])
    if small:
        return OwnQuestion(question, (), None, None, (), repeats)
    others = _average_others(cells, who)
    shared = [sample for sample in own if sample in others]
    work = _find_agreement(analysis, question, who)
    return OwnQuestion(
        question=question,
        rows=tuple(OwnRow(analysis.label(one), own[one], others.get(one)) for one in own),
        distance=_mean([abs(own[one] - others[one]) for one in shared]) if shared else None,
        agreement=work,
        turned=tuple(
            (analysis.label(one), analysis.label(other))
            for one, other in list(_find_turned(cells, who, own))[:MOST_PAIRS]
        ),
        repeats=repeats,
    )


def _describe_orders(analysis: TableAnalysis, who: str) -> Iterator[OwnQuestion]:
    for question, rows in list_own_orders(analysis, who, FEWEST - 1):
        yield OwnQuestion(question, tuple(OwnRow(*row) for row in rows), None, None, (), None)


def _find_agreement(analysis: TableAnalysis, question: str, who: str) -> float | None:
    called = name_all(analysis)
    if analysis.numbers is None:
        return None
    for name, one in analysis.numbers.attributes.items():
        if called.attribute(name) == question:
            return one.assessors[who].agreement_r
    return None


def _average_others(cells: Cells, who: str) -> dict[str, float]:
    """Average the others' own means, where so many scored a sample that nobody stands out."""
    means: dict[str, list[float]] = defaultdict(list)
    for other, mine in cells.items():
        if other != who:
            for sample, values in mine.items():
                means[sample].append(_mean(values))
    return {one: _mean(given) for one, given in means.items() if len(given) >= FEWEST - 1}


def _find_turned(cells: Cells, who: str, own: Mapping[str, float]) -> Iterator[tuple[str, str]]:
    """Yield pairs scored the other way round than most did, the widest apart first."""
    found = []
    for pair in combinations(own, 2):
        one, other = sorted(pair, key=lambda sample: -own[sample])
        said = [
            _mean(mine[one]) - _mean(mine[other])
            for name, mine in cells.items()
            if name != who and one in mine and other in mine
        ]
        below = sum(difference < 0 for difference in said)
        if own[one] > own[other] and 2 * below > len(said) >= FEWEST - 1:
            found.append((own[one] - own[other], one, other))
    for _, one, other in sorted(found, reverse=True):
        yield one, other


def _measure_repeats(mine: Mapping[str, Sequence[float]]) -> float | None:
    """Return the mean distance between two own scores of one sample."""
    gaps = [abs(one - other) for values in mine.values() for one, other in combinations(values, 2)]
    return _mean(gaps) if gaps else None


def _mean(values: Sequence[float]) -> float:
    return sum(values) / len(values)
