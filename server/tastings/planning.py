"""Plan a tasting: six answers, and defaults for the rest."""

import re
from collections.abc import Mapping
from decimal import Decimal
from typing import Annotated, Any, Literal, TypeVar

from pydantic import (
    AfterValidator,
    BaseModel,
    BeforeValidator,
    Field,
    StringConstraints,
    ValidationError,
)

from server.blinding.bench_plans import Contrast
from server.blinding.plans import Pots, Pourer, Relief
from server.methods.registry import METHODS, UnknownMethod, get_method
from server.methods.traits import (
    answers_yes_or_no,
    asks_by_name,
    can_be_shuffled,
    is_two_sided,
)
from server.tastings.applying import keep_what_applies
from server.tastings.declaring import refuse_what_cannot_be
from server.tastings.refusals import Invalid
from server.tastings.sittings import suggest_sittings

P = TypeVar("P", bound="PlanNumbers")
LEAST_POT_ML = 100  # but where it fills a single cup
TYPED = re.compile(r"[+-]?(?:[0-9]+\.?[0-9]*|\.[0-9]+)", re.ASCII)


def _accept_comma(value: Any) -> Any:
    if not isinstance(value, str):
        return value
    text = value.strip().replace(",", ".")
    if not TYPED.fullmatch(text):
        raise ValueError("not a number as people write it")  # such as 4e1 or 1_0
    return text


def _know_method(name: str) -> str:
    if name not in METHODS:
        raise UnknownMethod(name)
    return name


def _accept_nothing(value: Any) -> Any:
    return None if isinstance(value, str) and not value.strip() else value


Words = Annotated[str, StringConstraints(strip_whitespace=True, min_length=1, max_length=300)]
Comma = BeforeValidator(_accept_comma)
Added = Annotated[Decimal, Comma, Field(gt=0, le=100, decimal_places=1)]
Water = Annotated[Added | None, BeforeValidator(_accept_nothing)]
"""Grams of water to 100 g of sample A; None if there is none."""

Points = Annotated[Decimal, Comma, Field(gt=0, le=10, max_digits=5)]
Minutes = Annotated[Decimal, Comma, Field(gt=0, le=120, max_digits=5)]
ExtractionLimit = Annotated[Points | None, BeforeValidator(_accept_nothing)]
AgeLimit = Annotated[Minutes | None, BeforeValidator(_accept_nothing)]
USUAL_LIMITS = {"extraction_limit": "0.7", "age_limit": "2"}
"""What a new plan's form offers; common practice, no source."""


class PlanNumbers(BaseModel):
    """The part of a plan from which its cost and its power follow."""

    assessors: Annotated[int, Comma, Field(ge=1, le=60)]
    size_percent: Annotated[Decimal, Comma, Field(ge=1, le=99, decimal_places=2)]
    pourer: Pourer = Pourer.ABSENT
    rounds: Annotated[int, Comma, Field(ge=1, le=12)] = 3
    sittings: Annotated[int, Comma, Field(ge=1, le=24)] = 1
    spare_seats: Annotated[int, Comma, Field(ge=0, le=6)] = 1
    alpha: Annotated[Decimal, Comma, Field(gt=0, le=Decimal("0.5"), max_digits=6)] = Decimal("0.05")
    cup_ml: Annotated[Decimal, Comma, Field(ge=10, le=200, max_digits=5)] = Decimal(40)
    pot_ml: Annotated[Decimal, Comma, Field(ge=10, le=20000, max_digits=7)] = Decimal(500)
    loss_ml: Annotated[Decimal, Comma, Field(ge=0, le=2000, max_digits=5)] = Decimal(0)
    swallow: bool = True
    pots: Pots = Pots.SEPARATE
    null_control: bool = False
    positive_control: bool = False
    positive_percent: Annotated[Decimal, Comma, Field(ge=1, le=99, decimal_places=2)] = Decimal(90)
    positive_rounds: Annotated[int, Comma, Field(ge=1, le=12)] = 1
    method: Annotated[str, AfterValidator(_know_method)] = "triangle"
    no_preference: Literal["forced", "left_out", "split_evenly"] = "forced"
    open_cups: Literal["", "A", "AB"] = ""
    told_shares: bool = False
    relief: Relief = Relief.NONE
    days: Annotated[int, Comma, Field(ge=1, le=12)] = 1
    shows: Literal["some", "few"] = "some"
    stop_rule: Literal["fixed", "sequential"] = "fixed"
    every: Annotated[int, Comma, Field(ge=1, le=12)] = 1
    at_end: Literal["no decision", "nearer line"] = "no decision"
    several: Literal["", "pooled", "people"] = ""
    groups: Annotated[str, StringConstraints(strip_whitespace=True, max_length=500)] = ""
    beta: Annotated[Decimal, Comma, Field(gt=0, le=Decimal("0.5"), max_digits=6)] = Decimal("0.05")
    contrast: Contrast = ""
    smell_only: bool = False

    @property
    def alone(self) -> bool:
        """Whether one person pours and tastes."""
        return self.pourer == Pourer.ALONE

    @property
    def single_cups(self) -> bool:
        """Whether every cup is a brew of its own."""
        return self.pots == Pots.SEPARATE and self.pot_ml == self.cup_ml

    @property
    def trials(self) -> int:
        """Servings of the test itself."""
        return self.assessors * self.rounds * self.sittings

    @property
    def known_rounds(self) -> int:
        """Rounds of the positive control."""
        return self.positive_rounds if self.positive_control else 0

    @property
    def sitting_rounds(self) -> int:
        """Servings a person in one go, controls included."""
        return self.rounds + self.null_control + self.known_rounds


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
    extraction_limit: ExtractionLimit = None
    age_limit: AgeLimit = None
    positive_label: Annotated[str, StringConstraints(strip_whitespace=True, max_length=300)] = ""
    attribute: Annotated[str, StringConstraints(strip_whitespace=True, max_length=40)] = ""
    more: Literal["", "A", "B"] = ""
    dilution_percent: Water = None
    positive_dilution: Water = None


ADDED_WATER = "Added water: above 0 and up to 100 g to 100 g, with one decimal, or nothing."
MESSAGES = {
    "question": "Write the question you want answered, in up to 300 characters.",
    "sample_a": "Name the first sample, in up to 300 characters.",
    "sample_b": "Name the second sample; it needs a name of its own.",
    "difference": "Write the one thing that differs between the samples.",
    "contrast": "Choose one of these.",
    "pourer": "Choose who pours.",
    "assessors": "How many people taste? A whole number from 1 to 60.",
    "size_percent": "Give a share from 1 to 99 percent, with two decimals at most.",
    "rounds": "Rounds: a whole number from 1 to 12.",
    "sittings": "Sittings: a whole number from 1 to 24, or nothing for as many as are needed.",
    "spare_seats": "Spare seats: a whole number from 0 to 6.",
    "relief": "Choose one of these.",
    "days": "Days: a whole number from 2 to 12.",
    "alpha": "α lies above 0 and at most at 0.5; 0.05 is usual.",
    "shows": "Choose what the test is to show.",
    "stop_rule": "Choose when it ends.",
    "every": "Rounds of a block: a whole number, of which the planned rounds are a multiple.",
    "several": "Choose what decides.",
    "groups": "Groups: up to 500 characters.",
    "at_end": "Choose what becomes of a count between the lines.",
    "beta": "β lies above 0 and at most at 0.5; 0.05 is usual.",
    "cup_ml": "A cup holds 10 to 200 mL.",
    "pot_ml": "A pot holds 100 to 20000 mL.",
    "loss_ml": "Of a pot, 0 to 2000 mL may go elsewhere than into cups.",
    "tds_limit": "The TDS limit lies above 0 and at most at 5 %.",
    "method": "Choose one of the test methods there are.",
    "pots": "Choose where the like cups come from.",
    "positive_label": "Say what the known difference is, such as A with 12 % water added.",
    "positive_percent": "Give a share from 1 to 99 percent, with two decimals at most.",
    "positive_rounds": "Rounds of the positive control: a whole number from 1 to 12.",
    "dilution_percent": ADDED_WATER,
    "positive_dilution": ADDED_WATER,
    "fill_limit": "The fill limit lies above 0 and at most at 50 g.",
    "attribute": "Name what differs in a word or two, in up to 40 characters.",
    "more": "Say which sample should have more of it.",
    "open_cups": "Choose what everybody gets to know before the first code.",
    "no_preference": "Choose what becomes of answers for neither cup.",
    "temperature_limit": "The temperature limit lies above 0 and at most at 30 °C.",
    "extraction_limit": "The extraction limit lies above 0 and at most at 10 points, or is empty.",
    "age_limit": "Minutes between brews lie above 0 and at most at 120, or are empty.",
}

WHOLE_SETS = (
    "Rounds: {of} or a multiple of it with this test, so that everybody meets as many of each kind."
)
NOT_ALONE = "Alone any order may fall: take a test in which each of them is one of its own."


def read_plan(form: Mapping[str, Any]) -> PlanInput:
    """Check a leader's form.

    Raises
    ------
    Invalid
        With one message for each field that cannot be taken.
    """
    plan = _read(PlanInput, form)
    refuse_what_cannot_be(plan)
    if plan.sample_a.casefold() == plan.sample_b.casefold():
        raise Invalid(sample_b=MESSAGES["sample_b"])
    if plan.positive_control and not plan.positive_label:
        raise Invalid(positive_label=MESSAGES["positive_label"])
    _check_direction(plan)
    if plan.relief == Relief.DAYS and plan.days == 1:
        raise Invalid(days=MESSAGES["days"])
    if plan.alone and not can_be_shuffled(get_method(plan.method)):
        raise Invalid(method=NOT_ALONE)
    return plan


def _check_direction(plan: PlanInput) -> None:
    """Refuse half a direction, and none where the method asks for it by name."""
    method = get_method(plan.method)
    needed = plan.attribute or plan.more or asks_by_name(method)
    asked = ("attribute",) if is_two_sided(method) else ("attribute", "more")
    missing = [name for name in asked if needed and not getattr(plan, name)]
    if missing:
        raise Invalid(**{name: MESSAGES[name] for name in missing})


def read_numbers(form: Mapping[str, Any]) -> PlanNumbers:
    """Check only what cost and power follow from; raises `Invalid` likewise."""
    known = form.get("pourer") in list(Pourer)
    numbers = _read(PlanNumbers, {k: v for k, v in form.items() if known or k != "pourer"})
    refuse_what_cannot_be(numbers)
    return numbers


def _read(model: type[P], form: Mapping[str, Any]) -> P:
    form = keep_what_applies(form)
    given = {name: value for name, value in form.items() if name in model.model_fields}
    as_needed = not str(given.get("sittings", "")).strip()
    if as_needed:
        given.pop("sittings", None)
    for name, field in model.model_fields.items():
        if field.annotation is bool and form:
            given[name] = str(form.get(name, "")).lower() in ("1", "true", "on", "yes")
    try:
        plan = model.model_validate(given)
    except ValidationError as error:
        wrong = {str(one["loc"][0]) for one in error.errors()}
        if "cup_ml" in wrong and given.get("pot_ml") == given["cup_ml"]:
            wrong.discard("pot_ml")  # it was not typed: it follows the cup
        raise Invalid(**{name: MESSAGES.get(name, "Check this.") for name in wrong}) from None
    if plan.pot_ml < LEAST_POT_ML and not plan.single_cups:
        raise Invalid(pot_ml=MESSAGES["pot_ml"])
    plan = plan.model_copy(update={"pot_ml": plan.pot_ml - plan.loss_ml})  # what fills cups
    _check_rounds(plan)
    return _suggest(plan) if plan.alone and as_needed else plan


def _check_rounds(plan: PlanNumbers) -> None:
    """Refuse rounds that leave somebody with more of one kind than of the other."""
    method = get_method(plan.method)
    if answers_yes_or_no(method) and plan.rounds % len(method.orders):
        raise Invalid(rounds=WHOLE_SETS.format(of=len(method.orders)))


def _suggest(plan: P) -> P:
    sittings = suggest_sittings(plan.method, plan.alpha, plan.size_percent, plan.rounds)
    return plan.model_copy(update={"sittings": sittings})
