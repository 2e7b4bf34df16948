"""How many sittings one person needs: as many as the size that matters asks for, up to a few."""

from decimal import Decimal
from math import ceil

from server.methods.base import Method
from server.methods.registry import get_method
from server.stats.thurstone import pc_from_share
from server.stats.trials import trials_for_power

GOOD_POWER = 0.8
MOST_SUGGESTED = 6
"""Sittings suggested at most; common practice, no source."""


def suggest_sittings(method: str, alpha: Decimal, size_percent: Decimal, rounds: int) -> int:
    """Return the sittings of so many rounds that find the size four times in five."""
    asked = get_method(method)
    pc = pc_from_share(float(size_percent) / 100, asked.model.chance)
    wanted = find_wanted(asked, float(alpha), pc)
    return MOST_SUGGESTED if wanted is None else min(MOST_SUGGESTED, ceil(wanted / rounds))


def find_wanted(method: Method, alpha: float, pc: float) -> int | None:
    """Return the servings that find a share of right answers; None if it lies by guessing."""
    try:
        needed = trials_for_power(method.model.chance, alpha, GOOD_POWER, pc, method.sided)
        return needed.trials_stable
    except ValueError:  # the size lies too near to guessing
        return None
