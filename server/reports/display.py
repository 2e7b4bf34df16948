"""Numbers as people read them; nothing else in the reports rounds."""

from collections.abc import Sequence
from decimal import ROUND_UP, Decimal

NO_VALUE = "not estimable"


def show_p(p: float) -> str:
    """Show a probability to four decimals.

    Examples
    --------
    >>> show_p(0.0284411281), show_p(1e-7)
    ('0.0284', '< 0.0001')
    """
    return "< 0.0001" if p < 0.0001 else f"{p:.4f}"


def show_share(share: float) -> str:
    """Show a share in percent: whole if it is a whole number, else to one decimal.

    Examples
    --------
    >>> show_share(0.3), show_share(0.375), show_share(0.0)
    ('30%', '37.5%', '0%')
    """
    percent = f"{100 * share:.1f}"
    return f"{percent.removesuffix('.0')}%"


def show_points(difference: float) -> str:
    """Show a difference of two shares, with its sign.

    Examples
    --------
    >>> show_points(0.25), show_points(-0.125), show_points(0.0)
    ('+25 points', '−12.5 points', '0 points')
    """
    size = f"{abs(100 * difference):.1f}".removesuffix(".0")
    sign = "" if size == "0" else "+" if difference > 0 else "−"
    return f"{sign}{size} points"


def show_chance(p: float) -> str:
    """Show a probability as cases in a hundred such tests.

    Examples
    --------
    >>> show_chance(0.0284), show_chance(0.00004), show_chance(0.9999)
    ('2.8 of 100', 'fewer than 1 of 10,000', 'more than 99.9 of 100')
    """
    if p < 0.0001:
        return "fewer than 1 of 10,000"
    if p < 0.01:
        return f"{10_000 * p:.0f} of 10,000"
    if 0.999 < p < 1:
        return "more than 99.9 of 100"
    return f"{show_share(p).removesuffix('%')} of 100"


def show_round_chance(p: float) -> str:
    """Show a probability as whole cases in a hundred such tests, saying that it is rounded.

    Examples
    --------
    >>> show_round_chance(0.571), show_round_chance(0.998)
    ('about 57 of 100', 'more than 99 of 100')
    """
    return "more than 99 of 100" if p > 0.99 else f"about {100 * p:.0f} of 100"


def show_d_prime(d: float | None) -> str:
    """Show a d′ to two decimals.

    Examples
    --------
    >>> show_d_prime(1.8912), show_d_prime(None)
    ('1.89', 'not estimable')
    """
    return NO_VALUE if d is None else f"{d:.2f}"


def show_number(value: Decimal | float) -> str:
    """Show a measured or planned value as short as it is.

    Examples
    --------
    >>> show_number(Decimal("0.050")), show_number(Decimal("2")), show_number(Decimal("10"))
    ('0.05', '2', '10')
    """
    text = format(Decimal(str(value)), "f")
    return text.rstrip("0").rstrip(".") if "." in text else text


def show_reading(value: Decimal) -> str:
    """Show a strength to two decimals, or to all it has: differences are of what is shown.

    Examples
    --------
    >>> show_reading(Decimal("1.3")), show_reading(Decimal("1.305"))
    ('1.30', '1.305')
    """
    return max(f"{value:.2f}", show_number(value), key=len)


def show_apart(value: Decimal, unit: str) -> str:
    """Show how far apart two samples lie, rounded up so that it never hides in its limit.

    Points of extraction and minutes have one decimal: nobody knows more of them.

    Examples
    --------
    >>> show_apart(Decimal("2.0971"), "points"), show_apart(Decimal("0.0501"), "%TDS")
    ('2.1 points', '0.051 %TDS')
    """
    if unit in ("points", "min"):
        return f"{show_number(value.quantize(Decimal('0.1'), ROUND_UP))} {unit}"
    return f"{show_difference(value)} {unit}"


def show_difference(value: Decimal) -> str:
    """Show a difference to three decimals, rounded up so that it never hides in its limit.

    Examples
    --------
    >>> show_difference(Decimal("0.0501")), show_difference(Decimal("0.05"))
    ('0.051', '0.05')
    """
    return show_number(value.quantize(Decimal("0.001"), ROUND_UP))


def show_count(number: int, one: str, many: str = "") -> str:
    """Show a count with its noun.

    Examples
    --------
    >>> show_count(1, "brew"), show_count(3, "person", "persons")
    ('1 brew', '3 persons')
    """
    return f"{number} {one if number == 1 else many or one + 's'}"


def show_range(low: int, high: int) -> str:
    """Show a span of whole numbers.

    Examples
    --------
    >>> show_range(3, 3), show_range(1, 4)
    ('3', '1 to 4')
    """
    return f"{low}" if low == high else f"{low} to {high}"


def join_words(words: Sequence[str]) -> str:
    """Join words as a sentence does.

    Examples
    --------
    >>> join_words(["strength"]), join_words(["strength", "temperature", "order"])
    ('strength', 'strength, temperature and order')
    """
    return " and ".join([", ".join(words[:-1]), words[-1]] if len(words) > 1 else words)


def quote(text: str) -> str:
    """Quote what somebody typed.

    Examples
    --------
    >>> quote(" cold cups "), quote("")
    ('“cold cups”', 'none')
    """
    return f"“{text.strip()}”" if text.strip() else "none"
