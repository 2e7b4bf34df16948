"""Two recipes of our own to start from; whoever copies one makes it theirs."""

from collections.abc import Mapping
from typing import Any

from server.brewing.recipe import Recipe, read_recipe

_FILTER = {
    "title": "Filter, two cups",
    "device": {"name": "cone", "how": "percolation", "filter": "paper", "rinse_g": "200"},
    "dose_g": "20",
    "water_g": "320",
    "water_c": "93",
    "steps": [
        {"kind": "pour", "at_s": 0, "water_g": "60", "note": "wet all of it"},
        {"kind": "stir", "at_s": 10},
        {"kind": "pour", "at_s": 45, "water_g": "190", "note": "slowly, in circles"},
        {"kind": "pour", "at_s": 90, "water_g": "320"},
        {"kind": "end", "at_s": 190},
    ],
    "note": (
        "62.5 g of coffee to a litre and water at 93 °C are common practice, and so are the times; "
        "no source. A place to begin, not a rule."
    ),
}
_BOWL = {
    "title": "Cupping bowl",
    "device": {"name": "bowl of 240 mL", "how": "immersion"},
    "dose_g": "11",
    "water_g": "200",
    "water_c": "94",
    "single": True,
    "steps": [
        {"kind": "pour", "at_s": 0, "water_g": "200", "note": "all grounds wet"},
        {"kind": "steep", "at_s": 15},
        {"kind": "break", "at_s": 240, "note": "the same strokes in every bowl"},
        {"kind": "other", "at_s": 300, "note": "Skim foam and floating grounds"},
        {"kind": "other", "at_s": 720, "note": "Taste once it is at 65 °C or below"},
    ],
    "note": (
        "55 g of coffee to a litre and a break at 4 minutes are one of several published "
        "practices, seen on secondary pages; they disagree, and none is the rule."
    ),
}
_BODIES: Mapping[str, Mapping[str, Any]] = {"filter": _FILTER, "bowl": _BOWL}
STARTERS: Mapping[str, Recipe] = {name: read_recipe(one) for name, one in _BODIES.items()}
"""Name in addresses to recipe, in the order in which they are offered."""
