"""Concentrations as people read them."""

from decimal import Decimal

from server.reports.display import NO_VALUE, show_share
from server.reports.series import labels


def show_concentration(value: float | None, unit: str) -> str:
    """Show a concentration to three digits, with its unit.

    Examples
    --------
    >>> show_concentration(0.31416, "g/L"), show_concentration(12345.6, "mg/L")
    ('0.314 g/L', '12300 mg/L')
    >>> show_concentration(None, "g/L")
    'not estimable'
    """
    if value is None:
        return NO_VALUE
    text = f"{Decimal(f'{value:.3g}'):f}"
    return f"{text.rstrip('0').rstrip('.') if '.' in text else text} {unit}"


def show_limits(
    value: float | None,
    limits: tuple[float | None, float | None] | None,
    unit: str,
    level: float,
) -> str:
    """Show a concentration with its limits, of which one may be open.

    Examples
    --------
    >>> show_limits(0.3, (0.2, None), "g/L", 0.95)
    '0.3 g/L (95% limits 0.2 g/L to no upper one)'
    >>> show_limits(None, None, "g/L", 0.95)
    'not estimable'
    """
    shown = show_concentration(value, unit)
    if limits is None or limits == (None, None):
        return shown
    low, high = show_ends(limits, unit)
    return labels.LIMITS.format(value=shown, level=show_share(level), low=low, high=high)


def show_ends(limits: tuple[float | None, float | None], unit: str) -> tuple[str, str]:
    """Show both limits.

    Examples
    --------
    >>> show_ends((None, 2.0), "%")
    ('no lower one', '2 %')
    """
    low, high = limits
    return (
        labels.OPEN_LOW if low is None else show_concentration(low, unit),
        labels.OPEN_HIGH if high is None else show_concentration(high, unit),
    )
