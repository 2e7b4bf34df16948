"""A brew's sheet as leader and pourer see it: recipe, clock, steps, readings."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from datetime import datetime, timedelta

from fastapi import Request, Response

from server.brewing import brew_times
from server.brewing.brew_times import TimedStep, list_times, name_last
from server.brewing.brewed import Brewed
from server.brewing.cautions import HOT, Caution
from server.brewing.recipe import Recipe, StepKind
from server.pages.rendering import go_to, is_fragment_wanted, show, show_fragment
from server.reports.step_words import say_recipe, say_step
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
        it is shown to the leader, who may also forget it.
    now
        The server's clock when the page was made.
    refused
        Why the last tap was not taken.
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
    serves: tuple[tuple[str, str], ...] = ()
    refused: str = ""
    form: Mapping[str, str] = field(default_factory=dict)
    errors: Mapping[str, str] = field(default_factory=dict)
    hot: Caution = HOT

    @property
    def short(self) -> str:
        """The recipe in one line."""
        return say_recipe(self.recipe)

    @property
    def rows(self) -> tuple[TimedStep, ...]:
        """Planned steps, and when they were done."""
        return list_times(self.recipe, self.brewed)

    @property
    def next(self) -> TimedStep | None:
        """What is to be done next: the first step after the last one done."""
        rows = self.rows
        after = max((row.place for row in rows if row.done_s is not None), default=-1) + 1
        return rows[after] if after < len(rows) else None

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
        view = replace(find(), form=form, errors=error.messages)
        return show(request, "brewing/sheet", view, error.status)
    except Refusal as error:
        return show(request, "brewing/sheet", replace(find(), refused=str(error)), error.status)
    return go_to(request, find().base)


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
