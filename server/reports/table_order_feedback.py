"""What an assessor may read of their own order of the samples: places beside the others'."""

from collections.abc import Iterator

from server.reports.scored import TableAnalysis
from server.reports.scored_kinds import Ordered
from server.reports.table_names import name_all
from server.sheets.scales.ranking import Ranking

Row = tuple[str, float, float | None]
"""Label of a sample, own place, mean place by the others."""


def list_own_orders(
    analysis: TableAnalysis, who: str, fewest: int
) -> Iterator[tuple[str, tuple[Row, ...]]]:
    """Yield every order somebody gave: what it is called, and a row a sample.

    Parameters
    ----------
    analysis : TableAnalysis
    who : str
        Name of the assessor in the analysis.
    fewest : int
        Below so many others, nobody else's places are told.
    """
    names = name_all(analysis)
    for name, found in analysis.others.orders.items():
        attribute = analysis.sheet.find_attribute(name.partition(", ")[0])
        scale = attribute.scale if attribute else None
        if isinstance(scale, Ranking):
            rows = tuple(_compare(analysis, found, who, fewest))
            yield f"{names.attribute(name)} (1: {scale.first})", rows


def _compare(analysis: TableAnalysis, found: Ordered, who: str, fewest: int) -> Iterator[Row]:
    one = found.complete
    if one is None or who not in one.assessors:
        return
    own = one.ranks[one.assessors.index(who)]
    others = [row for name, row in zip(one.assessors, one.ranks, strict=True) if name != who]
    for at, sample in enumerate(one.samples):
        mean = sum(row[at] for row in others) / len(others) if len(others) >= fewest else None
        yield analysis.label(sample), own[at], mean
