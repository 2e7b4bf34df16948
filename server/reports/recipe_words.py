"""What a recipe says, as facts with labels, and what strikes about its numbers."""

from collections.abc import Iterator
from decimal import Decimal
from typing import NamedTuple

from server.brewing.extraction import Brewer
from server.brewing.ratio import find_ratio
from server.brewing.recipe import BrewWater, Coffee, Recipe, StepKind
from server.brewing.water import Unit, WaterTarget, convert
from server.reports.step_words import say_number

BREWERS = {
    Brewer.PERCOLATION: "water runs through the coffee (drip, pour-over)",
    Brewer.IMMERSION: "coffee steeps in all the water (bowl, press)",
    Brewer.MIXED: "it steeps first and then drips through",
    Brewer.ESPRESSO: "under pressure (espresso)",
}
USUAL_RATIO = (5, 30)
"""Grams of water to a gram of coffee beyond which a number may be a slip; no source."""

WATER_IN = "Water in is what is poured, not what ends up in the cup."
ODD_RATIO = "1:{parts} is far from what is usually brewed. Check dose and water."
POURS_DIFFER = (
    "The last pour ends at {pours} g on the scale, but the recipe says {water} g of water."
)
COLOURS = (
    "Roast colours of two instruments, of two scales, or of whole beans and ground coffee do not "
    "compare."
)


class Fact(NamedTuple):
    """One fact of a recipe."""

    label: str
    value: str


def say_ratio(recipe: Recipe) -> str:
    """Say the ratio and of what it is; nothing where there is none.

    Examples
    --------
    >>> from server.brewing.recipe import read_recipe
    >>> say_ratio(read_recipe({"title": "Oats", "dose_g": "20", "water_g": "340"}))
    '1:17.00 · 58.8 g of coffee to a litre, water in'
    """
    dose = float(recipe.dose_g)
    said = []
    if recipe.water_g:
        found = find_ratio(dose, float(recipe.water_g), "water in")
        litre = f"{found.grams_per_litre:.1f} g of coffee to a litre"
        said.append(f"1:{found.parts:.2f} · {litre}, {found.of}")
    if recipe.beverage_g:
        found = find_ratio(dose, float(recipe.beverage_g), "beverage out")
        said.append(f"1:{found.parts:.2f}, {found.of}")
    return " · ".join(said)


def list_facts(recipe: Recipe) -> tuple[Fact, ...]:
    """List what a recipe says, in the order in which it is needed; what is empty is left out."""
    facts = (
        Fact("Dose", f"{say_number(recipe.dose_g)} g"),
        Fact("Water", _say_water_poured(recipe)),
        Fact("Ratio", say_ratio(recipe)),
        Fact("Beverage aimed at", _with_unit(recipe.beverage_g, "g")),
        Fact("Brewer", _join(recipe.device.name, BREWERS[recipe.device.how])),
        Fact("Part under test", recipe.device.part),
        Fact("Filter", _join(recipe.device.filter, _say_rinse(recipe))),
        Fact("Grinder", _say_grinder(recipe)),
        Fact("Cups", _say_cups(recipe)),
        Fact("Coffee", _say_coffee(recipe.coffee)),
        Fact("Roast colour", _say_colour(recipe.coffee)),
        Fact("Brewing water", _say_brew_water(recipe.water)),
    )
    return tuple(fact for fact in facts if fact.value)


def list_remarks(recipe: Recipe) -> tuple[str, ...]:
    """List what strikes about a recipe's numbers; common practice, no source."""
    return tuple(_find_remarks(recipe))


def _find_remarks(recipe: Recipe) -> Iterator[str]:
    if recipe.water_g and recipe.device.how is not Brewer.ESPRESSO:
        parts = find_ratio(float(recipe.dose_g), float(recipe.water_g), "water in").parts
        if not USUAL_RATIO[0] <= parts <= USUAL_RATIO[1]:
            yield ODD_RATIO.format(parts=f"{parts:.2f}")
    poured = [one.water_g for one in recipe.steps if one.kind is StepKind.POUR]
    last = max((grams for grams in poured if grams is not None), default=None)
    if last is not None and recipe.water_g and last != recipe.water_g:
        yield POURS_DIFFER.format(pours=say_number(last), water=say_number(recipe.water_g))


def _say_water_poured(recipe: Recipe) -> str:
    return _join(_with_unit(recipe.water_g, "g"), _with_unit(recipe.water_c, "°C"))


def _say_rinse(recipe: Recipe) -> str:
    grams = _with_unit(recipe.device.rinse_g, "g")
    return f"rinsed with {grams} of water" if grams else ""


def _say_grinder(recipe: Recipe) -> str:
    grinder = recipe.grinder
    middle = _join(_with_unit(grinder.median_um, "µm"), grinder.method, between=" by ")
    return _join(grinder.name, grinder.setting, f"median {middle}" if grinder.median_um else middle)


def _say_cups(recipe: Recipe) -> str:
    if not recipe.single:
        return ""
    shots = f", of {recipe.shots} shots" if recipe.shots > 1 else ""
    return f"every cup is a brew of its own{shots}"


def _say_coffee(coffee: Coffee) -> str:
    roasted = f"roasted {coffee.roasted}" if coffee.roasted else ""
    return _join(coffee.name, coffee.process, roasted, coffee.note)


def _say_colour(coffee: Coffee) -> str:
    colour = coffee.colour
    if colour is None:
        return ""
    return _join(say_number(colour.value), colour.of, colour.instrument, colour.scale)


def _say_brew_water(water: BrewWater) -> str:
    return _join(
        water.name,
        _say_hardness("hardness", water.hardness, water.hardness_unit),
        _say_hardness("alkalinity", water.alkalinity, water.alkalinity_unit),
        f"pH {say_number(water.ph)}" if water.ph is not None else "",
        water.note,
    )


def _say_hardness(name: str, value: Decimal | None, unit: Unit) -> str:
    if value is None:
        return ""
    plain = f"{name} {say_number(value)} {unit.value}"
    if unit is Unit.LIME:
        return plain
    return f"{plain} ({convert(float(value), unit):.0f} {Unit.LIME.value})"


def _with_unit(value: Decimal | None, unit: str) -> str:
    return "" if value is None else f"{say_number(value)} {unit}"


def _join(*parts: str, between: str = " · ") -> str:
    return between.join(part for part in parts if part)


def say_target(target: WaterTarget) -> str:
    """Say what brewing water somebody recommends, and who.

    Examples
    --------
    >>> say_target(WaterTarget("Ours", (20, 80), (40, 40), (6.5, 7.5), "invented"))
    'Ours: hardness 20 to 80 and alkalinity 40 mg/L CaCO3, pH 6.5 to 7.5 (invented).'
    """
    hardness, alkalinity, ph = (
        f"{low:g}" if low == high else f"{low:g} to {high:g}"
        for low, high in (target.hardness, target.alkalinity, target.ph)
    )
    return (
        f"{target.name}: hardness {hardness} and alkalinity {alkalinity} {Unit.LIME}, "
        f"pH {ph} ({target.source})."
    )
