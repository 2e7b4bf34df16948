"""What stands at a bench: cups, pots, flasks, hands, and how long a cup may wait."""

from dataclasses import dataclass, fields

CUP_WAIT_MIN = 15
"""Longest from pour to first sip, in minutes, if nobody says else; common practice, no source."""

POT_WAIT_MIN = 15
"""Longest that a brew stands in an open pot before its last cup; common practice, no source."""

FLASK_WAIT_MIN = 30
"""The same in a flask that keeps heat: 20 to 30 minutes are common practice, no source."""


@dataclass(frozen=True)
class Kit:
    """What is at hand.

    Attributes
    ----------
    cups
        Identical cups.
    pots
        Pots, brewers with their server: what brews at the same time.
    flasks
        Flasks that keep heat, into which a brew is emptied.
    hands
        People who pour and serve.
    wait_min
        Minutes a cup may wait from its pour to its first sip.

    Raises
    ------
    ValueError
        If a number is below 1 (``flasks``: below 0).
    """

    cups: int
    pots: int
    flasks: int = 0
    hands: int = 1
    wait_min: int = CUP_WAIT_MIN

    def __post_init__(self) -> None:
        for field in fields(self):
            value, least = getattr(self, field.name), int(field.name != "flasks")
            if value < least:
                raise ValueError(f"{field.name} must be at least {least}, got {value}")
