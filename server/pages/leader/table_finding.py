"""The finding of a scored table: its first page, its figures, and its numbers to take along."""

from collections.abc import Mapping
from dataclasses import dataclass

from fastapi import APIRouter, Request, Response

from server.pages.deps import AtBench, Led
from server.pages.rendering import show
from server.reports.table_page import Card, TablePage
from server.reports.table_words import DECIDED
from server.tastings.bench import Bench
from server.tastings.exporting import safe_name
from server.tastings.progress import LedTasting
from server.tastings.refusals import NotFound
from server.tastings.table_concluding import find_unsealed, get_figure, get_page, get_part

router = APIRouter()


@dataclass(frozen=True)
class TableFindingPage:
    """The finding of an unsealed scored table."""

    led: LedTasting
    file: str
    page: TablePage
    paper: bool = False  # black on white, everything open

    @property
    def decided(self) -> Mapping[str, str]:
        """Every decision in words."""
        return DECIDED

    @property
    def first(self) -> tuple[Card, ...]:
        """Figures that everybody looks at."""
        return tuple(one for one in self.page.cards if not one.further)

    @property
    def further(self) -> tuple[Card, ...]:
        """Figures for those who want more."""
        return tuple(one for one in self.page.cards if one.further)


def show_table_finding(
    request: Request, bench: Bench, led: LedTasting, *, paper: bool = False
) -> Response:
    """Show the finding of a scored table."""
    page = get_page(find_unsealed(bench, led.tasting.id, led.record))
    view = TableFindingPage(led, safe_name(led.tasting.name), page, paper)
    return show(request, "leader/table_finding", view)


@router.get("/tastings/{tasting_id}/report")
def report(request: Request, bench: AtBench, led: Led) -> Response:
    """Show the finding of a scored table in black on white."""
    _check_scored(led)
    return show_table_finding(request, bench, led, paper=True)


def _check_scored(led: LedTasting) -> None:
    if led.layout.plan.table is None:
        raise NotFound("Nothing was scored at this tasting.")


def show_table_figure(bench: Bench, led: LedTasting, name: str) -> Response:
    """Return a figure; its name ends with the theme it is drawn in."""
    figure, _, theme = name.rpartition("-")
    drawn = get_figure(find_unsealed(bench, led.tasting.id, led.record), figure, theme)
    headers = {"Cache-Control": "private, no-cache"}
    return Response(drawn, media_type="image/svg+xml", headers=headers)


@router.get("/tastings/{tasting_id}/scores.csv")
def scores(bench: AtBench, led: Led) -> Response:
    """Return every value that counts, one a row."""
    return _download(bench, led, "rows", "text/csv; charset=utf-8", "scores.csv")


@router.get("/tastings/{tasting_id}/finding.json")
def numbers(bench: AtBench, led: Led) -> Response:
    """Return the finding and all its numbers, unrounded."""
    return _download(bench, led, "report", "application/json", "finding.json")


def _download(bench: Bench, led: LedTasting, kind: str, media: str, ending: str) -> Response:
    _check_scored(led)
    content = get_part(find_unsealed(bench, led.tasting.id, led.record), kind)
    name = f"{safe_name(led.tasting.name)}.{ending}"
    headers = {
        "Content-Disposition": f'attachment; filename="{name}"',
        "Cache-Control": "no-store",
    }
    return Response(content, media_type=media, headers=headers)
