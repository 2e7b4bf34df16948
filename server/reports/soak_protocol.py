"""A soak step by step, in words: two like jars of water, one of them with the part.

Common practice, no source: modelled on published smell tests of drinking-water and packaging
materials, and in its place where those are asked for by law.
"""

from decimal import Decimal

from server.blinding.bench_plans import Soak
from server.reports.display import show_count, show_number

COOL_LOW_C, COOL_HIGH_C = 40, 50

STATES = {
    "first": "for the first time in hot water",
    "washed": "washed since it was new",
    "used": "after {brews}",
}
EXPOSURES = {
    "real": "as long as in use",
    "tenfold": "ten times as long as in use, as the worst case",
}

JARS = (
    "Take two like glass jars with glass covers, for each pair of pots that the plan counts. Wash "
    "them alike without scent, rinse them until nothing smells, and dry them."
)
BLANK = (
    "Smell the water alone, warm: {water}. It must smell of nothing; if it does smell, take "
    "another water before anything else."
)
HEAT = (
    "Heat the water to {celsius} °C and no hotter: the part is rated for {rating} °C. Pour "
    "{water_g} g into each jar, by the scale."
)
PART = (
    "Put {parts} ({mass}) into one jar: {each} g of water to a piece. Nothing goes into the other. "
    "Cover both at once."
)
MORE_JARS = (
    "Every further jar with the part takes as many pieces of its own: what has stood in one jar is "
    "not in hot water for the first time in the next."
)
NO_PART = (
    "Put nothing into either jar: this step shows what two jars do by themselves. Mark one of them "
    "as the second, and cover both at once."
)
STAND = "Let both stand for {minutes} min in equal heat ({exposure}), side by side and covered."
OUT = "Take the part out with a clean spoon, and move another clean spoon through the other jar."
COOL = "Let both cool, covered, to between {low} and {high} °C, and within 2 °C of each other."
SMELL = "Fill and cover the cups. Sniff at all cups first, with the covers lifted one by one."
SMELL_ONLY = (
    "Smell only: nothing of this water is drunk, because the part is not known to be sold for "
    "contact with food."
)
THEN_TASTE = "Only then taste, if the plan says so: never before everybody has smelt every cup."
AFTERWARDS = (
    "Write down what was done, pour the water away, and repeat with the part washed, and after "
    "some brews: each is a tasting of its own, a step of a ladder."
)
REAL_FIRST = "Begin with contact as in use; ten times as long comes second, as the worst case."

RECORD = (
    "Soaked as sealed: {parts} of “{part}” ({mass}{surface}), {state}, in {water_g} g of “{water}” "
    "at {celsius} °C for {minutes} min, {exposure}; rated for {rating} °C."
)


def list_steps(soak: Soak) -> tuple[str, ...]:
    """List what to do, in order."""
    said = _collect(soak)
    tasted = (THEN_TASTE,) if soak.food_contact else (SMELL_ONLY,)
    worst_first = (REAL_FIRST,) if soak.exposure == "tenfold" else ()
    several = (MORE_JARS,) if soak.state == "first" else ()
    filled = (PART, *several, STAND, OUT) if soak.parts else (NO_PART, STAND)
    steps = (JARS, BLANK, HEAT, *filled, COOL, SMELL)
    return (*worst_first, *(one.format(**said) for one in steps), *tasted, AFTERWARDS)


def say_soak(soak: Soak) -> str:
    """Say in a finding how the water stood with the part."""
    return RECORD.format(**_collect(soak))


def _collect(soak: Soak) -> dict[str, object]:
    surface = "" if soak.surface_cm2 is None else f", {show_number(soak.surface_cm2)} cm²"
    return {
        "part": soak.part,
        "parts": show_count(soak.parts, "piece"),
        "mass": f"{show_number(soak.mass_g)} g{' each' if soak.parts > 1 else ''}",
        "surface": surface,
        "state": STATES[soak.state].format(brews=show_count(soak.brews, "brew")),
        "rating": show_number(soak.rating_c),
        "celsius": show_number(soak.celsius),
        "water": soak.water,
        "water_g": show_number(soak.water_g),
        "each": show_number(round(soak.water_each_g, 1)),
        "minutes": show_number(soak.stood_minutes),
        "exposure": EXPOSURES[soak.exposure],
        "low": Decimal(COOL_LOW_C),
        "high": Decimal(COOL_HIGH_C),
    }
