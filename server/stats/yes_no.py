"""A-not-A and same-different tests from their answers: rates, tests that fit, d′."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from server.stats.a_not_a import ANotA, analyse_a_not_a
from server.stats.fixed_margins import Layout, permutation_p
from server.stats.paired_answers import SignTest, compare_signs
from server.stats.same_different import SameDifferent, analyse_same_different
from server.stats.two_rates import TwoRates, compare_rates

Design = Literal["a-not-a", "same-different"]
DESIGNS: tuple[Design, ...] = ("a-not-a", "same-different")

FISHER = "fisher"
MCNEMAR = "mcnemar"
WITHIN = "within assessors"

ASSESSORS_UNKNOWN = (
    "Without assessors all answers count as independent of each other; "
    "several answers of one assessor are not."
)
EVERYBODY_ANSWERED_TWICE = (
    "Everybody answered to one serving of each kind: the test of changed answers is the one to go "
    "by. Chi-square, the limits of the difference and those of d′ take the answers as independent."
)
ANSWERS_REPEATED = (
    "The test within assessors is the one to go by: it speaks of these assessors. Chi-square, the "
    "limits of the difference and those of d′ take all answers as independent and all assessors "
    "as alike."
)
NOBODY_SERVED_BOTH = (
    "No assessor was served both kinds: there is no test within assessors, and Fisher's test takes "
    "all answers as independent."
)


@dataclass(frozen=True)
class Answer:
    """One answer, or several alike.

    Attributes
    ----------
    first : bool
        Whether the first kind was served: A, or a pair of one sample.
    yes : bool
        Whether the answer named the first kind: A, or same.
    assessor : str or None
        Who answered.
    count : int
        How many such answers, 0 or more.
    """

    first: bool
    yes: bool
    assessor: str | None = None
    count: int = 1


@dataclass(frozen=True)
class YesNoResult:
    """An A-not-A or same-different test analysed.

    Attributes
    ----------
    design : {"a-not-a", "same-different"}
        The task.
    rates : TwoRates
        Answers that named the first kind, to servings of the first and of the
        second, pooled over assessors, with the tests for independent answers.
    paired : SignTest or None
        Test of changed answers, if everybody answered to one serving of each
        kind; plus are those who named the first kind only where it was served.
    within : float or None
        Exact one-sided p-value within assessors.
    used : {"fisher", "mcnemar", "within assessors"}
        The test to go by.
    p_value : float
        Its exact one-sided p-value.
    distance : ANotA or SameDifferent
        d′ and criterion from the pooled answers.
    level : float
        Confidence level of every limit.
    notes : tuple of str
        Why something is None, and what to mind.
    layouts : tuple of Layout
        What every assessor was served and answered; empty without assessors.
    """

    design: Design
    rates: TwoRates
    paired: SignTest | None
    within: float | None
    used: str
    p_value: float
    distance: ANotA | SameDifferent
    level: float
    notes: tuple[str, ...]
    layouts: tuple[Layout, ...] = ()


def analyse_yes_no(design: Design, answers: Sequence[Answer], level: float = 0.95) -> YesNoResult:
    """Analyse an A-not-A or a same-different test.

    Parameters
    ----------
    design : {"a-not-a", "same-different"}
        The task.
    answers : sequence of Answer
        All answers; with the assessor in all of them or in none.
    level : float
        Confidence level of every limit, above 0 and below 1.

    Returns
    -------
    YesNoResult
        Rates, tests, d′; unrounded.

    Raises
    ------
    ValueError
        If a kind was never served, only some answers have an assessor, a count
        is negative, the design is unknown, or `level` not between 0 and 1.

    Notes
    -----
    Every p-value to go by is exact and one-sided: the alternative is that the
    first kind is named more often where it is served. If everybody answered to
    one serving of each kind the test is McNemar's [1]_, exact, of those who gave two
    different answers; if assessors answered otherwise often, its extension to
    any number of servings, see `fixed_margins.permutation_p`; without assessors Fisher's.

    References
    ----------
    .. [1] McNemar, Q. (1947). Note on the sampling error of the difference
       between correlated proportions or percentages. Psychometrika, 12, 153-157.

    Examples
    --------
    >>> answers = [Answer(True, True, count=60), Answer(True, False, count=40),
    ...            Answer(False, True, count=35), Answer(False, False, count=65)]
    >>> found = analyse_yes_no("a-not-a", answers)
    >>> found.used, round(found.p_value, 8), round(found.distance.d_prime, 8)
    ('fisher', 0.0003204, 0.63866757)
    """
    _check(design, answers)
    counts = _count(answers)
    rates = compare_rates(*counts, level)
    analyse = analyse_a_not_a if design == "a-not-a" else analyse_same_different
    distance: ANotA | SameDifferent = analyse(*counts, level)
    layouts = _lay_out(answers)
    paired = _pair(layouts)
    within = permutation_p(layouts) if any(one.first and one.second for one in layouts) else None
    used = FISHER if within is None else MCNEMAR if paired else WITHIN
    return YesNoResult(
        design=design,
        rates=rates,
        paired=paired,
        within=within,
        used=used,
        p_value=rates.exact_one_sided if within is None else within,
        distance=distance,
        level=level,
        notes=(
            *rates.notes,
            *(paired.notes if paired else ()),
            *distance.notes,
            _explain(used, bool(layouts)),
        ),
        layouts=tuple(layouts),
    )


def _check(design: str, answers: Sequence[Answer]) -> None:
    if design not in DESIGNS:
        raise ValueError(f"design must be one of {', '.join(DESIGNS)}, not {design!r}")
    for one in answers:
        if one.count < 0:
            raise ValueError(f"answers must have counts of 0 or more, not {one.count}")
    for first, kind in ((True, "first"), (False, "second")):
        if not sum(one.count for one in answers if one.first == first):
            raise ValueError(f"answers must be to both kinds served, not none to the {kind}")
    if len({one.assessor is None for one in answers}) > 1:
        raise ValueError("answers must all have an assessor or none, not only some of them")


def _count(answers: Sequence[Answer]) -> tuple[int, int, int, int]:
    """Return yes answers and all answers to the first kind, then to the second."""
    found = []
    for first in (True, False):
        kind = [one for one in answers if one.first == first]
        found += [sum(one.count for one in kind if one.yes), sum(one.count for one in kind)]
    return found[0], found[1], found[2], found[3]


def _lay_out(answers: Sequence[Answer]) -> list[Layout]:
    """Return what every assessor was served and answered; nothing without assessors."""
    by_assessor: dict[str, list[Answer]] = {}
    for one in answers:
        if one.assessor is not None and one.count:
            by_assessor.setdefault(one.assessor, []).append(one)
    return [_lay_out_one(own) for own in by_assessor.values()]


def _lay_out_one(own: Sequence[Answer]) -> Layout:
    return Layout(
        first=sum(one.count for one in own if one.first),
        second=sum(one.count for one in own if not one.first),
        yes=sum(one.count for one in own if one.yes),
        first_yes=sum(one.count for one in own if one.first and one.yes),
    )


def _pair(layouts: Sequence[Layout]) -> SignTest | None:
    if not layouts or any((one.first, one.second) != (1, 1) for one in layouts):
        return None
    changed = [one for one in layouts if one.yes == 1]
    plus = sum(one.first_yes for one in changed)
    return compare_signs(plus, len(changed) - plus)


def _explain(used: str, assessors_known: bool) -> str:
    if used == MCNEMAR:
        return EVERYBODY_ANSWERED_TWICE
    if used == WITHIN:
        return ANSWERS_REPEATED
    return NOBODY_SERVED_BOTH if assessors_known else ASSESSORS_UNKNOWN
