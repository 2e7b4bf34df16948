"""What happens at a scored table besides its answers: the bowl clock, talk and decisions."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

STEPS = ("poured", "broken", "skimmed", "checked", "sip")
"""Steps of the bowl clock: a bowl is poured, its crust broken and skimmed; a check bowl is
read; the first sip is free."""

DECISIONS = ("release", "hold", "re-roast", "retaste")
"""What may be decided of a roast batch after unsealing."""


@dataclass(frozen=True)
class Calibration:
    """An open bowl that was tasted and talked about before the codes of a sitting.

    Attributes
    ----------
    sitting
        Its number.
    seats
        Numbers of the seats that took part; empty if nobody said which.
    words
        What was agreed on; may be empty.
    at, seq
        When, by the server's clock, and which event it is.
    """

    sitting: int
    seats: tuple[int, ...]
    words: str
    at: str
    seq: int


@dataclass(frozen=True)
class BowlStep:
    """A step of the bowl clock.

    Attributes
    ----------
    sitting
        Its number.
    step
        One of `STEPS`.
    code, bowl
        Of which bowl; None if it is of the whole table. A single cup is bowl 0.
    seat
        Whose hands did it; None if nobody of the seats.
    celsius
        What the check bowl read, a decimal string in °C; None if nothing was read.
    at, seq
        When, by the server's clock, and which event it is.
    """

    sitting: int
    step: str
    code: str | None
    bowl: int | None
    seat: int | None
    celsius: str | None
    at: str
    seq: int


@dataclass(frozen=True)
class Discussion:
    """The table's words after all were locked, kept apart from every score."""

    text: str
    who: str
    at: str
    seq: int


@dataclass(frozen=True)
class Decision:
    """What was decided of a roast batch (one of `DECISIONS`), why and by whom."""

    decision: str
    batch: str
    reason: str
    name: str
    at: str
    seq: int


def read_calibration(body: Mapping[str, Any], seq: int) -> Calibration:
    """Read what was noted of an open bowl from its event.

    Examples
    --------
    >>> body = {"sitting": 1, "seats": [1, 3], "words": "thin is below 30", "at": "09:05"}
    >>> read_calibration(body, 5).seats
    (1, 3)
    """
    return Calibration(body["sitting"], tuple(body["seats"]), body["words"], body["at"], seq)


def read_step(body: Mapping[str, Any], seq: int) -> BowlStep:
    """Read a step of the bowl clock from its event.

    Examples
    --------
    >>> body = {"sitting": 1, "step": "checked", "code": "385", "bowl": 0, "seat": None,
    ...         "celsius": "64.5", "at": "2031-05-14T09:12:00.000+00:00"}
    >>> read_step(body, 7).celsius
    '64.5'
    """
    names = ("sitting", "step", "code", "bowl", "seat", "celsius", "at")
    return BowlStep(**{name: body[name] for name in names}, seq=seq)


def read_discussion(body: Mapping[str, Any], seq: int) -> Discussion:
    """Read the table's words from their event.

    Examples
    --------
    >>> read_discussion({"text": "Bowl 3 is thin.", "who": "table", "at": "09:30"}, 8).text
    'Bowl 3 is thin.'
    """
    return Discussion(body["text"], body["who"], body["at"], seq)


def read_decision(body: Mapping[str, Any], seq: int) -> Decision:
    """Read a decision from its event.

    Examples
    --------
    >>> body = {"decision": "hold", "batch": "LR-14", "reason": "flat", "name": "the roaster"}
    >>> read_decision(body | {"at": "09:40"}, 9).decision
    'hold'
    """
    names = ("decision", "batch", "reason", "name", "at")
    return Decision(**{name: body[name] for name in names}, seq=seq)
