"""Similarity from several answers a person: an upper limit of what people like these notice."""

from collections.abc import Sequence
from dataclasses import dataclass

from server.stats.checks import check_open_unit
from server.stats.chi_square import normal_quantile
from server.stats.profile_limits import find_limits
from server.stats.replicate_likelihood import build_likelihood
from server.stats.replicate_maximum import build_deviance, maximise

ONE_PERSON = (
    "The upper limit of the share of noticed differences is not estimable: "
    "one person tells nothing about others."
)
FEWER_THAN_GUESSING = (
    "No conclusion: fewer correct answers than guessing explains; check key and trays."
)
PLANNED_AHEAD = (
    "It counts as a similarity test only if the limit and beta were set before the answers "
    "were seen. It rests on the number of people, far more than on the number of answers."
)


@dataclass(frozen=True)
class ReplicatedSimilarity:
    """Whether a panel that answered several times keeps a share below a limit.

    What cannot be concluded is None and has a sentence in `notes`.

    Attributes
    ----------
    limit : float
        Mean share of noticed differences that must not be reached.
    beta : float
        Risk of passing although the share is at the limit.
    similar : bool or None
        Whether the share stays below the limit at that risk. False says only
        that the test did not show it.
    upper : float or None
        One-sided upper limit of the mean share at level 1 - `beta`.
    notes : tuple of str
        What the conclusion rests on, and why something is None.
    """

    limit: float
    beta: float
    similar: bool | None
    upper: float | None
    notes: tuple[str, ...]


def judge_replicated_similarity(
    correct: Sequence[int],
    trials: Sequence[int],
    chance: float,
    limit: float,
    beta: float = 0.05,
) -> ReplicatedSimilarity:
    """Judge whether the mean share of noticed differences stays below a limit.

    Parameters
    ----------
    correct, trials : sequence of int, length people
        Correct answers and all answers of each person.
    chance : float
        Probability of a correct answer by guessing, above 0 and below 1.
    limit : float
        Mean share that must not be reached, above 0 and below 1.
    beta : float
        Risk of passing although the share is at the limit, above 0 and below 1.

    Returns
    -------
    ReplicatedSimilarity

    Raises
    ------
    ValueError
        If there is nobody, the lengths differ or an argument is out of range.

    References
    ----------
    AS 2542.2.4, clause 6.2, and ISO 4120, clause 8: answers of the same people
    pooled serve a difference test, not a similarity test. Pooled, they are
    counted as if every answer came from another person.

    Examples
    --------
    >>> result = judge_replicated_similarity([2, 3, 1, 2, 3, 2] * 4, [6] * 24, 1 / 3, 0.3)
    >>> result.similar, round(result.upper, 4)
    (True, 0.1469)
    """
    check_open_unit("limit", limit)
    check_open_unit("beta", beta)
    upper = bound_mean_share(correct, trials, chance, 1 - beta)
    too_few = sum(correct) < chance * sum(trials)
    similar = None if upper is None or too_few else upper <= limit
    reasons = {ONE_PERSON: upper is None, FEWER_THAN_GUESSING: too_few}
    notes = (PLANNED_AHEAD, *(sentence for sentence, holds in reasons.items() if holds))
    return ReplicatedSimilarity(limit, beta, similar, upper, notes)


def bound_mean_share(
    correct: Sequence[int], trials: Sequence[int], chance: float, level: float
) -> float | None:
    """Return a one-sided upper limit of the mean share of noticed differences.

    Parameters
    ----------
    correct, trials : sequence of int, length people
        Correct answers and all answers of each person.
    chance : float
        Probability of a correct answer by guessing, above 0 and below 1.
    level : float
        Confidence level, above one half and below 1.

    Returns
    -------
    float or None
        The limit, 0 to 1; None for one person.

    Raises
    ------
    ValueError
        If there is nobody, the lengths differ or an argument is out of range.

    Notes
    -----
    Profile likelihood of the mean under the chance-corrected beta-binomial,
    gamma at its best value everywhere. The drop is the square of the t quantile
    with one degree of freedom less than people, not of the normal one: with the
    latter, 12 people with 6 answers each, a mean share and gamma of 0.3, pass at
    the limit in 6.0 instead of 5 of 100 panels; with the former in 4.3 (20,000
    panels simulated). Pooled as if 72 people had answered, 6.7 of 100 pass.

    Examples
    --------
    >>> round(bound_mean_share([2, 3, 1, 2, 3, 2] * 4, [6] * 24, 1 / 3, 0.95), 4)
    0.1469
    >>> bound_mean_share([2], [6], 1 / 3, 0.95) is None
    True
    """
    from scipy import special  # takes half a second to load

    check_open_unit("chance", chance)
    if not 0.5 < level < 1:
        raise ValueError(f"level must be above one half and below 1, not {level}")
    likelihood = build_likelihood(correct, trials, chance)
    if len(correct) == 1:
        return None
    wider = (normal_quantile(level) / float(special.stdtrit(len(correct) - 1, level))) ** 2
    top = maximise(likelihood)
    deviance = build_deviance(likelihood, top, "mean")
    return find_limits(lambda mean: wider * deviance(mean), top.mean, 0.0, 1.0, level).high
