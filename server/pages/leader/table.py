"""A tasting as its leader sees it: the draft, the table while tasting goes on, the end."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from decimal import Decimal

from fastapi import APIRouter, Request, Response

from server.blinding.events import State
from server.blinding.marks import find_open
from server.blinding.plans import Plan
from server.blinding.table_record import Calibration
from server.methods.base import Method
from server.methods.registry import get_method
from server.methods.traits import (
    answers_yes_or_no,
    asks_for_liking,
    count_looks,
    has_like_cups,
    is_two_sided,
)
from server.pages.deps import AtBench, Leader, LedRow
from server.pages.leader.series_plan import lay_out_series
from server.pages.leader.table_plan import lay_out_draft
from server.pages.rendering import go_to, show, show_fragment
from server.reports.contrast_words import NAMES
from server.reports.looks import measure_looks
from server.storage.tables import Tasting
from server.tastings import calibrating
from server.tastings.bench import Bench
from server.tastings.consequences import Consequences, work_out
from server.tastings.discussing import may_discuss
from server.tastings.plan_forms import plan_form, size_percent
from server.tastings.planning import read_numbers
from server.tastings.progress import LedTasting, Progress, find_led, show_progress
from server.tastings.refusals import Invalid, WrongState
from server.tastings.tasting_list import find_labels
from server.tastings.trying_out import Gate, find_gate
from server.tastings.turning import find_unturned, list_sittings

router = APIRouter()


@dataclass(frozen=True)
class Draft:
    """A plan that is not sealed yet."""

    tasting: Tasting
    plan: Plan
    labels: Mapping[str, str]
    size_percent: Decimal
    consequences: Consequences
    gate: Gate | None = None
    form: Mapping[str, str] = field(default_factory=dict)
    errors: Mapping[str, str] = field(default_factory=dict)

    @property
    def method(self) -> Method:
        """How it is asked."""
        return get_method(self.plan.method)

    @property
    def contrast(self) -> str:
        """What the samples differ in, in a few words; empty if nobody said."""
        return NAMES[self.plan.contrast] if self.plan.contrast else ""

    @property
    def soaked(self) -> bool:
        """Tell whether it is planned how a part stands in water."""
        return self.plan.bench is not None and self.plan.bench.soak is not None

    @property
    def alike(self) -> bool:
        """Tell whether a serving has like cups."""
        return has_like_cups(self.method)

    @property
    def two_sided(self) -> bool:
        """Tell whether either sample may be chosen more often."""
        return is_two_sided(self.method)

    @property
    def yes_or_no(self) -> bool:
        """Tell whether servings of two kinds are called one or the other."""
        return answers_yes_or_no(self.method)

    @property
    def liking(self) -> bool:
        """Tell whether people are asked what they like."""
        return asks_for_liking(self.method)

    @property
    def looks(self) -> int:
        """Cups set side by side to be judged by eye."""
        return count_looks(self.method)

    @property
    def is_seen(self) -> bool:
        """Tell whether looking alone found more than guessing explains."""
        look = measure_looks(self.plan)
        return look is not None and look.is_cue


@dataclass(frozen=True)
class Table:
    """A sealed tasting; ``form`` and ``errors`` are those of the forms at its foot."""

    led: LedTasting
    progress: Progress
    form: Mapping[str, str] = field(default_factory=dict)
    errors: Mapping[str, str] = field(default_factory=dict)

    @property
    def head(self) -> str:
        """The chain's newest link: what is published at closing."""
        return self.led.record.head

    @property
    def may_talk(self) -> bool:
        """Tell whether a scored table may talk: all its sheets are locked."""
        return may_discuss(self.led.layout, self.led.record)

    @property
    def next_open_bowl(self) -> int | None:
        """The sitting whose open bowl may be noted now."""
        return calibrating.find_next_sitting(self.led.layout, self.led.record)

    def find_calibration(self, sitting: int) -> Calibration | None:
        """Return what was noted of a sitting's open bowl."""
        return calibrating.find_calibration(self.led.record, sitting)

    @property
    def unturned(self) -> list[int]:
        """Sittings alone with answers, whose marks are not entered."""
        if self.led.state == State.ABANDONED:
            return []
        return find_unturned(self.led.layout, self.led.record)

    @property
    def is_early(self) -> bool:
        """Tell whether marks were turned while planned servings are still to be tasted."""
        layout, record = self.led.layout, self.led.record
        left = (find_open(layout, record, number) for number in list_sittings(layout))
        return bool(record.reveals) and any(left)


@router.get("/tastings/{tasting_id}")
def tasting_page(request: Request, bench: AtBench, leader: Leader, tasting: LedRow) -> Response:
    """Show a tasting, whatever its state."""
    led = find_led(bench, leader.id, tasting.id)
    if led is None:
        return show_draft(request, bench, tasting)
    return show_table(request, led)


@router.get("/tastings/{tasting_id}/progress")
def tasting_progress(
    request: Request, bench: AtBench, leader: Leader, tasting: LedRow, v: int = -1
) -> Response:
    """Show the board; nothing if the caller has the newest version."""
    if tasting.version == v:
        return Response(status_code=204)
    led = find_led(bench, leader.id, tasting.id)
    if led is None:
        return Response(status_code=204)
    return show_fragment(request, "leader/progress", show_progress(led))


def show_draft(
    request: Request,
    bench: Bench,
    tasting: Tasting,
    form: Mapping[str, str] | None = None,
    errors: Mapping[str, str] | None = None,
) -> Response:
    """Show a plan that is not sealed yet, with what kept it from being sealed."""
    labels, status = find_labels(bench, tasting.id), 422 if errors else 200
    gate, form, errors = find_gate(bench, tasting), form or {}, errors or {}
    if tasting.plan.get("table"):
        scored = replace(lay_out_draft(tasting, labels), gate=gate, form=form, errors=errors)
        return show(request, "leader/table_draft", scored, status)
    if tasting.plan.get("series"):
        rising = replace(lay_out_series(tasting, labels), gate=gate, form=form, errors=errors)
        return show(request, "leader/series_draft", rising, status)
    draft = replace(_draft(tasting, labels), gate=gate, form=form, errors=errors)
    return show(request, "leader/draft", draft, status)


def show_table(
    request: Request,
    led: LedTasting,
    form: Mapping[str, str] | None = None,
    errors: Mapping[str, str] | None = None,
) -> Response:
    """Show a sealed tasting, with what was typed into a form that could not be taken."""
    view = Table(led, show_progress(led), form or {}, errors or {})
    return show(request, "leader/table", view, 422 if errors else 200)


def act_at_table(
    request: Request,
    led: LedTasting,
    form: Mapping[str, str],
    act: Callable[[], None],
    wanted: State | None = None,
) -> Response:
    """Act, and show the table; a second tap that finds the wanted state changes nothing."""
    try:
        act()
    except WrongState as error:
        if error.state != wanted:
            raise
    except Invalid as error:
        return show_table(request, led, form, error.messages)
    return go_to(request, f"/tastings/{led.tasting.id}")


def _draft(tasting: Tasting, labels: Mapping[str, str]) -> Draft:
    plan = Plan.model_validate(tasting.plan)
    numbers = read_numbers(plan_form(plan, labels))
    return Draft(tasting, plan, labels, size_percent(plan), work_out(numbers))
