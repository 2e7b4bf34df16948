"""Strength, temperature and fill of a brew, read as somebody types them at the bar."""

import re
from decimal import Decimal

MAX_TDS, MAX_CELSIUS, MAX_FILL = Decimal(30), Decimal(100), Decimal(500)

_NUMBER = re.compile(r"[0-9]{1,3}(?:[.,][0-9]{1,6})?", re.ASCII)


def parse_tds(text: str) -> tuple[Decimal, ...]:
    """Read strength readings as they were typed.

    Parameters
    ----------
    text : str
        Readings in %TDS between blanks or semicolons; a comma is a decimal point.

    Returns
    -------
    tuple of Decimal
        Empty for a blank text.

    Raises
    ------
    ValueError
        If something is not a number from 0 to 30.

    Examples
    --------
    >>> parse_tds("1.31 1,32; 1.30")
    (Decimal('1.31'), Decimal('1.32'), Decimal('1.30'))
    """
    return tuple(_parse(word, "TDS", "%", MAX_TDS) for word in text.replace(";", " ").split())


def parse_temperature(text: str) -> Decimal | None:
    """Read a temperature as it was typed: °C from 0 to 100, None for a blank text.

    Examples
    --------
    >>> parse_temperature(" 58,5 ")
    Decimal('58.5')
    """
    return _parse_one(text, "temperature", "°C", MAX_CELSIUS)


def parse_fill(text: str) -> Decimal | None:
    """Read the fill of a check cup as it was typed: g from 0 to 500, None for a blank text.

    Examples
    --------
    >>> parse_fill("40,5")
    Decimal('40.5')
    """
    return _parse_one(text, "fill", "g", MAX_FILL)


def _parse_one(text: str, name: str, unit: str, most: Decimal) -> Decimal | None:
    words = text.split()
    if len(words) > 1:
        raise ValueError(f"{name} must be one number, got {text.strip()[:40]!r}")
    return _parse(words[0], name, unit, most) if words else None


def _parse(word: str, name: str, unit: str, most: Decimal) -> Decimal:
    number = Decimal(word.replace(",", ".")) if _NUMBER.fullmatch(word) else None
    if number is None or number > most:
        slipped = number is not None and unit == "%" and 40 <= number <= 400
        meant = f"; {number / 100:f}?" if number is not None and slipped else ""
        raise ValueError(
            f"{name} must be a number from 0 to {most} {unit}, got {word[:40]!r}{meant}"
        )
    return number
