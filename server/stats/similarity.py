"""Similarity: how few correct answers keep the share of noticed differences below a limit."""

from dataclasses import dataclass

from server.stats.binomial import TIE, Sides, check_sided, critical_number, tail
from server.stats.checks import check_counts, check_open_unit, check_trials
from server.stats.shares import share_limits
from server.stats.thurstone import pc_from_share

FEWEST_ADVISED = 30  # ISO 5495:2005, note to Table A.3

PLANNED_AHEAD = (
    "It counts as a similarity test only if the limit and beta were set before the answers "
    "were seen, and every assessor answered once."
)
TOO_FEW_ANSWERS = (
    "No conclusion: with so few answers the largest number of correct ones that would do is "
    "below guessing."
)
FEWER_THAN_GUESSING = (
    "No conclusion: fewer correct answers than guessing explains; check key and trays."
)
FEWER_THAN_ADVISED = "Fewer than 30 answers: the standards advise against a similarity test."


@dataclass(frozen=True)
class SimilarityResult:
    """Whether a test keeps the share of noticed differences below a limit.

    What cannot be concluded is None and has a sentence in `notes`.

    Attributes
    ----------
    limit : float
        Share that must not be reached.
    beta : float
        Risk of passing although the share is at the limit.
    most_correct : int or None
        Largest number of correct answers that passes.
    similar : bool or None
        Whether the share stays below the limit at that risk. False says only
        that the test did not show it.
    upper : float or None
        One-sided upper limit of the share at level 1 - `beta`.
    notes : tuple of str
        What the conclusion rests on, and why something is None.
    """

    limit: float
    beta: float
    most_correct: int | None
    similar: bool | None
    upper: float | None
    notes: tuple[str, ...]


def judge_similarity(
    correct: int,
    trials: int,
    chance: float,
    limit: float,
    beta: float = 0.05,
    sided: Sides = "one",
    judgements_per_assessor: int = 1,
) -> SimilarityResult:
    """Judge whether the share of noticed differences stays below a limit.

    Parameters
    ----------
    correct : int
        Number of correct answers, 0 to `trials`.
    trials : int
        Number of answers, 1 or more.
    chance : float
        Probability of a correct answer by guessing, above 0 and below 1.
    limit : float
        Share that must not be reached, above 0 and below 1.
    beta : float
        Risk of passing although the share is at the limit, above 0 and below 1.
    sided : {"one", "two"}
        Two-sided only at chance 1/2: the larger count is judged, and the share
        is the distance from an even split, whichever way the answers lean.
    judgements_per_assessor : int
        How many of the answers each assessor gave.

    Returns
    -------
    SimilarityResult
        The decision with the number and the limit it rests on.

    Raises
    ------
    ValueError
        If an argument is out of range, or assessors judged more than once:
        pooled replicates understate how much the share varies from one assessor
        to the next.

    Notes
    -----
    The test passes if P(X <= `correct`) <= `beta` at the limit. That is the same
    as a one-sided upper limit of Clopper & Pearson at or below the limit, so the
    tables of the standards and the confidence limit always agree.

    A two-sided test passes if both one-sided ones do; each at `beta`, since the
    share can be at the limit on one side only.

    References
    ----------
    ISO 4120, Table A.2 and clause 8.2 (triangle test); ISO 5495, Table A.3
    (paired comparison); AS 2542.2.4, clause 6.2: replicates pooled for a
    difference test, not for a similarity test.

    Examples
    --------
    >>> result = judge_similarity(25, 60, 1 / 3, 0.3)
    >>> result.most_correct, result.similar, round(result.upper, 8)
    (25, True, 0.29652243)
    """
    check_counts(correct, trials)
    _check_single(judgements_per_assessor)
    most = most_correct(trials, chance, limit, beta, sided)
    bounds = share_limits(correct, trials, chance, 1 - beta, folded=sided == "two").bounded
    counted = correct if sided == "one" else max(correct, trials - correct)
    return SimilarityResult(
        limit=limit,
        beta=beta,
        most_correct=most,
        similar=None if most is None or bounds.upper is None else counted <= most,
        upper=bounds.upper,
        notes=_notes(trials, most, bounds.upper),
    )


def most_correct(
    trials: int, chance: float, limit: float, beta: float, sided: Sides = "one"
) -> int | None:
    """Return the largest number of correct answers that passes a similarity test.

    Parameters
    ----------
    trials : int
        Number of answers, 1 or more.
    chance, limit, beta, sided
        As in `judge_similarity`.

    Returns
    -------
    int or None
        Largest x with P(X <= x) <= `beta` where the share is `limit`; two-sided,
        of the larger count. None if there is none, or if it is below
        `trials` x `chance`: there the standards draw no conclusion.

    Raises
    ------
    ValueError
        If an argument is out of range, or a two-sided test has another chance
        than 1/2.

    References
    ----------
    ISO 4120, Table A.2 and clause 8.2; ISO 5495, Table A.3, whose cells below
    half the answers are blank.

    Examples
    --------
    >>> most_correct(60, 1 / 3, 0.3, 0.05)
    25
    >>> most_correct(30, 1 / 3, 0.1, 0.05) is None
    True
    """
    check_sided(sided, chance)
    most = largest_passing(trials, chance, limit, beta)
    return None if most is None or is_below_guessing(most, trials, chance) else most


def largest_passing(trials: int, chance: float, limit: float, beta: float) -> int | None:
    """Return the largest x with P(X <= x) <= `beta` where the share is `limit`.

    As `most_correct`, but also where x is below guessing; None only if not even
    0 correct answers pass.

    Notes
    -----
    The wrong answers are binomial too; too few correct ones are too many wrong
    ones, so the number follows from the critical number of a difference test.

    Examples
    --------
    >>> largest_passing(30, 1 / 3, 0.1, 0.05)
    7
    """
    check_trials(trials)
    check_open_unit("chance", chance)
    check_open_unit("limit", limit)
    check_open_unit("beta", beta)
    wrong = critical_number(trials, 1 - pc_from_share(limit, chance), beta)
    return None if wrong is None else trials - wrong


def most_correct_normal(trials: int, chance: float, limit: float, beta: float) -> int:
    """Return the largest number of correct answers by the standards' normal formula.

    For comparison only: it is often larger than the exact number and then keeps
    the risk no longer.

    Parameters
    ----------
    trials : int
        Number of answers, 1 or more.
    chance, limit, beta
        As in `judge_similarity`.

    Returns
    -------
    int
        Largest x with (p - g)/(1 - g) + z sqrt(p (1 - p)/n)/(1 - g) <= `limit`,
        where p = x/n, g is `chance` and z the normal deviate exceeded with
        probability `beta`.

    Raises
    ------
    ValueError
        If an argument is out of range.

    Notes
    -----
    The left side is a concave function of x that is negative at x = 0 and 1 at
    x = n, so it passes the limit once. (A beta above 1/2 makes it convex; it
    still passes the limit once.)

    References
    ----------
    ISO 4120, footnote to Table A.2, as 1.5 (x/n) - 0.5 + 1.5 z sqrt((n x - x²)/n³);
    ISO 5495, note to Table A.3, with 2 in place of 1.5 and 1 in place of 0.5.

    Examples
    --------
    >>> most_correct_normal(36, 1 / 3, 0.3, 0.05), most_correct(36, 1 / 3, 0.3, 0.05)
    (14, 13)
    """
    import numpy as np
    from scipy import special  # takes half a second to load

    check_trials(trials)
    check_open_unit("chance", chance)
    check_open_unit("limit", limit)
    check_open_unit("beta", beta)
    pc = np.arange(trials + 1) / trials
    spread = -special.ndtri(beta) * np.sqrt(pc * (1 - pc) / trials)
    upper = (pc - chance + spread) / (1 - chance)
    return int(np.flatnonzero(upper <= limit * (1 + TIE))[-1])


def similarity_power(
    trials: int,
    chance: float,
    limit: float,
    beta: float = 0.05,
    true_share: float = 0.0,
    sided: Sides = "one",
) -> float:
    """Return the probability that a similarity test is passed.

    Parameters
    ----------
    trials : int
        Number of answers, 1 or more.
    chance, limit, beta, sided
        As in `judge_similarity`.
    true_share : float
        Share that is supposed true, 0 to 1; 0 if nobody notices anything.

    Returns
    -------
    float
        Exact probability of at most `most_correct` correct answers; 0 if there
        is no such number.

    Raises
    ------
    ValueError
        If an argument is out of range.

    Notes
    -----
    At `true_share` = `limit` it is the attained risk, at most `beta`. As in the
    standards' tables of numbers of assessors, results far below guessing are
    counted as passed; `judge_similarity` withholds its conclusion from them. If
    nobody notices anything they come up with a probability of less than `beta`.

    Examples
    --------
    >>> round(similarity_power(60, 1 / 3, 0.3), 4)
    0.932
    """
    most = most_correct(trials, chance, limit, beta, sided)
    p_correct = pc_from_share(true_share, chance)
    if most is None:
        return 0.0
    too_many = tail(most + 1, trials, p_correct)
    too_few = tail(most + 1, trials, 1 - p_correct) if sided == "two" else 0.0
    return max(0.0, 1 - too_many - too_few)


def is_below_guessing(correct: int, trials: int, chance: float) -> bool:
    """Tell whether there are fewer correct answers than guessing gives on average.

    Examples
    --------
    >>> is_below_guessing(6, 70, 0.1), is_below_guessing(7, 70, 0.1)
    (True, False)
    """
    return correct < trials * chance * (1 - TIE)  # 70 x 0.1 is a digit above 7


def _check_single(judgements_per_assessor: int) -> None:
    if judgements_per_assessor != 1:
        raise ValueError(
            "judgements_per_assessor must be 1, not "
            f"{judgements_per_assessor}: pooled replicates carry no similarity claim unless a "
            "model of differing assessors (over-dispersion) does"
        )


def _notes(trials: int, most: int | None, upper: float | None) -> tuple[str, ...]:
    reasons = {
        TOO_FEW_ANSWERS: most is None,
        FEWER_THAN_GUESSING: upper is None,
        FEWER_THAN_ADVISED: trials < FEWEST_ADVISED,
        PLANNED_AHEAD: True,
    }
    return tuple(sentence for sentence, holds in reasons.items() if holds)
