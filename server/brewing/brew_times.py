"""When the steps of a brew were done, beside when they were planned."""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, datetime
from decimal import Decimal

from server.brewing.brewed import Brewed, StepDone
from server.brewing.recipe import LONGEST_STEP_S, Recipe, Step, StepKind

MOST_SHOTS = 12
START, END, SHOT = "start", "end", "shot"
_MINUTES = re.compile(r"([0-9]{1,4}):([0-5][0-9])", re.ASCII)
_SECONDS = re.compile(r"[0-9]{1,5}", re.ASCII)


@dataclass(frozen=True)
class TimedStep:
    """A planned step, and when it was done: seconds from the first water.

    ``place`` is its place among the steps of the recipe, from 0.
    """

    place: int
    step: Step
    done_s: int | None = None
    scale_g: Decimal | None = None

    @property
    def late_s(self) -> int | None:
        """Seconds after its time; below 0 if it was early."""
        return None if self.done_s is None else self.done_s - self.step.at_s


def list_times(recipe: Recipe, brewed: Brewed) -> tuple[TimedStep, ...]:
    """Set the planned steps beside what was done; the end is done when the brew has ended.

    Examples
    --------
    >>> from server.brewing.recipe import read_recipe
    >>> steps = [{"kind": "pour", "at_s": 0, "water_g": "60"}, {"kind": "end", "at_s": 150}]
    >>> recipe = read_recipe({"title": "Oats", "dose_g": "20", "water_g": "60", "steps": steps})
    >>> [one.late_s for one in list_times(recipe, Brewed(ended_s=162))]
    [None, 12]
    """
    done = {one.planned: one for one in brewed.steps}
    rows = []
    for place, step in enumerate(recipe.steps):
        found = done.get(place)
        at = brewed.ended_s if step.kind is StepKind.END else found.at_s if found else None
        rows.append(TimedStep(place, step, at, found.water_g if found else None))
    return tuple(rows)


def note_start(recipe: Recipe, brewed: Brewed, moment: datetime) -> Brewed:
    """Note that the first water touches the coffee; a pour planned for then is done with it."""
    if brewed.started is not None:
        return brewed
    started = moment.astimezone(UTC).isoformat(timespec="milliseconds")
    noted = brewed.model_copy(update={"started": started})
    first = recipe.steps[0] if recipe.steps else None
    begins = first is not None and first.kind is StepKind.POUR and first.at_s == 0
    return note_step(recipe, noted, 0, 0) if begins else noted


def note_step(recipe: Recipe, brewed: Brewed, place: int, at_s: int) -> Brewed:
    """Note a planned step; one that is noted already stays as it is.

    Raises
    ------
    ValueError
        There is no step at this place.
    """
    if not 0 <= place < len(recipe.steps):
        raise ValueError(f"place must be that of a step, got {place}")
    step = recipe.steps[place]
    if step.kind is StepKind.END:
        return note_end(brewed, at_s)
    if any(one.planned == place for one in brewed.steps):
        return brewed
    return set_step(recipe, brewed, place, at_s)


def set_step(
    recipe: Recipe, brewed: Brewed, place: int, at_s: int, scale_g: Decimal | None = None
) -> Brewed:
    """Note a planned step anew, whatever was noted of it before."""
    kind = recipe.steps[place].kind
    done = StepDone(kind=kind, at_s=_limit(at_s), water_g=scale_g, planned=place)
    others = [one for one in brewed.steps if one.planned != place]
    steps = sorted([*others, done], key=lambda one: (one.at_s, one.planned or 0))
    return brewed.model_copy(update={"steps": tuple(steps)})


def note_end(brewed: Brewed, at_s: int) -> Brewed:
    """Note that the brew is over; the first time counts."""
    if brewed.ended_s is not None:
        return brewed
    return brewed.model_copy(update={"ended_s": _limit(at_s)})


def count_shots(brewed: Brewed, shots: int) -> Brewed:
    """Note how many shots make up this brew."""
    return brewed.model_copy(update={"shots": min(max(shots, 1), MOST_SHOTS)})


def name_last(brewed: Brewed) -> str:
    """Name what was tapped last, for the undoing of it; empty if nothing was.

    Examples
    --------
    >>> name_last(Brewed(started="2031-05-14T09:00:00+00:00", ended_s=150))
    'end'
    """
    if brewed.ended_s is not None:
        return END
    planned = [one for one in brewed.steps if one.planned is not None]
    if planned and not (brewed.started and _begins(planned)):
        return str(planned[-1].planned)
    return START if brewed.started else ""


def undo_last(brewed: Brewed, name: str) -> Brewed:
    """Take back what was tapped last, if that is what is named: a second tap takes nothing."""
    if not name or name != name_last(brewed):
        return brewed
    if name == END:
        return brewed.model_copy(update={"ended_s": None})
    if name == START:
        return brewed.model_copy(update={"started": None, "steps": ()})
    left = tuple(one for one in brewed.steps if one.planned != int(name))
    return brewed.model_copy(update={"steps": left})


def measure_since(brewed: Brewed, moment: datetime) -> int:
    """Return the whole seconds from the first water to a moment; never below 0.

    Raises
    ------
    ValueError
        The brew has not begun.
    """
    if brewed.started is None:
        raise ValueError("the brew has not begun")
    return _limit(int((moment - datetime.fromisoformat(brewed.started)).total_seconds()))


def read_minutes(text: str) -> int | None:
    """Read a time since the first water, as minutes and seconds or as seconds alone.

    Raises
    ------
    ValueError
        It is neither.

    Examples
    --------
    >>> read_minutes("1:05"), read_minutes("65"), read_minutes(" ")
    (65, 65, None)
    """
    typed = text.strip()
    if not typed:
        return None
    found = _MINUTES.fullmatch(typed)
    seconds = 60 * int(found[1]) + int(found[2]) if found else -1
    if _SECONDS.fullmatch(typed):
        seconds = int(typed)
    if not 0 <= seconds <= LONGEST_STEP_S:
        raise ValueError("Give minutes and seconds since the first water, such as 1:05.")
    return seconds


def write_minutes(seconds: int) -> str:
    """Write seconds as minutes and seconds.

    Examples
    --------
    >>> write_minutes(65), write_minutes(-5)
    ('1:05', '−0:05')
    """
    minutes, rest = divmod(abs(seconds), 60)
    return f"{'−' if seconds < 0 else ''}{minutes}:{rest:02d}"


def type_times(
    recipe: Recipe,
    brewed: Brewed,
    times: Mapping[int, int],
    scales: Mapping[int, Decimal],
    ended_s: int | None = None,
) -> Brewed:
    """Put what was typed in place of what was tapped; what was not typed stays.

    Parameters
    ----------
    times, scales
        By the place of a step: seconds from the first water, and what the scale showed, g.

    Raises
    ------
    ValueError
        A scale was read at a step that has no time, or the end comes before a step.
    """
    known = {one.planned: one for one in brewed.steps}
    for place in sorted({*times, *scales} & set(range(len(recipe.steps)))):
        before = known.get(place)
        at_s = times.get(place, before.at_s if before else None)
        if at_s is None:
            raise ValueError(f"times must have step {place}, whose scale was read")
        brewed = set_step(
            recipe, brewed, place, at_s, scales.get(place, before.water_g if before else None)
        )
    end = brewed.ended_s if ended_s is None else _limit(ended_s)
    if end is not None and any(one.at_s > end for one in brewed.steps):
        raise ValueError(f"ended_s must not come before a step, got {end}")
    return brewed.model_copy(update={"ended_s": end})


def _begins(planned: list[StepDone]) -> bool:
    """Whether all that is noted is the pour that goes with the first water."""
    return len(planned) == 1 and planned[0].planned == 0 and planned[0].at_s == 0


def _limit(seconds: int) -> int:
    return min(max(seconds, 0), LONGEST_STEP_S)
