"""The blinding level of a tasting as it was really done, and why it is not higher."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from server.blinding.events import Kind
from server.blinding.plans import Pourer
from server.blinding.record import Look

POURER_LEVELS = {
    Pourer.TASTER: 0,
    Pourer.ALONE: 1,
    Pourer.PRESENT: 2,
    Pourer.ABSENT: 3,
    Pourer.RELAY: 4,
}
"""Level that each way of pouring allows."""

LOOK_CAPS = {"taster": 0, "present": 2, "away": 3}
"""Highest level left after somebody has seen the key before closing."""


@dataclass(frozen=True)
class Cap:
    """One reason for a level: ``planned``, ``closing`` or ``key_look``, and by whom."""

    cause: str
    who: str
    level: int


@dataclass(frozen=True)
class Blinding:
    """The level, 0 (open) to 4 (double blind), and every cap that bore on it."""

    level: int
    caps: tuple[Cap, ...]


def rate_blinding(
    planned: Pourer, closing: Mapping[str, Any] | None, looks: tuple[Look, ...]
) -> Blinding:
    """Rate the blinding: the lowest of the plan, what closing says, and the looks at the key.

    Parameters
    ----------
    planned : Pourer
        Who was planned to pour.
    closing : mapping or None
        Body of the closing event; its ``pourer`` says what was really done.
    looks : tuple of Look
        All early looks; only those at the key, before closing, lower the level.

    Examples
    --------
    >>> rate_blinding(Pourer.RELAY, {"pourer": "present"}, ()).level
    2
    """
    caps = [Cap("planned", planned.value, POURER_LEVELS[planned])]
    if closing is not None and closing.get("pourer"):
        done = Pourer(closing["pourer"])
        caps.append(Cap("closing", done.value, POURER_LEVELS[done]))
    caps += [Cap("key_look", look.who, _cap_look(look)) for look in looks if _is_key_look(look)]
    return Blinding(min(cap.level for cap in caps), tuple(caps))


def _is_key_look(look: Look) -> bool:
    return look.kind == Kind.KEY_LOOKED and look.before_closing


def _cap_look(look: Look) -> int:
    return LOOK_CAPS.get(look.who, 0)
