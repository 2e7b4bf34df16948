"""What does not apply to a plan is ignored; what it is read from stays as it was."""

from dataclasses import replace

from server.methods import registry
from server.methods.registry import METHODS
from server.tastings.applying import asks_by_name, keep_what_applies

EVERYTHING = {
    "assessors": "6", "spare_seats": "1", "sittings": "2", "null_control": "on",
    "positive_control": "on", "positive_label": "x", "positive_percent": "90",
    "attribute": "bitter", "more": "A", "method": "triangle", "pots": "single",
}  # fmt: skip


def test_a_panel_keeps_its_seats_and_controls_but_no_sittings_or_direction():
    kept = keep_what_applies(EVERYTHING | {"pourer": "absent"})
    assert EVERYTHING.keys() - kept.keys() == {"sittings", "attribute", "more"}


def test_alone_keeps_sittings_and_direction_but_no_seats_or_controls():
    kept = keep_what_applies(EVERYTHING | {"pourer": "alone"})
    assert {"sittings", "attribute", "more"} <= kept.keys()
    assert (kept["assessors"], kept["spare_seats"]) == ("1", "0")
    assert not any(name.startswith(("null", "positive")) for name in kept)


def test_chosen_pots_are_kept_whoever_pours():
    assert keep_what_applies(EVERYTHING | {"pourer": "alone"})["pots"] == "single"


def test_a_method_that_asks_by_name_keeps_its_direction_and_a_pair_has_no_controls(monkeypatch):
    pair = replace(METHODS["triangle"], question="Which has more {attribute}?", cups=2)
    monkeypatch.setitem(registry.METHODS, "pair", pair)
    kept = keep_what_applies(EVERYTHING | {"pourer": "absent", "method": "pair"})
    assert asks_by_name(pair)
    assert kept["attribute"] == "bitter"
    assert not any(name.startswith(("null", "positive")) for name in kept)


def test_an_unknown_method_drops_nothing_but_what_never_applies():
    kept = keep_what_applies(EVERYTHING | {"pourer": "absent", "method": "sniff"})
    assert "null_control" in kept
