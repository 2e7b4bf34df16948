"""Words for a recipe and its steps, as whoever brews reads them."""

from decimal import Decimal

from server.brewing.recipe import Recipe, Step, StepKind

KINDS = {
    StepKind.POUR: "Pour",
    StepKind.STIR: "Stir",
    StepKind.STEEP: "Let it steep",
    StepKind.BREAK: "Break the crust",
    StepKind.OPEN: "Open or press",
    StepKind.OTHER: "Next step",
    StepKind.END: "End, and weigh the beverage",
}


def say_step(step: Step) -> str:
    """Say what is done at a step.

    Examples
    --------
    >>> say_step(Step(kind=StepKind.POUR, at_s=40, water_g=Decimal("160.0"), note="in circles"))
    'Pour to 160 g, in circles'
    """
    if step.kind is StepKind.OTHER and step.note:
        return step.note
    aim = f" to {say_number(step.water_g)} g" if step.water_g is not None else ""
    return KINDS[step.kind] + aim + (f", {step.note}" if step.note else "")


def say_recipe(recipe: Recipe) -> str:
    """Say a recipe in one line.

    Examples
    --------
    >>> say_recipe(Recipe(title="Oats", dose_g=Decimal(20), water_g=Decimal("320.00")))
    '20 g to 320 g of water'
    """
    water = f" to {say_number(recipe.water_g)} g of water" if recipe.water_g else ""
    heat = f" at {say_number(recipe.water_c)} °C" if recipe.water_c is not None else ""
    aim = f"{say_number(recipe.beverage_g)} g in the cup" if recipe.beverage_g else ""
    ground = " ".join(one for one in (recipe.grinder.name, recipe.grinder.setting) if one)
    parts = (recipe.device.name, recipe.device.filter, ground, aim)
    first = f"{say_number(recipe.dose_g)} g{water}{heat}"
    return " · ".join([first, *(one for one in parts if one)])


def say_weighed(millilitres: Decimal, grams: Decimal, celsius: Decimal) -> str:
    """Say what hot water measured by volume was noted as."""
    return (
        f"{say_number(millilitres)} mL at {say_number(celsius)} °C weigh about "
        f"{say_number(grams)} g: that is what was noted."
    )


def say_number(value: Decimal | None) -> str:
    """Write a number as it was given, without empty decimals; nothing for none."""
    if value is None:
        return ""
    text = f"{value:f}"
    return text.rstrip("0").rstrip(".") if "." in text else text
