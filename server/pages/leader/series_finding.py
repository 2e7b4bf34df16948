"""The finding of a series: its page, its picture, and its numbers to take along."""

import json
from dataclasses import dataclass

from fastapi import APIRouter, Request, Response

from server.pages.deps import AtBench, Led
from server.pages.rendering import show
from server.reports.series.exports import report_series, write_rows
from server.reports.series.figures import describe_series, draw_series
from server.tastings.bench import Bench
from server.tastings.exporting import safe_name
from server.tastings.progress import LedTasting
from server.tastings.refusals import NotFound
from server.tastings.series_concluding import (
    SeriesConclusion,
    analyse_unsealed,
    conclude_unsealed,
)

router = APIRouter()

FIGURE = "steps"


@dataclass(frozen=True)
class SeriesFindingPage:
    """The finding of an unsealed series; ``figure_words`` is empty where nothing counts."""

    led: LedTasting
    file: str
    conclusion: SeriesConclusion
    figure_words: str


def show_series_finding(request: Request, bench: Bench, led: LedTasting) -> Response:
    """Show the finding of a series."""
    conclusion = conclude_unsealed(bench, led)
    analysis = conclusion.analysis
    words = describe_series(analysis) if analysis.main.curve else ""
    view = SeriesFindingPage(led, safe_name(led.tasting.name), conclusion, words)
    return show(request, "leader/series_finding", view)


def show_series_figure(bench: Bench, led: LedTasting, name: str) -> Response:
    """Return the picture of a series."""
    analysis = analyse_unsealed(bench, led)
    if name != FIGURE or analysis.main.curve is None:
        raise NotFound("There is no such figure.")
    kept = {"Cache-Control": "private, no-cache"}
    return Response(draw_series(analysis), media_type="image/svg+xml", headers=kept)


@router.get("/tastings/{tasting_id}/series.csv")
def series_rows(bench: AtBench, led: Led) -> Response:
    """Return every answer that counts, one a row."""
    _check_series(led)
    rows = write_rows(analyse_unsealed(bench, led))
    return _download(rows, "text/csv; charset=utf-8", f"{safe_name(led.tasting.name)}.series.csv")


@router.get("/tastings/{tasting_id}/series.json")
def series_numbers(bench: AtBench, led: Led) -> Response:
    """Return the finding and all its numbers, unrounded."""
    _check_series(led)
    numbers = json.dumps(report_series(analyse_unsealed(bench, led)), allow_nan=False)
    return _download(numbers, "application/json", f"{safe_name(led.tasting.name)}.series.json")


def _check_series(led: LedTasting) -> None:
    if led.layout.plan.series is None:
        raise NotFound("This tasting was no series.")


def _download(content: str, media: str, name: str) -> Response:
    headers = {"Content-Disposition": f'attachment; filename="{name}"', "Cache-Control": "no-store"}
    return Response(content, media_type=media, headers=headers)
