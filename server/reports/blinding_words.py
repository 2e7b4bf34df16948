"""How blind a tasting was, and whether its seal holds."""

from collections.abc import Sequence

from server.reports.amendment_words import LOOK_WHO
from server.reports.blindness import Cap

# Blinding

LEVELS = {
    0: "open",
    1: "solo, shuffled",
    2: "single blind, pourer present",
    3: "single blind, pourer absent",
    4: "double blind",
}
POURERS = {
    "taster": "somebody who tastes pours",
    "alone": "one person pours, shuffles unseen and tastes; the truth lies under the cups",
    "present": "the pourer does not taste and stays in the room",
    "absent": "the pourer does not taste and leaves before the first sip",
    "relay": "one person fills the cups, another who knows only codes serves them",
}
CAPS = {
    "planned": "Planned: {who}.",
    "closing": "As done: {who}.",
    "key_look": "Before closing the key was seen by {who}: level {level} at most.",
}


def say_cap(cap: Cap) -> str:
    """Say what one cap on the blinding level is."""
    who = LOOK_WHO if cap.cause == "key_look" else POURERS
    return CAPS[cap.cause].format(who=who.get(cap.who, cap.who), level=cap.level)


# Seal

SEAL_HOLDS = "✔ The seal matches."
SEAL_FAILS = "✘ The seal does not match."
CHAIN_FAILS = "✘ The record of events does not follow from the seal."
SEAL_OPEN = "The seal has not been opened yet."


def say_seal(matches: bool | None, chain_problems: Sequence[str]) -> str:
    """Say whether the seal and the chain of events hold; ``matches`` is None while sealed."""
    if matches is False:
        return SEAL_FAILS
    if chain_problems:
        return CHAIN_FAILS
    return SEAL_OPEN if matches is None else SEAL_HOLDS
