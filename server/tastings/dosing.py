"""What whoever pours adds to a part of a round's batch, and how much of it."""

import re
from dataclasses import dataclass
from decimal import ROUND_CEILING, Decimal

from server.blinding.sealed import Layout
from server.blinding.series import CHECK_CUPS
from server.blinding.series_rules import BASE

PER_LITRE = re.compile(r"(.{1,8}?) ?/ ?[lL]")
TEN = Decimal(10)


@dataclass(frozen=True)
class Dose:
    """The step of a round: what becomes of its one batch.

    Attributes
    ----------
    round, brews
        Number of the round, and pots that are mixed to its batch.
    base, base_slot, slot
        What the base is, and the names of the unmixed and of the mixed part.
    substance, step
        What is added, and the concentration with its unit.
    part_ml
        Volume of the part to which it is added: enough for all its cups and a check cup.
    amount
        What that takes, with its unit; empty where the unit does not say.
    fill_up
        Of a share in percent: the substance is filled up to that volume with the base.
    """

    round: int
    brews: int
    base: str
    base_slot: str
    slot: str
    substance: str
    step: str
    part_ml: Decimal
    amount: str
    fill_up: bool


def find_dose(layout: Layout, number: int) -> Dose | None:
    """Return what is added in a round; None where nothing is."""
    series = layout.plan.series
    if series is None:
        return None
    mine = [one for one in layout.slots if one.round == number]
    base, spiked = sorted(mine, key=lambda slot: slot.sample != BASE)
    step, part = series.steps[number - 1], _round_up(layout)
    return Dose(
        round=number,
        brews=base.brews,
        base=next(one.label for one in layout.samples if one.level == BASE),
        base_slot=base.name,
        slot=spiked.name,
        substance=series.substance,
        step=f"{step:f} {series.unit}",
        part_ml=part,
        amount=measure(step, series.unit, part),
        fill_up=series.unit == "%",
    )


def list_doses(layout: Layout) -> tuple[Dose, ...]:
    """List what is added, round by round; empty of every other test."""
    found = (find_dose(layout, number) for number in range(1, layout.plan.total_rounds + 1))
    return tuple(one for one in found if one is not None)


def _round_up(layout: Layout) -> Decimal:
    """Return the volume of a cup for every seat and a check cup, up to whole 10 mL."""
    cups = len(layout.seats) + CHECK_CUPS // 2
    return (cups * layout.plan.cup_ml / TEN).to_integral_value(ROUND_CEILING) * TEN


def measure(step: Decimal, unit: str, part_ml: Decimal) -> str:
    """Return how much of the substance a part takes; empty where the unit does not say.

    Examples
    --------
    >>> measure(Decimal("0.5"), "g/L", Decimal(240)), measure(Decimal(5), "%", Decimal(240))
    ('0.12 g', '12 mL')
    >>> measure(Decimal(5), "ppm", Decimal(240))
    ''
    """
    if unit == "%":
        return f"{_shorten(step * part_ml / 100)} mL"
    found = PER_LITRE.fullmatch(unit)
    return f"{_shorten(step * part_ml / 1000)} {found[1].strip()}" if found else ""


def _shorten(amount: Decimal) -> str:
    text = f"{float(amount):.4g}"
    return f"{Decimal(text):f}"
