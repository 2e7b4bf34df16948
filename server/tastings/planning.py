"""Plan a tasting: six answers, defaults for the rest, and what follows from them."""

import re
from collections.abc import Mapping
from decimal import Decimal
from typing import Annotated, Any, TypeVar

from pydantic import (
    AfterValidator,
    BaseModel,
    BeforeValidator,
    Field,
    StringConstraints,
    ValidationError,
)

from server.blinding.sealed import Plan, PositiveControl, Pots, Pourer
from server.methods.asked import find_size
from server.methods.registry import get_method
from server.tastings.refusals import Invalid

P = TypeVar("P", bound="PlanNumbers")
DIGITS_OF_SIZE = Decimal("0.000001")
TYPED = re.compile(r"[+-]?(?:[0-9]+\.?[0-9]*|\.[0-9]+)", re.ASCII)


def _accept_comma(value: Any) -> Any:
    if not isinstance(value, str):
        return value
    text = value.strip().replace(",", ".")
    if not TYPED.fullmatch(text):
        raise ValueError("not a number as people write it")  # such as 4e1 or 1_0
    return text


def _know_method(name: str) -> str:
    return get_method(name).name


Words = Annotated[str, StringConstraints(strip_whitespace=True, min_length=1, max_length=300)]
Comma = BeforeValidator(_accept_comma)


class PlanNumbers(BaseModel):
    """The part of a plan from which its cost and its power follow."""

    assessors: Annotated[int, Comma, Field(ge=1, le=60)]
    size_percent: Annotated[Decimal, Comma, Field(ge=1, le=99, decimal_places=2)]
    rounds: Annotated[int, Comma, Field(ge=1, le=12)] = 3
    spare_seats: Annotated[int, Comma, Field(ge=0, le=6)] = 1
    alpha: Annotated[Decimal, Comma, Field(gt=0, le=Decimal("0.5"), max_digits=6)] = Decimal("0.05")
    cup_ml: Annotated[Decimal, Comma, Field(ge=10, le=200, max_digits=5)] = Decimal(40)
    pot_ml: Annotated[Decimal, Comma, Field(ge=100, le=20000, max_digits=7)] = Decimal(500)
    swallow: bool = True
    pots: Pots = Pots.SEPARATE
    null_control: bool = False
    positive_control: bool = False
    positive_percent: Annotated[Decimal, Comma, Field(ge=1, le=99, decimal_places=2)] = Decimal(90)
    method: Annotated[str, AfterValidator(_know_method)] = "triangle"

    @property
    def total_rounds(self) -> int:
        """Servings a person, controls included."""
        return self.rounds + self.null_control + self.positive_control


class PlanInput(PlanNumbers):
    """A whole plan as a leader gives it."""

    question: Words
    sample_a: Words
    sample_b: Words
    difference: Words
    pourer: Pourer
    tds_limit: Annotated[Decimal, Comma, Field(gt=0, le=5, max_digits=5)] = Decimal("0.05")
    temperature_limit: Annotated[Decimal, Comma, Field(gt=0, le=30, max_digits=5)] = Decimal(2)
    fill_limit: Annotated[Decimal, Comma, Field(gt=0, le=50, max_digits=5)] = Decimal(2)
    positive_label: Annotated[str, StringConstraints(strip_whitespace=True, max_length=300)] = ""


MESSAGES = {
    "question": "Write the question you want answered, in up to 300 characters.",
    "sample_a": "Name the first sample, in up to 300 characters.",
    "sample_b": "Name the second sample; it needs a name of its own.",
    "difference": "Write the one thing that differs between the samples.",
    "pourer": "Choose who pours.",
    "assessors": "How many people taste? A whole number from 1 to 60.",
    "size_percent": "Give a share from 1 to 99 percent, with two decimals at most.",
    "rounds": "Rounds: a whole number from 1 to 12.",
    "spare_seats": "Spare seats: a whole number from 0 to 6.",
    "alpha": "α lies above 0 and at most at 0.5; 0.05 is usual.",
    "cup_ml": "A cup holds 10 to 200 mL.",
    "pot_ml": "A pot holds 100 to 20000 mL.",
    "tds_limit": "The TDS limit lies above 0 and at most at 5 %.",
    "method": "Choose one of the test methods there are.",
    "pots": "Choose where the like cups come from.",
    "positive_label": "Say what the known difference is, such as A with 12 % water added.",
    "positive_percent": "Give a share from 1 to 99 percent, with two decimals at most.",
    "fill_limit": "The fill limit lies above 0 and at most at 50 g.",
    "temperature_limit": "The temperature limit lies above 0 and at most at 30 °C.",
}


def read_plan(form: Mapping[str, Any]) -> PlanInput:
    """Check a leader's form.

    Raises
    ------
    Invalid
        With one message for each field that cannot be taken.
    """
    plan = _read(PlanInput, form)
    if plan.sample_a.casefold() == plan.sample_b.casefold():
        raise Invalid(sample_b=MESSAGES["sample_b"])
    if plan.positive_control and not plan.positive_label:
        raise Invalid(positive_label=MESSAGES["positive_label"])
    return plan


def read_numbers(form: Mapping[str, Any]) -> PlanNumbers:
    """Check only what cost and power follow from; raises `Invalid` likewise."""
    return _read(PlanNumbers, form)


def _read(model: type[P], form: Mapping[str, Any]) -> P:
    given = {name: value for name, value in form.items() if name in model.model_fields}
    for name, field in model.model_fields.items():
        if field.annotation is bool and form:
            given[name] = str(form.get(name, "")).lower() in ("1", "true", "on", "yes")
    try:
        return model.model_validate(given)
    except ValidationError as error:
        wrong = {str(one["loc"][0]) for one in error.errors()}
        raise Invalid(**{name: MESSAGES.get(name, "Check this.") for name in wrong}) from None


def seal_ready(given: PlanInput) -> Plan:
    """Turn a leader's input into the plan that will be sealed."""
    kept = given.model_dump(include=set(Plan.model_fields) - {"positive_control"})
    return Plan(
        **kept,
        standard=get_method(given.method).standard,
        size_d_prime=_to_d_prime(given.method, given.size_percent),
        positive_control=PositiveControl(
            label=given.positive_label,
            size_d_prime=_to_d_prime(given.method, given.positive_percent),
        )
        if given.positive_control
        else None,
    )


def _to_d_prime(method: str, percent: Decimal) -> Decimal:
    model = get_method(method).model
    d_prime = model.d_prime(model.chance + (1 - model.chance) * float(percent) / 100)
    assert d_prime is not None  # only certainty has no d′, and a plan asks for less
    return Decimal(d_prime).quantize(DIGITS_OF_SIZE)


def size_percent(plan: Plan) -> Decimal:
    """Return the size that matters as the share of judgements that notice, in percent."""
    return _round_percent(find_size(plan).share)


def _to_percent(method: str, d_prime: Decimal) -> Decimal:
    model = get_method(method).model
    pc = float(model.pc(float(d_prime)))
    return _round_percent((pc - model.chance) / (1 - model.chance))


def _round_percent(share: float) -> Decimal:
    rounded = Decimal(100 * share).quantize(Decimal("0.01")).normalize()
    return rounded.quantize(Decimal(1)) if rounded == rounded.to_integral_value() else rounded


def plan_form(plan: Plan, labels: Mapping[str, str]) -> dict[str, str]:
    """Return a stored plan as the form shows it: field name to typed text."""
    values = {
        name: str(getattr(plan, name)) for name in PlanInput.model_fields if hasattr(plan, name)
    }
    positive = plan.positive_control
    values |= {
        "swallow": _tick(plan.swallow),
        "null_control": _tick(plan.null_control),
        "positive_control": _tick(positive is not None),
        "sample_a": labels["A"],
        "sample_b": labels["B"],
        "size_percent": str(size_percent(plan)),
    }
    if positive is not None:
        percent = _to_percent(plan.method, positive.size_d_prime)
        values |= {"positive_label": positive.label, "positive_percent": str(percent)}
    return values


def _tick(ticked: bool) -> str:
    return "on" if ticked else ""


def empty_form() -> dict[str, str]:
    """Return the form of a new plan: the defaults, and nothing in the six answers."""
    fields = PlanInput.model_fields.items()
    given = {
        name: "" if field.is_required() else str(field.default)
        for name, field in fields
        if field.annotation is not bool
    }
    return given | {"swallow": "on", "assessors": "6", "size_percent": "50"}
