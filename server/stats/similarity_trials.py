"""How many answers a similarity test needs."""

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from server.stats.binomial import TIE, Sides, check_sided
from server.stats.checks import check_open_unit, check_probability
from server.stats.thurstone import pc_from_share
from server.stats.trials import MOST_PLANNED, find_first_and_stable

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray


@dataclass(frozen=True)
class SimilarityPlan:
    """Number of answers that keeps both risks of a similarity test.

    Attributes
    ----------
    chance, limit, beta, power, true_share : float
        What was asked for.
    trials : int
        Smallest number of answers with that power.
    most_correct : int
        Largest number of correct answers that passes at `trials`.
    achieved_beta, achieved_power : float
        Exact risk and power at `trials`.
    trials_stable : int
        Smallest number from which on the power never falls below `power`.
    """

    chance: float
    limit: float
    beta: float
    power: float
    true_share: float
    trials: int
    most_correct: int
    achieved_beta: float
    achieved_power: float
    trials_stable: int


def trials_for_similarity(
    chance: float,
    limit: float,
    beta: float = 0.05,
    power: float = 0.8,
    true_share: float = 0.0,
    sided: Sides = "one",
) -> SimilarityPlan:
    """Return how many answers a similarity test needs.

    Parameters
    ----------
    chance : float
        Probability of a correct answer by guessing, above 0 and below 1.
    limit : float
        Share that must not be reached, above 0 and below 1.
    beta : float
        Risk of passing although the share is at the limit, above 0 and below 1.
    power : float
        Wanted probability of passing at `true_share`, above 0 and below 1.
    true_share : float
        Share that is supposed true, 0 or more and below `limit`.
    sided : {"one", "two"}
        Two-sided only at chance 1/2, see `similarity.judge_similarity`.

    Returns
    -------
    SimilarityPlan
        The first number of answers with that power and the stable one.

    Raises
    ------
    ValueError
        If an argument is out of range, or limit and true share so near to each
        other that the search would have to pass 100,000 answers.

    Notes
    -----
    At `true_share` 0 the first number is that of the standards' tables for both
    risks, with alpha = 1 - `power`: the same n keeps the risk of claiming a
    difference where there is none.

    Every number of answers up to a bound N is tried. By Hoeffding's inequality
    [1]_ the largest passing number c exceeds n p - sqrt(n ln(1/beta)/2) - 1 at
    the limit's proportion p; with r the risk 1 - `power` (half of it to either
    side of a two-sided test) and q the true proportion, c is passed with the
    wanted probability from

        n >= (sqrt(ln(1/beta)) + sqrt(ln(1/r)))² / (2 (p - q)²)

    on; and c is not below guessing as soon as
    n (p - g) >= sqrt(n ln(1/beta)/2) + 1. N is the larger of both. (Two-sided, the
    second bound also keeps c at half of the answers or more.)

    References
    ----------
    .. [1] Hoeffding, W. (1963). Probability inequalities for sums of bounded
       random variables. Journal of the American Statistical Association, 58,
       13-30, theorem 1.

    ISO 4120, Table A.3, and ISO 10399, Table A.3: numbers of assessors.

    Examples
    --------
    >>> plan = trials_for_similarity(1 / 3, 0.3, beta=0.05, power=0.8)
    >>> plan.trials, plan.most_correct, plan.trials_stable
    (39, 15, 46)
    """
    import numpy as np

    _check_plan(chance, limit, beta, power, true_share)
    check_sided(sided, chance)
    p_limit, p_true = pc_from_share(limit, chance), pc_from_share(true_share, chance)
    bound = _search_bound(chance, p_limit, p_true, beta, (1 - power) / (1 if sided == "one" else 2))
    tried = np.arange(1, bound + 1, dtype=np.int64)
    most = _most_correct(tried, chance, p_limit, beta)
    powers = _pass_rates(most, tried, p_true, sided)
    first, stable = find_first_and_stable(powers, power)
    return SimilarityPlan(
        chance=chance,
        limit=limit,
        beta=beta,
        power=power,
        true_share=true_share,
        trials=int(tried[first]),
        most_correct=int(most[first]),
        achieved_beta=float(_pass_rates(most, tried, p_limit, sided)[first]),
        achieved_power=float(powers[first]),
        trials_stable=stable,
    )


def _check_plan(chance: float, limit: float, beta: float, power: float, true_share: float) -> None:
    check_open_unit("chance", chance)
    check_open_unit("limit", limit)
    check_open_unit("beta", beta)
    check_open_unit("power", power)
    check_probability("true_share", true_share)
    if true_share >= limit:
        raise ValueError(f"true_share must be below limit ({limit}), not {true_share}")


def _search_bound(chance: float, p_limit: float, p_true: float, beta: float, miss: float) -> int:
    surprise = -math.log(beta)
    risks = math.sqrt(surprise) + math.sqrt(-math.log(miss))
    for_power = risks**2 / 2 / (p_limit - p_true) ** 2
    gap = p_limit - chance
    root = (math.sqrt(surprise / 2) + math.sqrt(surprise / 2 + 4 * gap)) / (2 * gap)
    bound = max(for_power, root**2)
    if bound > MOST_PLANNED:
        raise ValueError(
            f"limit is too near to the true share (proportions correct {p_limit:.4f} and "
            f"{p_true:.4f}): the search for a number of answers stops at {MOST_PLANNED:,}"
        )
    return math.ceil(bound)


def _most_correct(
    trials: "NDArray[np.int64]", chance: float, p_limit: float, beta: float
) -> "NDArray[np.int64]":
    """Return the largest passing number for each number of answers; -1 where there is none."""
    import numpy as np
    from scipy import special  # takes half a second to load

    # A normal approximation says where to look; the exact tail decides.
    spread = np.sqrt(trials * p_limit * (1 - p_limit))
    guess = np.floor(trials * p_limit + special.ndtri(beta) * spread - 0.5)
    most = np.asarray(np.clip(guess, -1, trials - 1), dtype=np.int64)
    allowed = beta * (1 + TIE)
    while (high := _at_most(most, trials, p_limit) > allowed).any():
        most[high] -= 1
    while (low := _at_most(most + 1, trials, p_limit) <= allowed).any():
        most[low] += 1
    return np.where(most < trials * chance * (1 - TIE), -1, most)


def _at_most(
    most: "NDArray[np.int64]", trials: "NDArray[np.int64]", p_correct: float
) -> "NDArray[np.float64]":
    """Return P(X <= most) element by element; 0 where most is negative."""
    import numpy as np
    from scipy import special  # takes half a second to load

    inside = np.clip(most, 0, trials - 1)
    lower = special.betaincc(inside + 1, trials - inside, p_correct)
    return np.where(most < 0, 0.0, np.where(most >= trials, 1.0, lower))


def _pass_rates(
    most: "NDArray[np.int64]", trials: "NDArray[np.int64]", p_correct: float, sided: Sides
) -> "NDArray[np.float64]":
    """Return the probability of passing; two-sided, that neither count is above `most`."""
    import numpy as np

    one = _at_most(most, trials, p_correct)
    if sided == "one":
        return one
    other = _at_most(trials - most - 1, trials, p_correct)
    return np.where(most < 0, 0.0, one - other)
