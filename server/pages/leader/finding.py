"""The finding, its two figures, and the files a sceptic asks for."""

from dataclasses import dataclass

from fastapi import APIRouter, Request, Response

from server.pages.deps import AtBench, Leader, Led
from server.pages.leader.photos import TurnedCups, list_turned_cups
from server.pages.leader.series_finding import show_series_figure, show_series_finding
from server.pages.leader.table_finding import show_table_figure, show_table_finding
from server.pages.rendering import show
from server.reports.families import find_family
from server.reports.ruler.reading import Reading, list_marks, tell_reading
from server.reports.tables import Table, list_tables
from server.tastings.concluding import Conclusion, draw_conclusion, get_unsealed_text
from server.tastings.dilutions import read_ruler
from server.tastings.exporting import export_tasting, safe_name
from server.tastings.progress import LedTasting
from server.tastings.refusals import NotFound

router = APIRouter()


@dataclass(frozen=True)
class FindingPage:
    """The finding of an unsealed tasting; the match of the brews has a table of its own.

    ``figures`` are names as addresses have them, with what each shows in words.
    """

    led: LedTasting
    file: str
    conclusion: Conclusion
    tables: tuple[Table, ...]
    figures: tuple[tuple[str, str], ...]
    photos: tuple[TurnedCups, ...]
    reading: Reading | None = None

    @property
    def water(self) -> tuple[str, ...]:
        """What the difference is worth in added water, in sentences."""
        return tell_reading(self.reading) if self.reading else ()

    @property
    def water_marks(self) -> tuple[str, ...]:
        """The dilutions behind that."""
        return list_marks(self.reading.dilutions) if self.reading else ()


@router.get("/tastings/{tasting_id}/finding")
def finding(request: Request, bench: AtBench, leader: Leader, led: Led) -> Response:
    """Show the finding."""
    if led.layout.plan.table is not None:
        return show_table_finding(request, bench, led)
    if led.layout.plan.series is not None:
        return show_series_finding(request, bench, led)
    conclusion = draw_conclusion(bench, led)
    analysis = conclusion.analysis
    told = find_family(analysis).figures if analysis.has_result else {}
    view = FindingPage(
        led,
        safe_name(led.tasting.name),
        conclusion,
        tuple(one for one in list_tables(analysis) if one.name != "match"),
        tuple((name, one.describe(analysis)) for name, one in told.items()),
        list_turned_cups(bench, led),
        read_ruler(bench, leader.id, led.tasting.id, analysis),
    )
    return show(request, "leader/finding", view)


@router.get("/tastings/{tasting_id}/figures/{name}.svg")
def figure(bench: AtBench, led: Led, name: str) -> Response:
    """Return a figure of the finding."""
    if led.layout.plan.table is not None:
        return show_table_figure(bench, led, name)
    if led.layout.plan.series is not None:
        return show_series_figure(bench, led, name)
    analysis = draw_conclusion(bench, led).analysis
    figures = find_family(analysis).figures
    if name not in figures or not analysis.has_result:
        raise NotFound("There is no such figure.")
    kept = {"Cache-Control": "private, no-cache"}
    return Response(figures[name].draw(analysis), media_type="image/svg+xml", headers=kept)


@router.get("/tastings/{tasting_id}/sealed.json")
def sealed_text(bench: AtBench, led: Led) -> Response:
    """Return the sealed text, byte for byte."""
    text = get_unsealed_text(bench, led)
    return _download(text, f"{safe_name(led.tasting.name)}.sealed.json")


@router.get("/tastings/{tasting_id}/export.json")
def export(bench: AtBench, led: Led) -> Response:
    """Return the whole unsealed tasting as one file."""
    get_unsealed_text(bench, led)  # refuses while it is sealed
    exported = export_tasting(bench, led.tasting.id)
    return _download(exported.document, f"{exported.name}.oddcup.json")


def _download(content: bytes, name: str) -> Response:
    headers = {"Content-Disposition": f'attachment; filename="{name}"', "Cache-Control": "no-store"}
    return Response(content, media_type="application/json", headers=headers)
