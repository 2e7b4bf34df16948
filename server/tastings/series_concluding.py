"""The finding of an unsealed series; only here do its key and its answers meet."""

from dataclasses import dataclass

from server.reports.series.analysis import SeriesAnalysis, analyse_series
from server.reports.series.findings import SeriesFinding, conclude_series
from server.storage import queries
from server.tastings.bench import Bench
from server.tastings.concluding import get_unsealed_text, read_unsealed
from server.tastings.progress import LedTasting


@dataclass(frozen=True)
class SeriesConclusion:
    """An unsealed series with all that follows from it."""

    analysis: SeriesAnalysis
    finding: SeriesFinding


def analyse_unsealed(bench: Bench, led: LedTasting) -> SeriesAnalysis:
    """Join key and answers of an unsealed series.

    Raises
    ------
    StillSealed
        Before unsealing.
    Spoilt
        The sealed text cannot be read any more.
    """
    text = get_unsealed_text(bench, led)
    with bench.reading() as db:
        events = queries.load_events(db, led.tasting.id)
    return analyse_series(read_unsealed(text), events)


def conclude_unsealed(bench: Bench, led: LedTasting) -> SeriesConclusion:
    """Conclude what an unsealed series supports; errors are those of `analyse_unsealed`."""
    analysis = analyse_unsealed(bench, led)
    return SeriesConclusion(analysis, conclude_series(analysis))
