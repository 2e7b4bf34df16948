"""Degrees Celsius from degrees Fahrenheit, as people type them."""

import re

_DEGREES = re.compile(
    r"([+-]?[0-9]{1,3}(?:[.,][0-9]{1,2})?)\s*°?\s*([CF]?)", re.ASCII | re.IGNORECASE
)


def to_celsius(fahrenheit: float) -> float:
    """Return a temperature in °C.

    Examples
    --------
    >>> round(to_celsius(200), 1)
    93.3
    """
    return (fahrenheit - 32) / 1.8


def read_celsius(text: str) -> str:
    """Return a typed temperature as °C, to a tenth of a degree: ``200 F`` is ``93.3``.

    Whatever is no temperature in °F stays as it was typed, for its own form to judge.

    Examples
    --------
    >>> read_celsius("200 °F"), read_celsius("93,5 C"), read_celsius("hot")
    ('93.3', '93.5', 'hot')
    """
    found = _DEGREES.fullmatch(text.strip())
    if found is None:
        return text
    number = found[1].replace(",", ".")
    return f"{to_celsius(float(number)):.1f}" if found[2].upper() == "F" else number
