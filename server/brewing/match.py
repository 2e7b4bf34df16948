"""How alike the samples were when served: in strength, heat, fill, extraction and age."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from functools import partial
from statistics import median

from server.brewing.apart import Measured, PropertyMatch, Verdict, match_property

__all__ = [
    "DAY_CLOCK",
    "FILL_LIMIT",
    "MatchRow",
    "MatchTable",
    "PropertyMatch",
    "SlotReadings",
    "Verdict",
    "match_brews",
]

FILL_LIMIT = Decimal(2)  # g a cup; common practice, no source
DAY_CLOCK = "time of day"
"""Clock of times that somebody typed without a day, in minutes after midnight."""

_DAY = 24 * 60


@dataclass(frozen=True)
class SlotReadings:
    """What was read of the brew served for one slot; strength in %TDS, heat in °C.

    The fill is that of a check cup poured from the slot, in grams. The extraction yield is in
    percent, right within `plus_minus`, by the formula `form`; the brew ended so many minutes
    after some moment, by `clock`. Yields of two formulas do not compare, nor do times of two
    clocks.
    """

    slot: str
    sample: str
    round: int
    tds: tuple[Decimal, ...] = ()
    temperature_c: Decimal | None = None
    fill_g: Decimal | None = None
    extraction: Decimal | None = None
    form: str = ""
    ended: Decimal | None = None
    clock: str = ""
    plus_minus: Decimal | None = None


@dataclass(frozen=True)
class MatchRow:
    """One slot: median and spread of its strength readings (%TDS), temperature (°C), fill (g).

    ``waited`` says how many minutes sooner it was ready than the last brew of its round by the
    same clock: so much older it is, as all cups of a round are tasted together.
    """

    slot: str
    sample: str
    round: int
    tds: Decimal | None
    spread: Decimal | None
    temperature_c: Decimal | None
    fill_g: Decimal | None
    extraction: Decimal | None = None
    form: str = ""
    waited: Decimal | None = None
    plus_minus: Decimal | None = None


@dataclass(frozen=True)
class MatchTable:
    """The match table of a finding; what has no limit is None, and not judged."""

    rows: tuple[MatchRow, ...]
    tds: PropertyMatch
    temperature: PropertyMatch
    fill: PropertyMatch
    extraction: PropertyMatch | None = None
    age: PropertyMatch | None = None
    sampled: bool = False

    @property
    def shown(self) -> tuple[MatchRow, ...]:
        """The rows to show: all of them, or those of which something was read."""
        read = (
            (row, (row.tds, row.temperature_c, row.fill_g, row.extraction)) for row in self.rows
        )
        return tuple(row for row, given in read if not self.sampled or given != (None,) * 4)


def match_brews(
    brews: Sequence[SlotReadings],
    tds_limit: Decimal,
    temperature_limit: Decimal,
    fill_limit: Decimal = FILL_LIMIT,
    samples: Sequence[str] = ("A", "B"),
    *,
    extraction_limit: Decimal | None = None,
    age_limit: Decimal | None = None,
    sampled: bool = False,
) -> MatchTable:
    """Compare strength, temperature, fill, extraction and age of the samples, round by round.

    Parameters
    ----------
    brews : sequence of SlotReadings
        One for every slot that was served, also those without readings.
    tds_limit, temperature_limit, fill_limit : Decimal
        Largest difference that counts as matched, in %TDS, °C and g a cup.
    samples : sequence of str
        Two levels or more, in order; differences are the later minus the earlier.
    extraction_limit, age_limit : Decimal or None
        Likewise, in points of extraction yield and in minutes; None: not judged.
    sampled : bool
        Whether some brews of each sample stand for all of them, as where every cup is a brew
        of its own: then, from three brews of each sample on, a missing reading alone leaves
        nothing ``not measured``, and only brews of which something was read are shown.

    Returns
    -------
    MatchTable
        Rows by round and slot. A slot's strength is the median of its readings;
        slots of a sample weigh the same. Differences are compared with the limit
        as fractions, without rounding. A difference beyond twice the limit is
        called ``not matched`` even if other readings are missing; otherwise one
        missing reading, or a sample without any brew, makes the property
        ``not measured``. Yields by two formulas are never compared: side by side they are
        ``not measured`` as well. Ages are compared within a round alone, by when the brews
        ended; of times without a day, the shorter way around midnight counts.

    Raises
    ------
    ValueError
        If a limit is negative, a slot comes twice, a brew is of another sample, or
        there are fewer than two samples.

    Notes
    -----
    Of many samples the two means that lie farthest apart are compared with the limit:
    only then are all pairs within it. The more samples, the farther apart their extremes
    lie by errors of reading alone; the limit stays that of a pair, because a pair is what
    a taster may notice.

    That a median of three readings is taken, and the usual limits of 0.05 %TDS, 2 °C,
    2 g, 0.7 points and 2 minutes, are common practice without a source. The first lies far
    below 0.24 %TDS, the one published estimate of a strength difference that consumers notice
    (Frost, Ristenpart and Guinard, J. Food Sci. 84, 2019; seen on secondary pages). Unequal
    fill is mainly a cue to the eye and a difference in cooling; no published smallest
    noticeable fill was found (common practice, no source).

    Examples
    --------
    >>> brews = [
    ...     SlotReadings("A1", "A", 1, (Decimal("1.30"), Decimal("1.31")), Decimal(58)),
    ...     SlotReadings("B1", "B", 1, (Decimal("1.355"),), Decimal(57)),
    ... ]
    >>> table = match_brews(brews, Decimal("0.05"), Decimal(2))
    >>> table.tds.worst, table.tds.verdict.value, table.temperature.overall
    (Decimal('0.05'), 'matched', Decimal('-1'))
    """
    limits = {
        "tds_limit": tds_limit,
        "temperature_limit": temperature_limit,
        "fill_limit": fill_limit,
        "extraction_limit": extraction_limit,
        "age_limit": age_limit,
    }
    _check(brews, limits, samples)
    brews = _carry_over_midnight(sorted(brews, key=_by_round))
    rows = tuple(_make_row(brew, brews) for brew in brews)
    judge = partial(match_property, samples=samples, sampled=sampled)
    return MatchTable(
        rows,
        judge([_take(row, row.tds) for row in rows], tds_limit),
        judge([_take(row, row.temperature_c) for row in rows], temperature_limit),
        judge([_take(row, row.fill_g) for row in rows], fill_limit),
        None if extraction_limit is None else judge(
            [_take(row, row.extraction, row.form) for row in rows], extraction_limit
        ),
        None if age_limit is None else judge(
            [_take(one, one.ended, one.clock) for one in brews], age_limit, overall=False
        ),
        sampled,
    )  # fmt: skip


def _take(one: SlotReadings | MatchRow, value: Decimal | None, kind: str = "") -> Measured:
    return Measured(one.slot, one.sample, one.round, value, kind)


def _check(
    brews: Sequence[SlotReadings], limits: Mapping[str, Decimal | None], samples: Sequence[str]
) -> None:
    if len(set(samples)) < 2:
        raise ValueError(f"samples must be two or more, got {', '.join(samples) or 'none'}")
    for name, limit in limits.items():
        if limit is not None and not limit >= 0:
            raise ValueError(f"{name} must not be negative, got {limit}")
    seen = set()
    for brew in brews:
        if brew.sample not in samples:
            raise ValueError(f"brews must be of {' or '.join(samples)}, got {brew.sample}")
        if brew.slot in seen:
            raise ValueError(f"brews must name each slot once, got {brew.slot} twice")
        seen.add(brew.slot)


def _by_round(brew: SlotReadings) -> tuple[int, str, int, str]:
    return brew.round, brew.sample, len(brew.slot), brew.slot


def _make_row(brew: SlotReadings, brews: Sequence[SlotReadings]) -> MatchRow:
    middle = median(brew.tds) if brew.tds else None
    spread = max(brew.tds) - min(brew.tds) if brew.tds else None
    return MatchRow(
        brew.slot,
        brew.sample,
        brew.round,
        middle,
        spread,
        brew.temperature_c,
        brew.fill_g,
        brew.extraction,
        brew.form,
        _find_wait(brew, brews),
        brew.plus_minus,
    )


def _find_wait(brew: SlotReadings, brews: Sequence[SlotReadings]) -> Decimal | None:
    if brew.ended is None:
        return None
    together = ((one.ended, one.round, one.clock) for one in brews)
    ends = [end for end, *of in together if end is not None and of == [brew.round, brew.clock]]
    return max(ends) - brew.ended


def _carry_over_midnight(brews: Sequence[SlotReadings]) -> list[SlotReadings]:
    """Put times without a day that lie around midnight after each other, round by round."""
    found = []
    for brew in brews:
        mine = (one for one in brews if (one.round, one.clock) == (brew.round, DAY_CLOCK))
        ends = [one.ended for one in mine if one.ended is not None]
        around = bool(ends) and max(ends) - min(ends) > _DAY / 2
        if around and brew.clock == DAY_CLOCK and brew.ended is not None and brew.ended < _DAY / 2:
            brew = replace(brew, ended=brew.ended + _DAY)
        found.append(brew)
    return found
