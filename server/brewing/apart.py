"""How far apart the samples lie in one property, against a limit."""

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from fractions import Fraction
from itertools import combinations
from typing import NamedTuple

FEWEST_SAMPLED = 3
"""Brews of a sample that have to be read before they stand for those that were not.

Common practice asks for three brews of a sample or more; no source.
"""


class Verdict(StrEnum):
    """How far apart the samples were in one property."""

    MATCHED = "matched"
    BORDERLINE = "borderline"
    NOT_MATCHED = "not matched"
    NOT_MEASURED = "not measured"


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
        The same over all rounds; None if rounds do not compare.
    worst
        Largest of these differences without sign; None if nothing can be compared.
    pair
        The two samples that lie so far apart, the earlier first; None as `worst`.
    missing
        Slots that were served without a reading.
    mixed
        Whether values of two kinds, which do not compare, stood side by side.
    """

    verdict: Verdict
    limit: Decimal
    rounds: Mapping[int, Decimal | None]
    overall: Decimal | None
    worst: Decimal | None
    pair: tuple[str, str] | None
    missing: tuple[str, ...]
    mixed: bool = False


class Measured(NamedTuple):
    """One property of the brew of one slot.

    ``kind`` is how it was found: values of two kinds, such as yields by two formulas, do not
    compare.
    """

    slot: str
    sample: str
    round: int
    value: Decimal | None
    kind: str = ""


class _Apart(NamedTuple):
    """How far two samples lie apart, the later minus the earlier."""

    difference: Fraction
    pair: tuple[str, str]


def match_property(
    measured: Sequence[Measured],
    limit: Decimal,
    samples: Sequence[str],
    *,
    overall: bool = True,
    sampled: bool = False,
) -> PropertyMatch:
    """Compare one property of the samples, round by round and over all rounds.

    Parameters
    ----------
    measured : sequence of Measured
        One for each slot that was served.
    limit : Decimal
        Largest difference that counts as matched.
    samples : sequence of str
        Levels in order.
    overall : bool
        Whether values of different rounds compare.
    sampled
        Whether some brews of each sample are enough: three or more that were read then stand
        for the others.

    Returns
    -------
    PropertyMatch
        As `match.match_brews` says. Where values of two kinds stand side by side, they are
        not compared, and the property is ``not measured`` unless a comparison that can be
        made lies beyond twice the limit.

    Examples
    --------
    >>> found = match_property(
    ...     [Measured("A1", "A", 1, Decimal("20.1")), Measured("B1", "B", 1, Decimal("20.6"))],
    ...     Decimal("0.7"), "AB",
    ... )
    >>> found.worst, found.verdict.value
    (Decimal('0.5'), 'matched')
    """
    rounds = sorted({one.round for one in measured})
    split = {number: [one for one in measured if one.round == number] for number in rounds}
    by_round = {number: _find_farthest(mine, samples) for number, mine in split.items()}
    whole = _find_farthest(measured, samples) if overall else None
    known = [one for one in (*by_round.values(), whole) if one is not None]
    worst = max(known, key=_measure, default=None)
    missing = tuple(one.slot for one in measured if one.value is None)
    read = Counter(one.sample for one in measured if one.value is not None)
    fewest = min((read[level] for level in samples), default=0)
    lacking = not fewest or (missing and not (sampled and fewest >= FEWEST_SAMPLED))
    mixed = any(_is_mixed(mine) for mine in (*split.values(), *([measured] if overall else [])))
    return PropertyMatch(
        _judge(worst, Fraction(limit), complete=not (lacking or mixed)),
        limit,
        {number: _to_decimal(one.difference if one else None) for number, one in by_round.items()},
        _to_decimal(whole.difference if whole else None),
        _to_decimal(_measure(worst) if worst else None),
        worst.pair if worst else None,
        missing,
        mixed,
    )


def _is_mixed(measured: Iterable[Measured]) -> bool:
    return len({one.kind for one in measured if one.value is not None}) > 1


def _find_farthest(measured: Sequence[Measured], samples: Sequence[str]) -> _Apart | None:
    """Return the two samples whose means lie farthest apart; of equals the first."""
    if _is_mixed(measured):
        return None
    read: dict[str, list[Fraction]] = {level: [] for level in samples}
    for one in measured:
        if one.value is not None:
            read[one.sample].append(Fraction(one.value))
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
