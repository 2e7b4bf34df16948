"""A brew's sheet as leader and pourer see it: recipe, clock, steps, readings."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from datetime import datetime, timedelta
from decimal import Decimal
from urllib.parse import quote

from fastapi import Request, Response

from server.brewing import brew_times
from server.brewing.bounds import parse_optional
from server.brewing.brew_times import TimedStep, list_times, name_last
from server.brewing.brewed import Brewed
from server.brewing.recipe import Recipe, StepKind
from server.brewing.sanity import Finding, check_brew
from server.brewing.yields import BrewYield, find_yield
from server.pages.rendering import go_to, is_fragment_wanted, show, show_fragment
from server.reports.brew_words import explain_yield, say_remark, say_yield
from server.reports.step_words import say_number, say_recipe, say_step, say_weighed
from server.tastings.brew_readings import ASKED_OF, HOT_C, Doubt, weigh_water, write_form
from server.tastings.pieces_used import FIELD, PartChoice
from server.tastings.refusals import Invalid, NotFound, Refusal


@dataclass(frozen=True)
class BrewSheet:
    """A brew's sheet.

    Attributes
    ----------
    base, back, back_name
        Address of the sheet; where its link back leads, and what that is called.
    heading, serves
        What is brewed; the cups it fills, as code and place.
    open
        Whether taps are taken; ``kept`` whether it is finished and counted; ``owned`` whether
        it is shown to the leader, who may also forget it; ``in_record`` whether it is for a
        sealed slot, ``over`` whether that tasting's record takes no more readings.
    now
        The server's clock when the page was made.
    refused
        Why the last tap was not taken.
    pieces
        What the part under test can have been; none if there is no part. ``piece`` is the
        label of the one that was chosen when the brew began.
    ml
        Water that was just typed in millilitres.
    form, errors, questions
        What was typed and not taken, why, and what is asked about it.
    """

    base: str
    back: str
    back_name: str
    heading: str
    recipe: Recipe
    brewed: Brewed
    now: datetime
    open: bool = True
    kept: bool = False
    owned: bool = False
    in_record: bool = False
    over: bool = False
    serves: tuple[tuple[str, str], ...] = ()
    refused: str = ""
    pieces: tuple[PartChoice, ...] = ()
    piece: str = ""
    ml: str = ""
    form: Mapping[str, str] = field(default_factory=dict)
    errors: Mapping[str, str] = field(default_factory=dict)
    questions: tuple[Finding, ...] = ()

    @property
    def short(self) -> str:
        """The recipe in one line."""
        return say_recipe(self.recipe)

    @property
    def rows(self) -> tuple[TimedStep, ...]:
        """Planned steps, and when they were done."""
        return list_times(self.recipe, self.brewed)

    @property
    def present(self) -> TimedStep | None:
        """What is being done: of the steps done, the last by its place."""
        return next((row for row in reversed(self.rows) if row.done_s is not None), None)

    @property
    def next(self) -> TimedStep | None:
        """What is to be done next: the first step after the last one done."""
        after = self.present.place + 1 if self.present else 0
        return self.rows[after] if after < len(self.rows) else None

    @property
    def has_end(self) -> bool:
        """Whether the end is one of the planned steps."""
        return any(step.kind is StepKind.END for step in self.recipe.steps)

    @property
    def last(self) -> str:
        """What an undo would take back."""
        return name_last(self.brewed)

    @property
    def started_at(self) -> datetime | None:
        """When the first water touched the coffee."""
        return datetime.fromisoformat(self.brewed.started) if self.brewed.started else None

    @property
    def since_s(self) -> int:
        """Seconds on the clock when the page was made."""
        if self.brewed.ended_s is not None:
            return self.brewed.ended_s
        return brew_times.measure_since(self.brewed, self.now) if self.brewed.started else 0

    @property
    def readings(self) -> Mapping[str, str]:
        """The form of the readings: as it was typed, or as it was noted."""
        return self.form if "tds" in self.form else {FIELD: self.piece} | write_form(self.brewed)

    @property
    def weighed(self) -> str:
        """What water typed in millilitres was noted as, if it was."""
        grams, heat = self.brewed.water_g, self.recipe.water_c or HOT_C
        try:
            typed = parse_optional("water_ml", self.ml)
        except ValueError:
            return ""
        if typed is None or grams is None or weigh_water(typed, heat) != grams:
            return ""
        return say_weighed(typed, grams, heat)

    @property
    def again(self) -> bool:
        """Whether a slot's brew can be made anew here."""
        return self.in_record and self.kept and not self.owned and not self.over

    @property
    def typed_times(self) -> tuple[str, ...]:
        """The fields of the times."""
        places = [str(row.place) for row in self.rows]
        return (*(f"{name}_{place}" for place in places for name in ("at", "scale")), "at_end")

    @property
    def extra(self) -> tuple[str, ...]:
        """What else the yield of this brewer takes."""
        return ASKED_OF[self.recipe.device.how]

    @property
    def remarks(self) -> tuple[str, ...]:
        """What strikes about the numbers that are noted."""
        found = check_brew(self.recipe.device.how, self.brewed, self.recipe.water_c)
        return tuple(say_remark(one) for one in found)

    @property
    def extraction(self) -> str:
        """The yield with its limits and its form, or why there is none."""
        said = say_yield(self._yield)
        return said if self._yield.percent is None else f"Extraction yield {said}"

    @property
    def explained(self) -> tuple[str, ...]:
        """How the yield came about, and what its limits count."""
        return explain_yield(self._yield)

    @property
    def _yield(self) -> BrewYield:
        return find_yield(self.recipe.device.how, self.brewed)

    def say(self, question: Finding) -> str:
        """Say what is asked about a number."""
        return say_remark(question)

    def number(self, value: Decimal | None) -> str:
        """Write a number without empty decimals."""
        return say_number(value)

    def tell(self, row: TimedStep) -> str:
        """Say what is done at a step."""
        return say_step(row.step)

    def clock(self, row: TimedStep) -> str:
        """Return the clock time for which a step is planned, once the brew has begun."""
        begun = self.started_at
        return f"{begun + timedelta(seconds=row.step.at_s):%H:%M:%S}" if begun else ""

    def minutes(self, seconds: int) -> str:
        """Write seconds as minutes and seconds."""
        return brew_times.write_minutes(seconds)


def answer_form(
    request: Request,
    find: Callable[[], BrewSheet],
    act: Callable[[], None],
    form: Mapping[str, str],
) -> Response:
    """Do what a form of the sheet asks for, and show the sheet again.

    A refused form keeps what was typed, each message beside its field.
    """
    try:
        act()
    except NotFound:
        raise
    except Invalid as error:
        asked = error.questions if isinstance(error, Doubt) else ()
        view = replace(find(), form=form, errors=error.messages, questions=asked)
        return show(request, "brewing/sheet", view, error.status)
    except Refusal as error:
        return show(request, "brewing/sheet", replace(find(), refused=str(error)), error.status)
    ml = quote(form.get("water_g", "").strip()) if form.get("water_unit") == "mL" else ""
    return go_to(request, find().base + (f"?ml={ml}" if ml else ""))


def answer_tap(
    request: Request, find: Callable[[], BrewSheet], act: Callable[[], None]
) -> Response:
    """Do what a tap asks for; a script gets the clock and the steps alone."""
    refused, status = "", 200
    try:
        act()
    except NotFound:
        raise
    except Refusal as error:
        refused, status = str(error), error.status
    view = replace(find(), refused=refused)
    if is_fragment_wanted(request):
        return show_fragment(request, "brewing/timer", view, status)
    return show(request, "brewing/sheet", view, status) if refused else go_to(request, view.base)
