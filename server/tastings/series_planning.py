"""Plan a rising series: read its form, say what is wrong field by field, make the plan."""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from itertools import pairwise
from typing import Annotated, Any, Literal

from pydantic import BaseModel, Field, StringConstraints, ValidationError

from server.blinding.plans import Plan, Pots, Pourer, Series
from server.blinding.series import count_batch
from server.blinding.series_rules import BASE, FEWEST_STEPS, MOST_STEPS, name_levels
from server.methods.ascending import ASCENDING
from server.stats.series import LEAST, MOST
from server.tastings.consequences import TOO_SMALL
from server.tastings.planning import MESSAGES as PLAN_MESSAGES
from server.tastings.planning import TYPED, USUAL_LIMITS, AgeLimit, Comma, Words
from server.tastings.refusals import Invalid, NotFound

Short = Annotated[str, StringConstraints(strip_whitespace=True, min_length=1, max_length=80)]
Unit = Annotated[str, StringConstraints(strip_whitespace=True, min_length=1, max_length=20)]
Limit = Annotated[Decimal, Comma, Field(gt=0, le=50, max_digits=5)]


class SeriesInput(BaseModel):
    """A plan of a series as a leader gives it."""

    question: Words
    base: Words
    substance: Short
    unit: Unit
    steps: Annotated[str, StringConstraints(max_length=300)]
    attribute: Annotated[str, StringConstraints(strip_whitespace=True, max_length=40)] = ""
    pourer: Literal[Pourer.ABSENT, Pourer.PRESENT, Pourer.RELAY, Pourer.TASTER]
    assessors: Annotated[int, Comma, Field(ge=1, le=60)]
    spare_seats: Annotated[int, Comma, Field(ge=0, le=6)] = 1
    cup_ml: Annotated[Decimal, Comma, Field(ge=10, le=200, max_digits=5)] = Decimal(30)
    pot_ml: Annotated[Decimal, Comma, Field(ge=100, le=20000, max_digits=7)] = Decimal(1000)
    swallow: Literal["", "on"] = ""
    temperature_limit: Limit = Decimal(2)
    fill_limit: Limit = Decimal(2)
    age_limit: AgeLimit = None


MESSAGES = PLAN_MESSAGES | {
    "base": "Name what everything is added to, in up to 300 characters.",
    "substance": "Name what is added, in up to 80 characters.",
    "unit": "Give one unit for all steps, such as g/L, mg/L, mL/L or %.",
    "steps": f"Give {FEWEST_STEPS} to {MOST_STEPS} rising numbers above 0, with blanks between.",
    "attribute": "Name it in a word or two, in up to 40 characters, or leave it empty.",
    "temperature_limit": "The temperature limit lies above 0 and at most at 50 °C.",
}


@dataclass(frozen=True)
class SeriesPlanned:
    """A plan that can be drawn, and the labels of its levels."""

    plan: Plan
    labels: Mapping[str, str]


def read_series_plan(form: Mapping[str, str]) -> SeriesPlanned:
    """Check a leader's form.

    Raises
    ------
    Invalid
        With one message for each field that cannot be taken.
    """
    given, messages = _read_input(form)
    steps = read_steps(form.get("steps", ""))
    if steps is None:
        messages["steps"] = MESSAGES["steps"]
    if messages or given is None or steps is None:
        raise Invalid(**messages)
    try:
        batch = count_batch(given.assessors + given.spare_seats, given.cup_ml, given.pot_ml)
    except ValueError:
        raise Invalid(pot_ml=TOO_SMALL) from None
    series = Series(substance=given.substance, unit=given.unit, steps=steps)
    plan = Plan(
        **given.model_dump(
            include={"question", "attribute", "pourer", "assessors", "spare_seats", "cup_ml"}
            | {"pot_ml", "temperature_limit", "fill_limit", "age_limit"}
        ),
        difference=given.substance,
        method=ASCENDING.name,
        standard=ASCENDING.standard,
        alpha=Decimal("0.05"),
        size_d_prime=None,
        rounds=len(steps),
        swallow=bool(given.swallow),
        pots=Pots.BLEND if batch > 1 else Pots.SINGLE,
        tds_limit=Decimal("0.05"),
        series=series,
    )
    return SeriesPlanned(plan, name_samples(given.base, series))


def _read_input(form: Mapping[str, str]) -> tuple[SeriesInput | None, dict[str, str]]:
    fields = SeriesInput.model_fields
    try:
        known = {name: form[name] for name in fields if name in form}
        return SeriesInput.model_validate(known), {}
    except ValidationError as error:
        wrong = {str(one["loc"][0]) for one in error.errors()}
        return None, {name: MESSAGES.get(name, "Check this.") for name in wrong}


def read_steps(text: str) -> tuple[Decimal, ...] | None:
    """Return rising steps as they were typed; None if they are none.

    Blanks, semicolons, or commas with a blank after them stand between two of them.

    Examples
    --------
    >>> read_steps("0,1 0,2; 0.4")
    (Decimal('0.1'), Decimal('0.2'), Decimal('0.4'))
    >>> read_steps("0.4 0.2 0.1") is None, read_steps("1 2") is None
    (True, True)
    """
    typed = [one.replace(",", ".") for one in re.split(r",?[\s;]+", text.strip())]
    if not FEWEST_STEPS <= len(typed) <= MOST_STEPS or not all(map(TYPED.fullmatch, typed)):
        return None
    steps = tuple(Decimal(one) for one in typed)
    rising = all(low < high for low, high in pairwise(steps))
    return steps if rising and steps[0] >= LEAST and steps[-1] <= MOST else None


def name_samples(base: str, series: Series) -> dict[str, str]:
    """Return the labels of the base and of every step, by level.

    Examples
    --------
    >>> name_samples("tea", Series(substance="salt", unit="g/L", steps=("0.1", "0.2", "0.4")))["C"]
    '0.2 g/L salt'
    """
    levels = name_levels(len(series.steps))
    named = zip(levels, series.steps, strict=True)
    return {BASE: base} | {
        level: f"{step:f} {series.unit} {series.substance}" for level, step in named
    }


def empty_series_form() -> dict[str, str]:
    """Return the form of a new plan: the defaults."""
    fields = SeriesInput.model_fields.items()
    given = {name: "" if field.is_required() else str(field.default) for name, field in fields}
    usual = {"age_limit": USUAL_LIMITS["age_limit"]}
    return given | usual | {"assessors": "8", "pourer": Pourer.ABSENT.value}


def series_form(plan: Plan, labels: Mapping[str, str]) -> dict[str, str]:
    """Return a stored plan as the form shows it."""
    assert plan.series is not None
    series = plan.series
    values: dict[str, Any] = {
        name: getattr(plan, name) for name in SeriesInput.model_fields if hasattr(plan, name)
    }
    values |= {
        "base": labels[BASE],
        "substance": series.substance,
        "unit": series.unit,
        "steps": " ".join(f"{one:f}" for one in series.steps),
        "swallow": "on" if plan.swallow else "",
    }
    return {name: "" if value is None else str(value) for name, value in values.items()}


def read_plan(stored: Mapping[str, Any]) -> Plan:
    """Read the stored plan of a series.

    Raises
    ------
    NotFound
        It is another kind of tasting.
    """
    plan = Plan.model_validate(stored)
    if plan.series is None:
        raise NotFound("This is no series.")
    return plan
