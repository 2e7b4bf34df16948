"""A finding about a soak in plain water speaks of jars where others speak of brews and pots."""

import re

QUOTED = re.compile("(“[^”]*”)")
IN_PLACE = (
    (r"\bBrew each sample at least twice a round\b", "Fill two jars of each sample a round"),
    (r"\bBrew each sample several times\b", "Fill several jars of each sample"),
    (r"\bafter some brews\b", "used for a while"),
    (r"\bextraction, ", ""),
    (r"\bbrew them more alike\b", "soak them more alike"),
    (r", such as 10 to 15 % water added to one cup", ""),
    (r"\bfrom brewing to sipping\b", "from soaking to serving"),
    (r"\btime since brewing\b", "time since soaking"),
    (r"\bTime since brewing\b", "Time since soaking"),
    (r"\bbrew-to-brew\b", "jar-to-jar"),
    (r"\bBrew-to-brew\b", "Jar-to-jar"),
    (r"\b(?:brews|pots)\b", "jars"),
    (r"\b(?:Brews|Pots)\b", "Jars"),
    (r"\b(?:brew|pot)\b", "jar"),
)  # fmt: skip


def speak_of_jars(sentence: str) -> str:
    """Return a sentence about jars of water; what people typed, quoted, stays as it is.

    Examples
    --------
    >>> speak_of_jars("This panel told “my brew” and “B” apart in these brews.")
    'This panel told “my brew” and “B” apart in these jars.'
    """
    if QUOTED.fullmatch(sentence):  # what may be said, word for word
        return _replace(sentence)
    parts = QUOTED.split(sentence)
    return "".join(part if part.startswith("“") else _replace(part) for part in parts)


def _replace(text: str) -> str:
    for pattern, word in IN_PLACE:
        text = re.sub(pattern, word, text)
    return text
