"""Were the samples alike in strength, heat and fill? Readings of what was served."""

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from fractions import Fraction
from itertools import combinations
from statistics import median
from typing import NamedTuple

MAX_TDS, MAX_CELSIUS, MAX_FILL = Decimal(30), Decimal(100), Decimal(500)
FILL_LIMIT = Decimal(2)  # g a cup; common practice, no source
_NUMBER = re.compile(r"[0-9]{1,3}(?:[.,][0-9]{1,6})?", re.ASCII)


class Verdict(StrEnum):
    """How far apart the samples were in one property."""

    MATCHED = "matched"
    BORDERLINE = "borderline"
    NOT_MATCHED = "not matched"
    NOT_MEASURED = "not measured"


@dataclass(frozen=True)
class SlotReadings:
    """What was read of the brew served for one slot; strength in %TDS, heat in °C.

    The fill is that of a check cup poured from the slot, in grams.
    """

    slot: str
    sample: str
    round: int
    tds: tuple[Decimal, ...] = ()
    temperature_c: Decimal | None = None
    fill_g: Decimal | None = None


@dataclass(frozen=True)
class MatchRow:
    """One slot: median and spread of its strength readings (%TDS), temperature (°C), fill (g)."""

    slot: str
    sample: str
    round: int
    tds: Decimal | None
    spread: Decimal | None
    temperature_c: Decimal | None
    fill_g: Decimal | None


@dataclass(frozen=True)
class PropertyMatch:
    """One property compared between the samples.

    Attributes
    ----------
    verdict
        ``matched`` up to the limit, ``borderline`` up to twice the limit.
    limit
        Largest difference that counts as matched.
    rounds
        Round to the difference of the two sample means that lie farthest apart, the
        later sample minus the earlier; None where fewer than two were measured.
    overall
        The same over all rounds.
    worst
        Largest of these differences without sign; None if nothing can be compared.
    pair
        The two samples that lie so far apart, the earlier first; None as `worst`.
    missing
        Slots that were served without a reading.
    """

    verdict: Verdict
    limit: Decimal
    rounds: Mapping[int, Decimal | None]
    overall: Decimal | None
    worst: Decimal | None
    pair: tuple[str, str] | None
    missing: tuple[str, ...]


class _Apart(NamedTuple):
    """How far two samples lie apart, the later minus the earlier."""

    difference: Fraction
    pair: tuple[str, str]


@dataclass(frozen=True)
class MatchTable:
    """The match table of a finding."""

    rows: tuple[MatchRow, ...]
    tds: PropertyMatch
    temperature: PropertyMatch
    fill: PropertyMatch


def match_brews(
    brews: Sequence[SlotReadings],
    tds_limit: Decimal,
    temperature_limit: Decimal,
    fill_limit: Decimal = FILL_LIMIT,
    samples: Sequence[str] = ("A", "B"),
) -> MatchTable:
    """Compare strength, temperature and fill of the samples, round by round.

    Parameters
    ----------
    brews : sequence of SlotReadings
        One for every slot that was served, also those without readings.
    tds_limit, temperature_limit, fill_limit : Decimal
        Largest difference that counts as matched, in %TDS, °C and g a cup.
    samples : sequence of str
        Two levels or more, in order; differences are the later minus the earlier.

    Returns
    -------
    MatchTable
        Rows by round and slot. A slot's strength is the median of its readings;
        slots of a sample weigh the same. Differences are compared with the limit
        as fractions, without rounding. A difference beyond twice the limit is
        called ``not matched`` even if other readings are missing; otherwise one
        missing reading, or a sample without any brew, makes the property
        ``not measured``.

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

    That a median of three readings is taken, and the usual limits of 0.05 %TDS, 2 °C
    and 2 g, are common practice without a source. The first lies far below 0.24 %TDS,
    the one published estimate of a strength difference that consumers notice (Frost,
    Ristenpart and Guinard, J. Food Sci. 84, 2019; seen on secondary pages). Unequal
    fill is mainly a cue to the eye and a difference in cooling; no published smallest
    noticeable fill was found (common practice, no source).

    Examples
    --------
    >>> brews = [
    ...     SlotReadings("A1", "A", 1, parse_tds("1.30 1.31 1.30"), Decimal(58)),
    ...     SlotReadings("B1", "B", 1, parse_tds("1,35"), Decimal(57)),
    ... ]
    >>> table = match_brews(brews, Decimal("0.05"), Decimal(2))
    >>> table.tds.worst, table.tds.verdict.value, table.temperature.overall
    (Decimal('0.05'), 'matched', Decimal('-1'))
    """
    limits = {
        "tds_limit": tds_limit,
        "temperature_limit": temperature_limit,
        "fill_limit": fill_limit,
    }
    _check(brews, limits, samples)
    rows = tuple(_make_row(brew) for brew in sorted(brews, key=_by_round))
    return MatchTable(
        rows,
        _match([(row, row.tds) for row in rows], tds_limit, samples),
        _match([(row, row.temperature_c) for row in rows], temperature_limit, samples),
        _match([(row, row.fill_g) for row in rows], fill_limit, samples),
    )


def _check(
    brews: Sequence[SlotReadings], limits: Mapping[str, Decimal], samples: Sequence[str]
) -> None:
    if len(set(samples)) < 2:
        raise ValueError(f"samples must be two or more, got {', '.join(samples) or 'none'}")
    for name, limit in limits.items():
        if not limit >= 0:
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


def _make_row(brew: SlotReadings) -> MatchRow:
    middle = median(brew.tds) if brew.tds else None
    spread = max(brew.tds) - min(brew.tds) if brew.tds else None
    return MatchRow(
        brew.slot, brew.sample, brew.round, middle, spread, brew.temperature_c, brew.fill_g
    )


def _match(
    values: Sequence[tuple[MatchRow, Decimal | None]], limit: Decimal, samples: Sequence[str]
) -> PropertyMatch:
    """Compare one property: a row and its value for each slot."""
    rounds = sorted({row.round for row, _ in values})
    by_round = {
        round_: _find_farthest([(r, v) for r, v in values if r.round == round_], samples)
        for round_ in rounds
    }
    overall = _find_farthest(values, samples)
    known = [one for one in (*by_round.values(), overall) if one is not None]
    worst = max(known, key=_measure, default=None)
    missing = tuple(row.slot for row, value in values if value is None)
    unread = set(samples) - {row.sample for row, value in values if value is not None}
    return PropertyMatch(
        _judge(worst, Fraction(limit), complete=not missing and not unread),
        limit,
        {round_: _to_decimal(one.difference if one else None) for round_, one in by_round.items()},
        _to_decimal(overall.difference if overall else None),
        _to_decimal(_measure(worst) if worst else None),
        worst.pair if worst else None,
        missing,
    )


def _find_farthest(
    values: Iterable[tuple[MatchRow, Decimal | None]], samples: Sequence[str]
) -> _Apart | None:
    """Return the two samples whose means lie farthest apart; of equals the first."""
    read: dict[str, list[Fraction]] = {level: [] for level in samples}
    for row, value in values:
        if value is not None:
            read[row.sample].append(Fraction(value))
    means = {level: sum(all_, Fraction()) / len(all_) for level, all_ in read.items() if all_}
    pairs = [
        _Apart(means[later] - means[earlier], (earlier, later))
        for earlier, later in combinations(means, 2)
    ]
    return max(pairs, key=_measure, default=None)


def _measure(apart: _Apart) -> Fraction:
    return abs(apart.difference)


def _judge(worst: _Apart | None, limit: Fraction, *, complete: bool) -> Verdict:
    if worst is not None and _measure(worst) > 2 * limit:
        return Verdict.NOT_MATCHED
    if worst is None or not complete:
        return Verdict.NOT_MEASURED
    return Verdict.MATCHED if _measure(worst) <= limit else Verdict.BORDERLINE


def _to_decimal(value: Fraction | None) -> Decimal | None:
    return None if value is None else Decimal(value.numerator) / Decimal(value.denominator)


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
        raise ValueError(f"{name} must be a number from 0 to {most} {unit}, got {word[:40]!r}")
    return number
