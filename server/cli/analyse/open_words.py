"""How the command line says limits of which either may be missing."""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from server.stats.results import HalfOpenInterval, Interval, OpenInterval


def tell_open(limits: "OpenInterval | HalfOpenInterval | Interval | None") -> str:
    if limits is None or limits == (None, None):
        return "no limits"
    low, high = limits
    if low is None:
        return f"at most {high:.3f}"
    if high is None:
        return f"at least {low:.3f}"
    return f"limits {low:.3f} to {high:.3f}"
