"""Whether bowls of one sample were alike: computed from scores, never judged by anybody."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from server.reports.scored_answers import SeatTable
from server.sheets.filled import Filled, to_scores
from server.sheets.scores import collect_ratings, group_scores
from server.sheets.sheet import Sheet
from server.stats.bowls import Bowl, Bowls, compare_bowls


@dataclass(frozen=True)
class Apart:
    """A bowl that stands apart in one question.

    Attributes
    ----------
    question
        Name of the score.
    bowl, sample
        Name of the brew, level of its sample.
    distance
        How far above the other bowls of its sample it was scored.
    p_value
        Adjusted for every bowl looked at, and for every question but the primary one.
    """

    question: str
    bowl: str
    sample: str
    distance: float
    p_value: float


@dataclass(frozen=True)
class Uniformity:
    """Bowls of the same sample compared, question by question.

    Attributes
    ----------
    shared
        Whether bowls were shared; otherwise they are the pots that own cups came from.
    questions
        By name of the score.
    apart
        Bowls that stand apart beyond chance, all looks together.
    leads
        Those that would, were theirs the only question.
    looks
        Bowls looked at, all questions together.
    """

    shared: bool
    questions: Mapping[str, Bowls]
    apart: tuple[Apart, ...]
    leads: tuple[Apart, ...]
    looks: int


def measure_uniformity(
    sheet: Sheet, tables: Sequence[SeatTable], primary: str, *, shared: bool, alpha: float
) -> Uniformity:
    """Compare the bowls of every sample with one another, or the pots behind own cups."""
    scores = [one for one in to_scores(sheet, map(_name_pots, tables)) if one.bowl is not None]
    found = {
        name: compare_bowls(collect_ratings(mine), alpha)
        for name, mine in group_scores(scores).items()
        if any(one.value is not None for one in mine)
    }
    tested = {name: one for name, one in found.items() if one.test is not None}
    others = len(tested.keys() - {primary})
    named = [
        _name(question, bowl, 1 if question == primary else others)
        for question, one in tested.items()
        for bowl in one.bowls
        if bowl.name in one.apart
    ]
    return Uniformity(
        shared=shared,
        questions=found,
        apart=tuple(one for one in named if one.p_value <= alpha),
        leads=tuple(one for one in named if one.p_value > alpha),
        looks=sum(bowl.adjusted is not None for one in tested.values() for bowl in one.bowls),
    )


def _name(question: str, bowl: Bowl, questions: int) -> Apart:
    assert bowl.distance is not None
    assert bowl.adjusted is not None
    p = min(1.0, bowl.adjusted * questions)
    return Apart(question, bowl.name.split(" of ")[0], bowl.sample, bowl.distance, p)


def _name_pots(table: SeatTable) -> Filled:
    """Return a filled sheet whose key names the brew in every cup, shared or not."""
    key = {
        place: truth._replace(bowl=table.pots.get(place))
        for place, truth in table.filled.key.items()
    }
    return replace(table.filled, key=key)
