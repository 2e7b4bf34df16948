"""Which fields of a plan's form apply: the others are ignored, whatever is typed there."""

from collections.abc import Mapping
from typing import Any

from server.blinding.plans import Pots, Pourer, Relief
from server.methods.registry import METHODS
from server.methods.traits import (
    answers_yes_or_no,
    asks_by_name,
    asks_for_liking,
    gets_to_know,
    has_controls,
    has_distance,
    is_two_sided,
)

PANEL_ONLY = ("assessors", "spare_seats")
POSITIVE = (
    "positive_control", "positive_label", "positive_percent", "positive_rounds",
    "positive_dilution",
)  # fmt: skip
CONTROLS = ("null_control", *POSITIVE)
DIRECTION = ("attribute", "more")
USUAL = "usual"
"""Choice of the pots that goes by who pours."""
EACH = "each"
"""Choice of the pots by which every cup is a brew of its own: a pot fills one cup."""
USUAL_CUP_ML = "40"


def keep_what_applies(form: Mapping[str, Any]) -> dict[str, Any]:
    """Return a plan's form without the fields that do not apply to it.

    Whoever tastes alone is one person without spare seats, and would know of any control
    that it comes. Sittings are planned alone only; a panel sits down once, and may spread
    its rounds over days. Who chose to spit, or to smell only, does not swallow.
    """
    alone, method = form.get("pourer") == Pourer.ALONE, METHODS.get(form.get("method", ""))
    by_name = method is not None and asks_by_name(method)
    either_way = method is not None and is_two_sided(method)
    sequential = form.get("stop_rule") == "sequential"
    days = form.get("relief") == Relief.DAYS
    ignored = {
        *(() if days and not alone else ("days",)),
        *(("relief",) if days and alone else ()),
        *(("swallow",) if form.get("relief") == Relief.SPIT or form.get("smell_only") else ()),
        *(PANEL_ONLY if alone else ("sittings",)),
        *(CONTROLS if alone or (method and not has_controls(method)) else ()),
        *(() if by_name or (alone and not either_way) else DIRECTION),
        *(("more",) if either_way else ()),
        *(("dilution_percent",) if alone or (method and not has_distance(method)) else ()),
        *(() if method and asks_for_liking(method) else ("no_preference",)),
        *(() if sequential else ("every", "at_end")),
        *(() if sequential or form.get("shows") == "few" else ("beta",)),
        *(() if method and gets_to_know(method) else ("open_cups",)),
        *(() if method and answers_yes_or_no(method) else ("told_shares",)),
    }
    kept = {name: value for name, value in form.items() if name not in ignored}
    if kept.get("pots", USUAL) in ("", USUAL):
        kept["pots"] = (Pots.BLEND if alone else Pots.SEPARATE).value
    if kept["pots"] == EACH:
        cup_ml = kept.get("cup_ml", USUAL_CUP_ML)
        kept |= {"pots": Pots.SEPARATE.value, "cup_ml": cup_ml, "pot_ml": cup_ml}
        kept.pop("loss_ml", None)
    if method and gets_to_know(method):
        kept["open_cups"] = kept.get("open_cups") or "A"
    return kept | ({"assessors": "1", "spare_seats": "0"} if alone else {})
