"""Plan a soak: read its form, and make of it the draft of a tasting."""

from collections.abc import Callable, Mapping
from decimal import Decimal
from typing import Any
from uuid import UUID

from server.blinding.bench_plans import BenchPlan, Soak
from server.brewing.bounds import BOUNDS, parse_number, parse_optional
from server.tastings.bench import Bench
from server.tastings.drafts import keep_draft
from server.tastings.plan_forms import empty_form, seal_ready
from server.tastings.planning import read_plan
from server.tastings.refusals import Invalid

ATTRIBUTE = "foreign smell"
LONGEST = 120
LEAST_JAR_ML, MOST_JAR_ML = Decimal(100), Decimal(20000)  # what a plan's form takes as a pot
CUP_ML = "30"

NUMBERS: Mapping[str, str] = {
    "mass_g": "part_g",
    "parts": "parts",
    "rating_c": "rating_c",
    "water_g": "water_g",
    "celsius": "soak_c",
    "minutes": "soak_min",
}
"""Member of a soak to the field, and the bound, of its number."""

WORDS = {
    "part": f"Name the part, in up to {LONGEST} characters, such as lid seal.",
    "water": f"Name the water, in up to {LONGEST} characters, such as tap water, boiled.",
}
CHOICES: Mapping[str, tuple[str, ...]] = {
    "state": ("first", "washed", "used"),
    "exposure": ("real", "tenfold"),
    "food_contact": ("yes", "no"),
}
CHOOSE = "Choose one of these."
NO_PART = "Parts in the jar: 1 at least; the other jar has none."
TOO_HOT = "The part is rated for {rating} °C: soak it no hotter."
USED = "How many brews has it made? A whole number from 1 to 100000."


def empty_soak() -> dict[str, str]:
    """Return the form before anything is typed: what is usual, common practice, no source."""
    typed = dict.fromkeys((*WORDS, *NUMBERS.values(), "surface_cm2", "brews_before"), "")
    return typed | {"parts": "1", "state": "first", "exposure": "real", "food_contact": ""}


def read_soak(form: Mapping[str, str]) -> Soak:
    """Check a form.

    Raises
    ------
    Invalid
        With one message for each field that cannot be taken; a part is never soaked in more
        heat than it is rated for.
    """
    wrong: dict[str, str] = {}
    given: dict[str, Any] = {}
    for name, message in WORDS.items():
        given[name] = " ".join(form.get(name, "").split())
        if not 0 < len(given[name]) <= LONGEST:
            wrong[name] = message
    for name, options in CHOICES.items():
        given[name] = form.get(name, "")
        if given[name] not in options:
            wrong[name] = CHOOSE
    for name, bound in NUMBERS.items():
        given[name] = _read(wrong, bound, form, parse_number)
    given["surface_cm2"] = _read(wrong, "surface_cm2", form, parse_optional)
    given["brews"] = _read_brews(wrong, form)
    _refuse_what_cannot_be(given, wrong)
    if wrong:
        raise Invalid(**wrong)
    whole = {name: int(given[name]) for name in ("parts", "brews")}
    return Soak(**given | whole | {"food_contact": given["food_contact"] == "yes"})


def _read(
    wrong: dict[str, str],
    bound: str,
    form: Mapping[str, str],
    parse: Callable[[str, str], Decimal | None],
) -> Decimal | None:
    try:
        return parse(bound, form.get(bound, ""))
    except ValueError as error:
        wrong[bound] = str(error)
        return None


def _read_brews(wrong: dict[str, str], form: Mapping[str, str]) -> Decimal | None:
    if form.get("state") != "used":
        return Decimal(0)  # folded away: whatever is typed there
    brews = _read(wrong, "brews_before", form, parse_number)
    if brews is not None and brews < 1:
        wrong["brews_before"] = USED
    return brews


def _refuse_what_cannot_be(given: Mapping[str, Any], wrong: dict[str, str]) -> None:
    celsius, rating = given["celsius"], given["rating_c"]
    if celsius is not None and rating is not None and celsius > rating:
        wrong["soak_c"] = TOO_HOT.format(rating=f"{rating:f}")
    if given["parts"] is not None and given["parts"] < 1:
        wrong["parts"] = NO_PART


def find_bound(name: str) -> str:
    """Return the range of a number in words, for the hint beside its field."""
    return BOUNDS[name].range


def fill_soak_plan(soak: Soak) -> dict[str, str]:
    """Return the form of a plan that tests a soak: a 2-AFC test that asks for a foreign smell."""
    usable = min(max(soak.water_g, LEAST_JAR_ML), MOST_JAR_ML)
    return empty_form() | {
        "question": f"Does water that stood with “{soak.part}” smell of something foreign?",
        "sample_a": "water from the jar without it",
        "sample_b": f"water that stood with {soak.part}",
        "difference": f"{soak.part}: in the hot water of one jar, not in the other",
        "contrast": "soak",
        "pourer": "absent",
        "method": "2-afc",
        "attribute": ATTRIBUTE,
        "more": "B",
        "cup_ml": CUP_ML,
        "pot_ml": f"{usable:f}",
        "swallow": "",
        "smell_only": "" if soak.food_contact else "on",
        "extraction_limit": "",
        "age_limit": "",
    }


def draft_soak(bench: Bench, account_id: UUID, soak: Soak) -> UUID:
    """Store the draft of a tasting about a soak, with how it is soaked; return its id."""
    given = read_plan(fill_soak_plan(soak))
    plan = seal_ready(given).model_copy(update={"bench": BenchPlan(soak=soak)})
    return keep_draft(bench, account_id, plan, {"A": given.sample_a, "B": given.sample_b})
