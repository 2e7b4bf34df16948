"""Plan a scored table: read its form, say what is wrong field by field, make the plan."""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from string import ascii_lowercase
from typing import Annotated, Literal

from pydantic import BaseModel, Field, StringConstraints, ValidationError

from server.blinding.bench_plans import Contrast
from server.blinding.plans import Plan, Pots, Pourer, TablePlan
from server.blinding.table_plans import METHOD, check_table_plan
from server.blinding.table_pots import plan_table_pots
from server.methods.registry import SCORED
from server.sheets.cards import write_sheet
from server.sheets.filled import list_declarable
from server.sheets.sheet import Sheet
from server.tastings.calibrating import find_named_sample
from server.tastings.consequences import TOO_SMALL
from server.tastings.planning import AgeLimit, Comma, ExtractionLimit, Words
from server.tastings.refusals import Invalid
from server.tastings.table_messages import FIELDS, MESSAGES, OPEN_SAMPLE, SENTENCES
from server.tastings.table_methods import check_method, read_order

MOST_SAMPLES = 12
LETTERS = ascii_lowercase[:MOST_SAMPLES]
STANDARD = "own sheet"
ALIKE = "the samples as they are named"

Letter = Annotated[str, StringConstraints(pattern="^[A-L]?$")]
Short = Annotated[str, StringConstraints(strip_whitespace=True, max_length=300)]
Spreads = Annotated[Decimal, Comma, Field(ge=Decimal("0.1"), le=3, max_digits=4)]


class TableInput(BaseModel):
    """A plan of a scored table as a leader gives it; samples stand beside it."""

    question: Words
    difference: Short = ""
    contrast: Contrast = ""
    sheet: str
    style: Literal["own", "shared"] = "own"
    bowls: Annotated[int, Comma, Field(ge=1, le=10)] = 1
    scattered: Literal["", "on"] = ""
    warm_up: Letter = ""
    reference: Letter = ""
    calibration: Annotated[str, StringConstraints(strip_whitespace=True, max_length=120)] = ""
    block: Annotated[int, Comma, Field(ge=0, le=12)] = 0
    sittings: Annotated[int, Comma, Field(ge=1, le=12)] = 1
    primary: str = ""
    pourer: Literal[Pourer.ABSENT, Pourer.PRESENT, Pourer.RELAY, Pourer.TASTER]
    assessors: Annotated[int, Comma, Field(ge=1, le=60)]
    spare_seats: Annotated[int, Comma, Field(ge=0, le=6)] = 1
    cup_ml: Annotated[Decimal, Comma, Field(ge=10, le=400, max_digits=5)] = Decimal(60)
    pot_ml: Annotated[Decimal, Comma, Field(ge=100, le=20000, max_digits=7)] = Decimal(500)
    alpha: Annotated[Decimal, Comma, Field(gt=0, le=Decimal("0.5"), max_digits=6)] = Decimal("0.05")
    swallow: Literal["", "on"] = ""
    pots: Literal[Pots.SEPARATE, Pots.BLEND, Pots.SINGLE] = Pots.SEPARATE
    sip_limit_c: Annotated[Decimal, Comma, Field(ge=30, le=65, max_digits=4)] = Decimal(65)
    extraction_limit: ExtractionLimit = None
    age_limit: AgeLimit = None
    prior_scale: Spreads = Decimal("0.707")
    method: Literal["", "difference-from-control", "ranking"] = ""
    order: Annotated[str, StringConstraints(max_length=60)] = ""


@dataclass(frozen=True)
class TablePlanned:
    """A plan that can be drawn, the labels of its samples, and its sheet."""

    plan: Plan
    labels: Mapping[str, str]
    sheet: Sheet


def read_samples(form: Mapping[str, str]) -> dict[str, str]:
    """Return the labels by level: A, B and so on.

    Raises
    ------
    Invalid
        Fewer than two, a gap, one too long, or two that read the same.
    """
    typed = {one: " ".join(form.get(f"sample_{one}", "").split()) for one in LETTERS}
    named = [one for one in LETTERS if typed[one]]
    messages = {f"sample_{one}": "Keep a label to 300 characters." for one in named
                if len(typed[one]) > 300}  # fmt: skip
    seen: set[str] = set()
    for one in named:
        if typed[one].casefold() in seen:
            messages[f"sample_{one}"] = "Another sample has this label."
        seen.add(typed[one].casefold())
    for one in LETTERS[: max(2, LETTERS.index(named[-1]) + 1 if named else 0)]:
        if not typed[one]:
            messages[f"sample_{one}"] = "Name this sample; leave no gap between two of them."
    if messages:
        raise Invalid(**messages)
    return {one.upper(): typed[one] for one in named}


def read_table_plan(form: Mapping[str, str], sheet: Sheet | None) -> TablePlanned:
    """Check a leader's form; ``sheet`` is the one it chooses, None if there is none such.

    Raises
    ------
    Invalid
        With one message for each field that cannot be taken.
    """
    messages: dict[str, str] = {} if sheet else {"sheet": MESSAGES["sheet"]}
    labels: dict[str, str] = {}
    given: TableInput | None = None
    try:
        labels = read_samples(form)
    except Invalid as error:
        messages |= error.messages
    try:
        given = _read_input(form)
    except Invalid as error:
        messages |= error.messages
    if messages or sheet is None or given is None:
        raise Invalid(**messages)
    plan = _make_plan(given, _read_table(given, form, labels, sheet))
    _check(plan, tuple(labels))
    check_method(plan, tuple(labels), sheet)
    return TablePlanned(plan, labels, sheet)


def _read_input(form: Mapping[str, str]) -> TableInput:
    fields = TableInput.model_fields
    try:
        return TableInput.model_validate({name: form[name] for name in fields if name in form})
    except ValidationError as error:
        wrong = {str(one["loc"][0]) for one in error.errors()}
        raise Invalid(**{name: MESSAGES.get(name, "Check this.") for name in wrong}) from None


def _read_table(
    given: TableInput, form: Mapping[str, str], labels: Mapping[str, str], sheet: Sheet
) -> TablePlan:
    named = {"warm_up": given.warm_up, "reference": given.reference}
    wrong = {name: MESSAGES[name] for name, level in named.items() if level not in ("", *labels)}
    sample = find_named_sample(given.calibration, labels)
    if sample:
        wrong["calibration"] = OPEN_SAMPLE.format(sample=sample)
    if given.primary and given.primary not in list_declarable(sheet):
        wrong["primary"] = MESSAGES["primary"]
    try:
        order = read_order(given.order)
    except Invalid as error:
        wrong |= error.messages
    if wrong:
        raise Invalid(**wrong)
    return TablePlan(
        sheet=write_sheet(sheet),
        style=given.style,
        bowls=given.bowls,
        scattered=bool(given.scattered) and given.bowls > 1,
        duplicates=tuple(one for one in labels if form.get(f"twice_{one.lower()}")),
        block=0 if given.block == len(labels) else given.block,
        primary=given.primary,
        sip_limit_c=given.sip_limit_c,
        prior_scale=given.prior_scale,
        calibration=" ".join(given.calibration.split()),
        method=given.method,
        order=order,
        **named,
    )


def _make_plan(given: TableInput, table: TablePlan) -> Plan:
    kept = {
        "question",
        "contrast",
        "sittings",
        "assessors",
        "spare_seats",
        "alpha",
        "cup_ml",
        "pot_ml",
    }
    return Plan(
        **given.model_dump(include=kept | {"extraction_limit", "age_limit"}),
        difference=given.difference or ALIKE,
        method=METHOD,
        standard=SCORED[table.method].standard if table.method else STANDARD,
        size_d_prime=None,
        rounds=1,
        pourer=given.pourer,
        swallow=bool(given.swallow),
        pots=Pots.SEPARATE if table.shared else given.pots,
        tds_limit=Decimal("0.05"),
        temperature_limit=Decimal(2),
        table=table,
    )


def _check(plan: Plan, levels: tuple[str, ...]) -> None:
    try:
        check_table_plan(plan, levels)
    except ValueError as error:
        name = str(error).split()[0]
        field = FIELDS.get(name, "question")
        raise Invalid(**{field: SENTENCES.get(name, f"This cannot be drawn: {error}.")}) from None
    try:
        plan_table_pots(plan, levels)
    except ValueError:
        raise Invalid(pot_ml=TOO_SMALL) from None
