"""How alike in heat and fill the base was to what was made of it, round by round."""

from collections.abc import Sequence
from dataclasses import replace
from decimal import Decimal

from server.brewing.match import MatchTable, PropertyMatch, SlotReadings, Verdict, match_brews

GRAVEST = (Verdict.NOT_MATCHED, Verdict.NOT_MEASURED, Verdict.BORDERLINE, Verdict.MATCHED)


def match_steps(
    brews: Sequence[SlotReadings],
    tds_limit: Decimal,
    temperature_limit: Decimal,
    fill_limit: Decimal,
    base: str,
    *,
    age_limit: Decimal | None = None,
) -> MatchTable:
    """Compare each round's part with something added with the base of the same round.

    Parameters and result are those of `match.match_brews`, whose rules hold in each round;
    over all rounds nothing is compared, because other steps stand in other rounds.

    Parameters
    ----------
    brews : sequence of SlotReadings
        One for every slot that was served, also those without readings.
    tds_limit, temperature_limit, fill_limit : Decimal
        Largest difference that counts as matched, in %TDS, °C and g a cup.
    base : str
        Level of the base.
    age_limit : Decimal or None
        Likewise, in minutes; None: not judged.

    Returns
    -------
    MatchTable
        The gravest verdict of any round decides a property.

    Examples
    --------
    >>> brews = [
    ...     SlotReadings("A1", "A", 1, temperature_c=Decimal(58)),
    ...     SlotReadings("B1", "B", 1, temperature_c=Decimal("57.5")),
    ...     SlotReadings("A2", "A", 2, temperature_c=Decimal(50)),
    ...     SlotReadings("C1", "C", 2, temperature_c=Decimal(51)),
    ... ]
    >>> found = match_steps(brews, Decimal("0.05"), Decimal(2), Decimal(2), "A").temperature
    >>> found.verdict.value, found.worst, found.pair
    ('matched', Decimal('1'), ('A', 'C'))
    """
    limits = tds_limit, temperature_limit, fill_limit
    tables = [
        match_brews(mine, *limits, samples=_name_samples(mine, base), age_limit=age_limit)
        for mine in (
            [one for one in brews if one.round == number]
            for number in sorted({one.round for one in brews})
        )
    ]
    if not tables:
        return match_brews([], *limits, age_limit=age_limit)
    return MatchTable(
        rows=tuple(row for table in tables for row in table.rows),
        tds=_join([table.tds for table in tables]),
        temperature=_join([table.temperature for table in tables]),
        fill=_join([table.fill for table in tables]),
        age=_join([table.age for table in tables if table.age]) if age_limit is not None else None,
    )


def _name_samples(brews: Sequence[SlotReadings], base: str) -> tuple[str, str]:
    """Return the base and the other level of a round, which may have had no brew."""
    others = sorted({one.sample for one in brews} - {base})
    return base, others[0] if others else "?"


def _join(found: Sequence[PropertyMatch]) -> PropertyMatch:
    worst = max((one for one in found if one.worst is not None), key=_get_worst, default=None)
    return replace(
        found[0],
        verdict=next(one for one in GRAVEST if one in {match.verdict for match in found}),
        rounds={number: one for match in found for number, one in match.rounds.items()},
        overall=None,
        worst=worst.worst if worst else None,
        pair=worst.pair if worst else None,
        missing=tuple(name for match in found for name in match.missing),
        mixed=any(match.mixed for match in found),
    )


def _get_worst(match: PropertyMatch) -> Decimal:
    return match.worst or Decimal(0)
