"""Cochran's Q, of whether a yes is given as often to every sample by the same assessors."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations
from typing import Literal

from server.stats.binomial import reaches
from server.stats.checks import check_open_unit
from server.stats.chi_square import build_chi_square
from server.stats.multiple import holm
from server.stats.paired_answers import compare_signs
from server.stats.rank_sums import find_rank_sums
from server.stats.results import ChiSquare

Distribution = Literal["exact", "chi-square"]

NOBODY_DIFFERED = (
    "Cochran's Q has no value: everybody gave all samples the same answer. Nothing speaks for "
    "a difference."
)
TOO_LARGE = "No exact p-value: too many answers for it; the chi-square p-value stands in its place."
PAIRS_HINT = (
    "Overall a difference was not detected: a pair that stands apart is then a hint only, "
    "unless it was named beforehand."
)
MOST_WORK = 20_000_000  # assessors × samples × sets of totals, roughly: a quarter of a second


@dataclass(frozen=True)
class AnswerPair:
    """Two samples compared by those who answered differently on them.

    Attributes
    ----------
    first, second : str
        The samples.
    first_only, second_only : int
        How many said yes to the one and not to the other.
    p_value : float
        McNemar's test, exact, two-sided; 1 if nobody answered differently.
    p_holm : float
        Adjusted over all pairs.
    apart : bool
        Whether `p_holm` is at most alpha.
    """

    first: str
    second: str
    first_only: int
    second_only: int
    p_value: float
    p_holm: float
    apart: bool


@dataclass(frozen=True)
class CochranQ:
    """Cochran's test.

    Attributes
    ----------
    assessors : int
        J, who answered on every sample.
    informative : int
        How many of them did not give all samples the same answer; the others
        change neither the statistic nor a p-value.
    samples : tuple of str, length P
    yes : tuple of int, length P
        Yes answers to every sample.
    shares : tuple of float, length P
        The same, of all assessors.
    alpha : float
        Level of the test and of all pairs together.
    chi_square : ChiSquare or None
        Q with its large-sample p-value.
    p_exact : float or None
        Exact chance of a Q as large or larger.
    p_value : float or None
        The one to report.
    distribution : {"exact", "chi-square"} or None
        Where `p_value` comes from: exact wherever that is feasible.
    detected : bool
        Whether `p_value` is at most `alpha`.
    pairs : tuple of AnswerPair
        In the order of the samples.
    notes : tuple of str
        How to read it, and why something is None.
    """

    assessors: int
    informative: int
    samples: tuple[str, ...]
    yes: tuple[int, ...]
    shares: tuple[float, ...]
    alpha: float
    chi_square: ChiSquare | None
    p_exact: float | None
    p_value: float | None
    distribution: Distribution | None
    detected: bool
    pairs: tuple[AnswerPair, ...]
    notes: tuple[str, ...]


def analyse_cochran(
    answers: Sequence[Sequence[int]], samples: Sequence[str] | None = None, alpha: float = 0.05
) -> CochranQ:
    """Test whether yes is said as often to every sample, by the same assessors.

    Parameters
    ----------
    answers : sequence of sequence of int, shape (J, P)
        1 or True for yes, 0 or False for no; a row an assessor, a column a
        sample, nothing missing. Two rows of one person are not two persons.
    samples : sequence of str, length P, optional
        Labels; "1", "2", ... if left out.
    alpha : float
        Level, above 0 and below 1.

    Returns
    -------
    CochranQ

    Raises
    ------
    ValueError
        If there is no row, fewer than two samples, a row of another length, an
        answer that is neither 0 nor 1, labels that do not fit, or `alpha` is out
        of range.

    Notes
    -----
    Q = (P - 1) (P Σ C² - N²) / (P N - Σ R²), C the yes answers to a sample, R those of an
    assessor, N all of them; chi-square on P - 1 degrees of freedom in large
    samples [1]_. Exact: an assessor's yes answers fall on any samples as likely. Q is Friedman's
    statistic, corrected for ties, of the answers; with two samples McNemar's,
    and the exact p-value is then that of the sign test. Pairs: McNemar's test,
    exact, adjusted by Holm's method over all pairs.

    References
    ----------
    .. [1] Cochran, W. G. (1950). The comparison of percentages in matched
       samples. Biometrika, 37, 256-266.

    Examples
    --------
    >>> found = analyse_cochran([[1, 0, 0], [1, 0, 0], [1, 1, 0], [1, 0, 0], [0, 0, 0]])
    >>> found.yes, found.chi_square.statistic, round(found.p_exact, 6)
    ((4, 1, 0), 6.5, 0.074074)
    """
    check_open_unit("alpha", alpha)
    rows = _read(answers)
    names = _name(samples, len(rows[0]))
    mixed = [row for row in rows if 0 < sum(row) < len(row)]
    yes = tuple(sum(column) for column in zip(*rows, strict=True))
    chi_square = _find_q(mixed) if mixed else None
    p_exact = _find_exact(mixed) if mixed else None
    p_value, distribution = _choose(chi_square, p_exact)
    pairs = _compare(rows, names, alpha)
    detected = p_value is not None and reaches(p_value, alpha)
    return CochranQ(
        assessors=len(rows),
        informative=len(mixed),
        samples=names,
        yes=yes,
        shares=tuple(count / len(rows) for count in yes),
        alpha=alpha,
        chi_square=chi_square,
        p_exact=p_exact,
        p_value=p_value,
        distribution=distribution,
        detected=detected,
        pairs=pairs,
        notes=_notes(chi_square, p_exact, detected, pairs),
    )


def _read(answers: Sequence[Sequence[int]]) -> list[tuple[int, ...]]:
    rows = [tuple(row) for row in answers]
    if not rows:
        raise ValueError("answers must hold at least one assessor's row, not none")
    if len(rows[0]) < 2:
        raise ValueError(f"answers must be on two samples or more, not {len(rows[0])}")
    for row in rows:
        if len(row) != len(rows[0]):
            raise ValueError(f"answers must be {len(rows[0])} in every row, not {len(row)}")
        for one in row:
            if one not in (0, 1):
                raise ValueError(f"answers must be 0 or 1, not {one}")
    return [tuple(int(one) for one in row) for row in rows]


def _name(samples: Sequence[str] | None, number: int) -> tuple[str, ...]:
    if samples is None:
        return tuple(str(place + 1) for place in range(number))
    if len(samples) != number or len(set(samples)) != number:
        raise ValueError(f"samples must be {number} different labels, not {list(samples)}")
    return tuple(samples)


def _find_q(mixed: Sequence[tuple[int, ...]]) -> ChiSquare:
    samples = len(mixed[0])
    columns = [sum(column) for column in zip(*mixed, strict=True)]
    totals = [sum(row) for row in mixed]
    above = (samples - 1) * (samples * sum(x * x for x in columns) - sum(totals) ** 2)
    below = samples * sum(totals) - sum(x * x for x in totals)
    return build_chi_square(above / below, samples - 1)


def _find_exact(mixed: Sequence[tuple[int, ...]]) -> float | None:
    """Return the chance of as large a sum of squared column totals, which orders as Q does."""
    samples = len(mixed[0])
    columns = [sum(column) for column in zip(*mixed, strict=True)]
    if samples == 2:
        return compare_signs(*columns).exact_two_sided
    sets = math.comb(len(mixed) + samples - 1, samples - 1)
    if len(mixed) * samples * sets > MOST_WORK:
        return None
    found = find_rank_sums(tuple(tuple(sorted(row)) for row in mixed))
    if found is None:
        return None
    as_far = (found.sums**2).sum(axis=1) >= sum(x * x for x in columns)
    return 1.0 if as_far.all() else float(found.chances[as_far].sum())


def _choose(
    chi_square: ChiSquare | None, p_exact: float | None
) -> tuple[float | None, Distribution | None]:
    if p_exact is not None:
        return p_exact, "exact"
    return (chi_square.p_value, "chi-square") if chi_square else (None, None)


def _compare(
    rows: Sequence[tuple[int, ...]], names: tuple[str, ...], alpha: float
) -> tuple[AnswerPair, ...]:
    places = list(combinations(range(len(names)), 2))
    changes = [
        (sum(row[one] > row[other] for row in rows), sum(row[one] < row[other] for row in rows))
        for one, other in places
    ]
    p_values = [compare_signs(*change).exact_two_sided for change in changes]
    return tuple(
        AnswerPair(
            first=names[one],
            second=names[other],
            first_only=first_only,
            second_only=second_only,
            p_value=p,
            p_holm=adjusted,
            apart=reaches(adjusted, alpha),
        )
        for (one, other), (first_only, second_only), p, adjusted in zip(
            places, changes, p_values, holm(p_values), strict=True
        )
    )


def _notes(
    chi_square: ChiSquare | None,
    p_exact: float | None,
    detected: bool,
    pairs: tuple[AnswerPair, ...],
) -> tuple[str, ...]:
    reasons = {
        NOBODY_DIFFERED: chi_square is None,
        TOO_LARGE: chi_square is not None and p_exact is None,
        PAIRS_HINT: not detected and any(pair.apart for pair in pairs),
    }
    return tuple(sentence for sentence, holds in reasons.items() if holds)
