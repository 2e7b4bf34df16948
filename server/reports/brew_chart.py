"""The chart of brews as SVG: strength against extraction, lines of one ratio, a region.

Samples differ by mark and filling, so that they are told apart in print without colour. The
region is somebody's recommendation with its source, and grades nothing.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import ceil, floor
from typing import TYPE_CHECKING, Any

from server.brewing.brewed import Brewed
from server.brewing.chart import Region, find_strength_on_line
from server.brewing.extraction import Brewer
from server.brewing.yields import BrewYield, find_yield
from server.reports import brew_chart_words as words
from server.reports.brew_words import FORMS, NO_COMPARING, REASONS, say_yield
from server.reports.display import join_words, show_count
from server.reports.picture import DEEP, INK, PAPER, SETTINGS, SOFT, draw
from server.reports.table_figures.lettering import clean, wrap

if TYPE_CHECKING:
    from matplotlib.axes import Axes

MARKS = ("o", "s", "^", "D", "v", "P", "X")
RATIOS: tuple[float, ...] = tuple(range(8, 31))
SHORT_RATIOS = (1, 1.5, 2, 2.5, 3, 4)  # of an espresso: coffee to beverage out
MOST_LINES = 7
LEGEND_WIDTH = 300.0  # points
MOST_NAMED = 16  # brews beyond which names would cover each other


@dataclass(frozen=True)
class ChartBrew:
    """A brew as a point: what it is called, its sample and brewer, its yield with its limits."""

    name: str
    sample: str
    how: Brewer
    found: BrewYield

    @property
    def is_placed(self) -> bool:
        """Whether it has both a strength and a yield that a coffee can have."""
        return not self.reason and self.found.strength is not None

    @property
    def reason(self) -> str:
        """Why it has no place, as its yield says it; of more than all the dose no brew is."""
        percent = self.found.percent
        return "cannot be" if percent is not None and percent > 100 else self.found.reason

    @property
    def place(self) -> tuple[float, float]:
        """Extraction in percent, and strength in %TDS."""
        assert self.found.percent is not None
        assert self.found.strength is not None
        return self.found.percent, self.found.strength.percent


def make_point(name: str, sample: str, how: Brewer, brewed: Brewed) -> ChartBrew:
    """Return a brew as a point of the chart."""
    return ChartBrew(name, sample, how, find_yield(how, brewed))


def draw_chart(brews: Sequence[ChartBrew], region: Region | None) -> bytes:
    """Draw the brews with their limits.

    Parameters
    ----------
    brews : sequence of ChartBrew
        One of them at least is placed.
    region : Region or None
        What is drawn as an overlay.

    Returns
    -------
    bytes
        SVG.

    Raises
    ------
    ValueError
        No brew has both a strength and a yield.
    """
    placed = _list_placed(brews)
    frame = _find_frame(placed, region)

    def plot(axes: "Axes") -> None:
        if region is not None:
            _plot_region(axes, region)
        _plot_lines(axes, frame, _find_brewer(placed))
        for number, (label, mine) in enumerate(sort_brews(placed).items()):
            _plot_brews(axes, mine, label, number, named=len(placed) <= MOST_NAMED)
        (left, right), (bottom, top) = frame
        axes.set(xlim=(left, right), ylim=(bottom, top))
        axes.set(xlabel=words.EXTRACTION_AXIS, ylabel=words.STRENGTH_AXIS)
        axes.spines[["top", "right"]].set_visible(False)

    return draw(plot, height=4.4)


def sort_brews(brews: Sequence[ChartBrew]) -> dict[str, list[ChartBrew]]:
    """Put brews together that share a mark: of one sample, and of one form where forms differ."""
    placed = _list_placed(brews)
    several = len({one.found.form for one in placed}) > 1
    sorted_: dict[str, list[ChartBrew]] = {}
    for one in placed:
        form = f", {FORMS[one.found.form]}" if several and one.found.form else ""
        sorted_.setdefault(words.SAMPLE.format(sample=f"{one.sample}{form}"), []).append(one)
    return sorted_


def describe_chart(brews: Sequence[ChartBrew], region: Region | None) -> str:
    """Say in words what `draw_chart` shows, for those who cannot see it."""
    said = "; ".join(
        words.POINT.format(name=one.name, strength=one.place[1], extraction=one.place[0])
        for one in _list_placed(brews)
    )
    overlay = "" if region is None else words.REGION_ALT.format(region=say_region(region))
    return words.ALT.format(brews=said) + overlay


def say_region(region: Region) -> str:
    """Say what a region is and whose."""
    return words.REGION.format(
        name=region.name,
        strength=f"{region.strength_low:g} to {region.strength_high:g}",
        extraction=f"{region.extraction_low:g} to {region.extraction_high:g}",
        source=region.source,
    )


def list_notes(brews: Sequence[ChartBrew]) -> Iterator[str]:
    """Say what the chart leaves out, and what on it does not compare."""
    forms = {one.found.form for one in brews if one.is_placed}
    if len(forms) > 1:
        yield NO_COMPARING
    for reason, sentence in REASONS.items():
        names = [one.name for one in brews if one.reason == reason]
        if names:
            yield words.LEFT_OUT.format(brews=join_words(names), why=sentence)
    estimated = [one.name for one in brews if one.found.estimated]
    if estimated:
        yield words.ESTIMATED.format(brews=join_words(estimated))


def list_rows(brews: Sequence[ChartBrew]) -> Iterator[tuple[str, str, str, str]]:
    """List name, sample, strength and yield of every brew, as they are shown under the chart."""
    for one in brews:
        strength = one.found.strength
        known = "–"
        if strength is not None:
            known = f"{strength.percent:.2f} ± {max(3**0.5 * strength.alone, 0.01):.2f}"
        shown = REASONS[one.reason] if one.reason else say_yield(one.found)
        yield one.name, one.sample, known, shown


def count_placed(brews: Sequence[ChartBrew]) -> str:
    """Say how many of the brews have a place on the chart."""
    placed = sum(one.is_placed for one in brews)
    return words.PLACED.format(placed=placed, brews=show_count(len(brews), "brew"))


def _list_placed(brews: Sequence[ChartBrew]) -> list[ChartBrew]:
    placed = [one for one in brews if one.is_placed]
    if not placed:
        raise ValueError(f"brews must hold one with a yield, got {len(brews)} without")
    return placed


def _find_brewer(placed: Sequence[ChartBrew]) -> Brewer:
    """Return the brewer whose lines are drawn: that of most brews, of equals the first."""
    how = [Brewer.PERCOLATION if one.how is Brewer.MIXED else one.how for one in placed]
    return max(how, key=how.count)


def _find_height(how: Brewer, ratio: float, extraction: float) -> float:
    """Return the strength at an extraction on the line of a ratio."""
    if how is Brewer.ESPRESSO:  # its ratio is to the beverage, of which nothing is kept
        return find_strength_on_line(Brewer.PERCOLATION, ratio, extraction, retained=0)
    return find_strength_on_line(how, ratio, extraction)


def _find_frame(
    placed: Sequence[ChartBrew], region: Region | None
) -> tuple[tuple[float, float], tuple[float, float]]:
    """Return the ends of both axes: room for every brew, its limits and the region."""
    across = [one.place[0] + d * one.found.plus_minus for one in placed for d in (-1, 1)]
    up = [one.place[1] for one in placed]
    if region is not None:
        across += [region.extraction_low, region.extraction_high]
        up += [region.strength_low, region.strength_high]
    steps = 10 if max(up) < 4 else 1
    bottom, top = floor(min(up) * steps - 0.8) / steps, ceil(max(up) * steps + 0.8) / steps
    right = min(100, ceil(max(across) + 0.8))
    return (max(0.0, floor(min(across) - 0.8)), right), (max(0.0, bottom), top)


def _plot_region(axes: "Axes", region: Region) -> None:
    from matplotlib.patches import Rectangle

    axes.add_patch(
        Rectangle(
            (region.extraction_low, region.strength_low),
            region.extraction_high - region.extraction_low,
            region.strength_high - region.strength_low,
            facecolor=SOFT,
            alpha=0.45,
            edgecolor=INK,
            linestyle=(0, (4, 2)),
            linewidth=1.2,
            label="\n".join(wrap(region.name, LEGEND_WIDTH, SETTINGS["font.size"])),
        )
    )


def _plot_lines(axes: "Axes", frame: Any, how: Brewer) -> None:
    (left, right), (bottom, top) = frame
    crossing = [
        ratio
        for ratio in (SHORT_RATIOS if how is Brewer.ESPRESSO else RATIOS)
        if _find_height(how, ratio, right) > bottom and _find_height(how, ratio, left) < top
    ]
    every = ceil(len(crossing) / MOST_LINES) or 1
    for number, ratio in enumerate(crossing[::every]):
        ends = [_find_height(how, ratio, x) for x in (left, right)]
        label = words.LINES[how] if number == 0 else None
        axes.plot([left, right], ends, color=INK, linewidth=0.7, linestyle=(0, (1, 2)), label=label)
        x, y = _find_label(ends, frame)
        axes.annotate(f"1:{ratio:g}", (x, y), (-2, 2), textcoords="offset points", color=INK,
                      fontsize=8.5, ha="right", va="bottom", annotation_clip=True)  # fmt: skip


def _find_label(ends: Sequence[float], frame: Any) -> tuple[float, float]:
    """Return where a line leaves the frame, by its right or by its upper edge."""
    (left, right), (_, top) = frame
    if ends[1] <= top:
        return right, ends[1]
    part = (top - ends[0]) / (ends[1] - ends[0])
    return left + part * (right - left), top


def _plot_brews(
    axes: "Axes", brews: Sequence[ChartBrew], label: str, number: int, *, named: bool
) -> None:
    filled = number % 2 == 0
    axes.errorbar(
        [one.place[0] for one in brews],
        [one.place[1] for one in brews],
        xerr=[one.found.plus_minus for one in brews],
        yerr=[3**0.5 * one.found.strength.alone for one in brews if one.found.strength],
        fmt=MARKS[number % len(MARKS)],
        color=DEEP,
        ecolor=INK,
        elinewidth=0.9,
        capsize=2.5,
        markersize=7.5,
        markerfacecolor=DEEP if filled else PAPER,
        label="\n".join(wrap(label, LEGEND_WIDTH, SETTINGS["font.size"])),
    )
    for one in brews if named else ():
        axes.annotate(
            clean(one.name)[:12], one.place, (5, 5), textcoords="offset points", color=DEEP
        )
