"""The chart of strength against extraction: of a tasting's brews, or of the bench log."""

from collections.abc import Mapping
from dataclasses import dataclass
from urllib.parse import urlencode
from uuid import UUID

from fastapi import APIRouter, Request, Response

from server.brewing.bounds import parse_number
from server.brewing.chart import REGIONS, Region
from server.brewing.extraction import Brewer
from server.pages.deps import AtBench, Leader, LedRow
from server.pages.rendering import show
from server.reports import brew_chart
from server.reports import brew_chart_words as words
from server.tastings.charting import Charted, chart_log, chart_tasting
from server.tastings.refusals import NotFound

router = APIRouter()
ENDS = ("strength_low", "strength_high", "extraction_low", "extraction_high")
MINE, NONE = "mine", "none"


@dataclass(frozen=True)
class ChartPage:
    """A chart, what it leaves out, and the form that chooses its region.

    ``back`` and ``base`` are the addresses of what it belongs to, and its own.
    """

    title: str
    back: str
    base: str
    charted: Charted
    region: Region | None
    form: Mapping[str, str]
    errors: Mapping[str, str]

    @property
    def figure(self) -> str:
        """The picture in words; empty if no brew has a place."""
        brews = self.charted.brews
        placed = any(one.is_placed for one in brews)
        return brew_chart.describe_chart(brews, self.region) if placed else ""

    @property
    def question(self) -> str:
        """What the picture's address says behind its question mark."""
        return urlencode(dict(self.form))

    @property
    def notes(self) -> tuple[str, ...]:
        """What the chart leaves out, and what on it does not compare."""
        return tuple(brew_chart.list_notes(self.charted.brews))

    @property
    def rows(self) -> tuple[tuple[str, str, str, str], ...]:
        """Name, sample, strength and yield of every brew."""
        return tuple(brew_chart.list_rows(self.charted.brews))

    @property
    def placed(self) -> str:
        """How many of the brews have a place."""
        return brew_chart.count_placed(self.charted.brews)

    @property
    def source(self) -> str:
        """The region in words, with its source and what it is not; empty if there is none."""
        if self.region is None:
            return ""
        return f"{brew_chart.say_region(self.region)}. {words.NO_GRADE}"

    @property
    def lacking(self) -> str:
        """Which samples no recipe tells of; empty if none."""
        samples = " and ".join(self.charted.unknown)
        return words.NO_RECIPE.format(samples=samples) if samples else ""

    @property
    def regions(self) -> tuple[str, ...]:
        """Names of regions that others recommend."""
        return tuple(one.name for one in REGIONS)

    @property
    def nothing(self) -> str:
        """Why there is no picture."""
        return words.NOTHING


@router.get("/tastings/{tasting_id}/chart")
def chart(request: Request, bench: AtBench, leader: Leader, tasting: LedRow) -> Response:
    """Show the brews of a tasting."""
    base = f"/tastings/{tasting.id}"
    charted = chart_tasting(bench, leader.id, tasting, _read_brewer(request))
    return _show(request, tasting.name, base, f"{base}/chart", charted)


@router.get("/tastings/{tasting_id}/chart.svg")
def chart_figure(request: Request, bench: AtBench, leader: Leader, tasting: LedRow) -> Response:
    """Return the picture of a tasting's brews."""
    return _draw(request, chart_tasting(bench, leader.id, tasting, _read_brewer(request)))


@router.get("/bench/chart")
def bench_chart(
    request: Request, bench: AtBench, leader: Leader, recipe: UUID | None = None
) -> Response:
    """Show the newest brews of the bench log, or those by one version of a recipe."""
    charted = chart_log(bench, leader.id, recipe)
    title, back = ("Recipe", f"/recipes/{recipe}") if recipe else ("Bench log", "/bench")
    return _show(request, title, back, "/bench/chart", charted)


@router.get("/bench/chart.svg")
def bench_figure(
    request: Request, bench: AtBench, leader: Leader, recipe: UUID | None = None
) -> Response:
    """Return the picture of the bench log."""
    return _draw(request, chart_log(bench, leader.id, recipe))


def _show(request: Request, title: str, back: str, base: str, charted: Charted) -> Response:
    region, form, errors = _read_region(request)
    view = ChartPage(title, back, base, charted, region, form, errors)
    return show(request, "leader/chart", view, 422 if errors else 200)


def _draw(request: Request, charted: Charted) -> Response:
    if not any(one.is_placed for one in charted.brews):
        raise NotFound("There is nothing to draw yet.")
    picture = brew_chart.draw_chart(charted.brews, _read_region(request)[0])
    kept = {"Cache-Control": "private, no-cache"}
    return Response(picture, media_type="image/svg+xml", headers=kept)


def _read_brewer(request: Request) -> Brewer | None:
    typed = request.query_params.get("how", "")
    return Brewer(typed) if typed in list(Brewer) else None


def _read_region(request: Request) -> tuple[Region | None, dict[str, str], dict[str, str]]:
    """Return the region that is asked for, the form as typed, and what cannot be taken."""
    known = {one.name: one for one in REGIONS}
    asked = request.query_params.get("region", REGIONS[0].name)
    form = {name: request.query_params.get(name, "")[:20] for name in (*ENDS, "how")}
    if "recipe" in request.query_params:
        form["recipe"] = request.query_params["recipe"]
    form["own_name"] = " ".join(request.query_params.get("own_name", "").split())[:60]
    form["region"] = asked if asked in (*known, MINE) else NONE
    if form["region"] != MINE:
        return known.get(asked), _fill(form, known.get(asked)), {}
    ends, errors = {}, {}
    for name in ENDS:
        try:
            ends[name] = float(parse_number(name, form[name]))
        except ValueError as error:
            errors[name] = str(error)
    if errors:
        return None, form, errors
    try:
        return Region(form["own_name"] or words.MINE, **ends, source=words.MINE_SOURCE), form, {}
    except ValueError:
        return None, form, {"strength_low": words.UPSIDE_DOWN}


def _fill(form: dict[str, str], region: Region | None) -> dict[str, str]:
    """Fill the numbers of a known region in, to begin one's own with."""
    if region is None:
        return form
    return form | {name: f"{getattr(region, name):g}" for name in ENDS}
