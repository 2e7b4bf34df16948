"""How the chance to find a difference grows with it, for methods that share a number of answers."""

from collections.abc import Sequence
from dataclasses import dataclass

from server.methods.registry import METHODS
from server.reports.power_figure import PowerCurve, describe_power, draw_power
from server.stats.power import power_of_d_prime
from server.tastings.contending import ALPHA, Contender
from server.tastings.wishing import Wish

FARTHEST, STEPS = 3.0, 60
SHOWN = (0.5, 1.0, 1.5, 2.0, 2.5, 3.0)
"""Distances of the table of numbers."""


@dataclass(frozen=True)
class PowerPicture:
    """What the picture of a wish shows; its address holds numbers and names of methods alone."""

    address: str
    words: str
    distances: tuple[float, ...]
    curves: tuple[PowerCurve, ...]


def picture_power(contenders: Sequence[Contender], wish: Wish) -> PowerPicture | None:
    """Return the picture of the methods that suit a wish; None if none of them has a d′."""
    names = [one.name for one in contenders if not one.model.without_d_prime]
    if not names:
        return None
    answers = wish.people * wish.each
    curves = trace_power(names, answers, SHOWN)
    asked = "".join(f"&m={name}" for name in names)
    return PowerPicture(
        f"/plans/power.svg?n={answers}&d={wish.distance:g}{asked}",
        describe_power(trace_power(names, answers, [wish.distance]), wish.distance, answers),
        SHOWN,
        curves,
    )


def draw_power_picture(names: Sequence[str], answers: int, size: float) -> bytes | None:
    """Draw the picture; None if no name is that of a method with a d′."""
    known = [name for name in METHODS if name in names]
    with_d_prime = [name for name in known if not METHODS[name].model.without_d_prime]
    if not with_d_prime:
        return None
    grid = [FARTHEST * step / STEPS for step in range(STEPS + 1)]
    return draw_power(trace_power(with_d_prime, answers, grid), size, answers)


def trace_power(
    names: Sequence[str], answers: int, distances: Sequence[float]
) -> tuple[PowerCurve, ...]:
    """Return a curve a model: methods that differ in how they are served share theirs."""
    curves: dict[tuple[str, str], PowerCurve] = {}
    for name in names:
        method = METHODS[name]
        key = (method.model.name, method.sided)
        if key not in curves:
            found = power_of_d_prime(method.model, answers, ALPHA, list(distances), method.sided)
            powers = tuple(float(one) for one in found)
            curves[key] = PowerCurve(method.title, tuple(distances), powers)
    return tuple(curves.values())
