"""The columns of a match table beyond strength, heat and fill: those the plan judges."""

from server.brewing.match import MatchRow, MatchTable
from server.reports import labels


def name_judged(match: MatchTable) -> tuple[str, ...]:
    """Name the further columns of a match table."""
    judged = (match.extraction, match.age)
    return tuple(name for name, one in zip(labels.JUDGED, judged, strict=True) if one is not None)


def show_judged(match: MatchTable, row: MatchRow) -> tuple[str, ...]:
    """Show a brew's yield with its limits and its formula, and how long it waited for the last one.

    Examples
    --------
    >>> from decimal import Decimal
    >>> from server.brewing.match import SlotReadings, match_brews
    >>> found = {"extraction": Decimal("20.14"), "form": "beverage weighed"}
    >>> brew = SlotReadings("A1", "A", 1, **found, plus_minus=Decimal("0.46"))
    >>> match = match_brews([brew], *(Decimal(1),) * 3, extraction_limit=Decimal(1))
    >>> show_judged(match, match.rows[0])
    ('20.1 ± 0.5 (beverage weighed)',)
    """
    shown = []
    if match.extraction is not None:
        within = f" ± {row.plus_minus:.1f}" if row.plus_minus is not None else ""
        known = f"{row.extraction:.1f}{within} ({row.form})" if row.extraction is not None else ""
        shown.append(known or labels.NOT_READ)
    if match.age is not None:
        shown.append(labels.NOT_READ if row.waited is None else f"{row.waited:.1f}")
    return tuple(shown)
