"""Short ways to an analysed scored table for tests: Lantern Row, a small invented roastery."""

from collections.abc import Callable, Mapping
from typing import Any

from server.blinding.sealed import SealedTasting
from server.reports.scored import TableAnalysis, analyse_table
from server.sheets.cards import write_sheet
from server.sheets.scales.line import Line
from server.sheets.sheet import Attribute, Sheet
from tests.drawn_tables import draw_batches
from tests.staging_tables import Tale, fill_sheet, list_scored

SWEET = Attribute(name="sweet", label="Sweetness", scale=Line(low="none", high="strong"))


def make_sheet(*attributes: Attribute, **more: Any) -> Sheet:
    """Build a sheet, with one line if nothing is said."""
    return Sheet(title="Lantern Row", attributes=attributes or (SWEET,), **more)


def draw(samples: int, sheet: Sheet | None = None, **changed: Any) -> SealedTasting:
    """Draw a table with a sheet; it declares the first question unless told otherwise."""
    asked = sheet or make_sheet()
    changed.setdefault("primary", asked.attributes[0].name)
    return draw_batches(samples, sheet=write_sheet(asked), **changed)


Give = Callable[[int, Attribute, str, str, str], Any]
"""(seat, attribute, sample, slot, pass) to a value."""


def tell(sealed: SealedTasting, give: Give, strength: Mapping[str, str] | None = None) -> Tale:
    """Note every pot, and let every seat that counts fill and lock its sheets."""
    tale = Tale(sealed).begin().brew(strength)
    for serving in list_scored(sealed):
        seat = serving.seat
        answer = fill_sheet(sealed, serving, lambda *about, seat=seat: give(seat, *about))
        tale.answer(serving, answer)
    return tale


def analyse(
    sealed: SealedTasting, give: Give, strength: Mapping[str, str] | None = None
) -> TableAnalysis:
    """Brew, fill, close, unseal and analyse a table."""
    return analyse_table(sealed, tell(sealed, give, strength).close().events)


def give_means(means: Mapping[str, float], spread: int = 9) -> Give:
    """Give every sample its mean and a small error that depends on seat and sample alone."""

    def give(seat: int, attribute: Attribute, sample: str, slot: str, time: str) -> int:
        del slot
        wobble = (
            seat * 7 + ord(sample) * 5 + len(attribute.name) + len(time)
        ) % spread - spread / 2
        return round(10 * (means[sample] + wobble))

    return give
