"""How the command line says numbers: rounded for people, unrounded as JSON."""

import dataclasses
import json
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from server.stats.results import HalfOpenInterval, Interval


def to_json(result: Any) -> str:
    """Return a result object or a mapping as one line of strict JSON, unrounded."""
    members = result if isinstance(result, dict) else dataclasses.asdict(result)
    return json.dumps(members, allow_nan=False)


def tell_p(p: float) -> str:
    return "< 0.0001" if p < 0.0001 else f"= {p:.4f}"


def tell_limits(limits: "Interval | HalfOpenInterval | None") -> str:
    if limits is None:
        return ""
    return f", limits {tell_number(limits.low)} to {tell_number(limits.high)}"


def tell_number(value: float | None) -> str:
    return "not estimable" if value is None else f"{value:.3f}"


def tell_many(count: int, word: str) -> str:
    return f"{count} {word}" if count == 1 else f"{count} {word}s"
