"""What is weighed and read of a brew: typed, looked over, and kept with it."""

from collections.abc import Mapping, Sequence
from decimal import Decimal
from typing import Any
from uuid import UUID

from server.brewing.bounds import parse_number, parse_optional
from server.brewing.brewed import Brewed
from server.brewing.extraction import Brewer
from server.brewing.hot_water import weigh_hot_water
from server.brewing.recipe import Recipe
from server.brewing.sanity import Finding, Remark, Weight, check_brew, find_meant
from server.reports.brew_words import say_remark
from server.reports.step_words import say_number
from server.tastings.bench import Bench
from server.tastings.brew_keeping import change_brew
from server.tastings.pieces_used import FIELD, PartChoice, read_part
from server.tastings.refusals import Invalid

MOST_READINGS, LONGEST = 20, 300
NUMBERS = ("beverage_g", "sample_c", "temperature_c", "fill_g")
ASKED_OF = {
    Brewer.PERCOLATION: ("retained_ratio",),
    Brewer.ESPRESSO: (),
    Brewer.IMMERSION: ("absorbed_ratio",),
    Brewer.MIXED: ("absorbed_ratio", "last_drops"),
}
"""What else the yield of a brewer takes."""
ZEROS = ("", "distilled water", "brew water", "air")
SAID = {"": None, "yes": True, "no": False}
HOT_C = Decimal(93)
MESSAGES = {
    "tds": f"Up to {MOST_READINGS} readings, with blanks between.",
    "filtered": "Choose one.",
    "zero": "Choose one.",
    "instrument": f"Up to {LONGEST} characters.",
    "note": f"Up to {LONGEST} characters.",
}


class Doubt(Invalid):
    """Numbers that may be a slip: each question waits for an answer."""

    def __init__(self, questions: Sequence[Finding]) -> None:
        super().__init__(**{one.field: say_remark(one) for one in questions})
        self.questions = tuple(questions)


def note_readings(
    bench: Bench,
    account_id: UUID,
    brew_id: UUID,
    form: Mapping[str, str],
    choices: Sequence[PartChoice] = (),
) -> None:
    """Note what a form says of a brew; with ``keep`` the brew is finished.

    Raises
    ------
    Invalid
        With a message for each field that cannot be taken.
    Doubt
        A number may be a slip, and the form says neither ``sure`` nor which to ``take``.
    """

    def change(recipe: Recipe, before: Brewed) -> Brewed:
        brewed = read_readings(form, recipe, before)
        if FIELD in form:
            earlier = before.part
            brewed = brewed.model_copy(update={"part": read_part(form, choices, earlier)})
        return look_over(recipe, before, brewed, form)

    pieces = choices if FIELD in form else None
    change_brew(bench, account_id, brew_id, change, keep="keep" in form, pieces=pieces)


def read_readings(form: Mapping[str, str], recipe: Recipe, before: Brewed) -> Brewed:
    """Return a brew with the readings of a form in place of those before.

    Nothing planned is taken for what was weighed unless the form says ``as planned``.

    Raises
    ------
    Invalid
        With a message for each field that cannot be taken.
    """
    typed = _Typed(form)
    names = (*NUMBERS, *ASKED_OF[recipe.device.how])
    read: dict[str, Any] = {name: typed.number(name) for name in names}
    read["dose_g"] = typed.number("dose_g") or _as_planned(form, "dose_g", recipe.dose_g)
    read["water_g"] = typed.water(recipe.water_c or HOT_C) or _as_planned(
        form, "water_g", recipe.water_g
    )
    read["tds"] = typed.readings()
    read["filtered"] = SAID[typed.choice("filtered", tuple(SAID))]
    read["zero"] = typed.choice("zero", ZEROS)
    read |= {name: typed.words(name) for name in ("instrument", "note")}
    if typed.errors:
        raise Invalid(**typed.errors)
    return before.model_copy(update=read)


def look_over(recipe: Recipe, before: Brewed, brewed: Brewed, form: Mapping[str, str]) -> Brewed:
    """Refuse what cannot be, and ask about what may be a slip, once.

    The form answers with ``take``, the field whose number was meant otherwise, or ``sure``.
    """
    how, heat = recipe.device.how, recipe.water_c
    brewed = _take(how, brewed, check_brew(how, brewed, heat), form.get("take", ""))
    found = check_brew(how, brewed, heat)
    refused = {one.field: say_remark(one) for one in found if one.weight is Weight.REFUSE}
    if refused:
        raise Invalid(**refused)
    known = check_brew(how, before, heat)
    doubts = [one for one in found if one.weight is Weight.ASK and one not in known]
    if doubts and "sure" not in form:
        raise Doubt(doubts)
    return brewed


def _take(how: Brewer, brewed: Brewed, found: Sequence[Finding], field: str) -> Brewed:
    """Put the numbers that were meant in place of those that were typed."""
    doubt = next((one for one in found if one.field == field and one.weight is Weight.ASK), None)
    if doubt is None or doubt.instead is None:
        return brewed
    if doubt.remark is Remark.POINT:
        meant = tuple(find_meant(how, one) or one for one in brewed.tds)
        return brewed.model_copy(update={"tds": meant})
    return brewed.model_copy(update={field: doubt.instead})


def weigh_water(millilitres: Decimal, celsius: Decimal) -> Decimal:
    """Return what hot water measured by volume weighs, in tenths of a gram."""
    grams = Decimal(str(weigh_hot_water(float(millilitres), float(celsius))))
    return grams.quantize(Decimal("0.1"))


def write_form(brewed: Brewed) -> dict[str, str]:
    """Return the form as it stands for what was noted."""
    names = (*NUMBERS, "dose_g", "water_g", "retained_ratio", "absorbed_ratio", "last_drops")
    form = {name: say_number(getattr(brewed, name)) for name in names}
    form["tds"] = " ".join(f"{one:f}" for one in brewed.tds)
    form["filtered"] = next(word for word, said in SAID.items() if said is brewed.filtered)
    part = {FIELD: brewed.part.specimen} if brewed.part else {}
    return form | part | {name: getattr(brewed, name) for name in ("zero", "instrument", "note")}


def _as_planned(form: Mapping[str, str], name: str, planned: Decimal | None) -> Decimal | None:
    return planned if f"{name}_planned" in form and not form.get(name, "").strip() else None


class _Typed:
    """The typed fields, read one by one; what cannot be taken is remembered."""

    def __init__(self, form: Mapping[str, str]) -> None:
        self._form, self.errors = form, dict[str, str]()

    def number(self, name: str) -> Decimal | None:
        try:
            return parse_optional(name, self._form.get(name, ""))
        except ValueError as error:
            self.errors[name] = str(error)
            return None

    def water(self, heat: Decimal) -> Decimal | None:
        """Return the water in grams; millilitres are weighed at the heat of the recipe."""
        text = self._form.get("water_g", "")
        if self._form.get("water_unit") != "mL" or not text.strip():
            return self.number("water_g")
        try:
            millilitres = parse_number("water_ml", text)
        except ValueError as error:
            self.errors["water_g"] = str(error)
            return None
        return weigh_water(millilitres, heat)

    def readings(self) -> tuple[Decimal, ...]:
        words = self._form.get("tds", "").replace(";", " ").split()
        if len(words) > MOST_READINGS:
            self.errors["tds"] = MESSAGES["tds"]
            return ()
        try:
            return tuple(parse_number("tds", word) for word in words)
        except ValueError as error:
            self.errors["tds"] = str(error)
            return ()

    def choice(self, name: str, choices: Sequence[str]) -> str:
        chosen = self._form.get(name, "")
        if chosen not in choices:
            self.errors[name] = MESSAGES[name]
            return ""
        return chosen

    def words(self, name: str) -> str:
        text = " ".join(self._form.get(name, "").split())
        if len(text) > LONGEST:
            self.errors[name] = MESSAGES[name]
        return text[:LONGEST]
