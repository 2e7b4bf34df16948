"""Map of samples and ticked words: correspondence analysis of the ticks."""

from server.reports.display import show_count, show_share
from server.reports.table_figures import words
from server.reports.table_figures.lettering import clean
from server.reports.table_figures.maps import Map, Point, find_reason
from server.reports.table_figures.shown import Names, list_names
from server.stats.correspondence import Correspondence, Points, fit_correspondence
from server.stats.tick_all import TickAll, count_ticks


def build_word_map(found: TickAll, names: Names | None = None) -> Map:
    """Build the map of everything ticked, or say why there is none.

    Examples
    --------
    >>> from server.stats.tick_all import analyse_ticks
    >>> ticks = {("ann", "X", "papery"): True, ("ann", "Y", "papery"): False}
    >>> build_word_map(analyse_ticks(ticks)).reason
    'No map: it takes 4 samples or more that anything was ticked for, not 1.'
    """
    called, counts = names or Names(), count_ticks(found)
    samples = sum(any(row) for row in counts)
    fitted = _fit(found) if samples else None
    axes = len(fitted.inertias) if fitted else 0
    people = len(found.assessors)
    reason = find_reason(samples, people, axes, words.MAP_TICKERS, words.MAP_TICKED)
    if reason or fitted is None:
        return Map(reason=reason)
    differ = [clean(name) for name, word in found.words.items() if word.finding]
    said = words.WORDS_FOUND.format(names=list_names(differ)) if differ else words.WORDS_FOUND_NONE
    return Map(
        samples=_list_points(fitted.rows, called),
        others=_list_points(fitted.columns, Names()),
        kind=words.KIND_WORD,
        title=words.WORDS_TITLE,
        shares=fitted.shares[:2],
        key=words.WORDS_KEY,
        told=" ".join((_tell(fitted), said)),
    )


def _fit(found: TickAll) -> Correspondence:
    import numpy as np

    counts = np.array(count_ticks(found), dtype=np.float64)
    return fit_correspondence(counts, found.samples, tuple(found.words))


def _list_points(points: Points, called: Names) -> tuple[Point, ...]:
    return tuple(
        Point(called.sample(name), place[0], place[1])
        for name, place in zip(points.labels, points.coordinates, strict=True)
    )


def _tell(fitted: Correspondence) -> str:
    return words.WORDS_ALT.format(
        samples=show_count(len(fitted.rows.labels), "sample"),
        words=show_count(len(fitted.columns.labels), "word"),
        share=show_share(sum(fitted.shares[:2])),
    )
