"""Trend of right answers with a dose, or with the brews that a part has made."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import exp, gcd, lgamma
from typing import TYPE_CHECKING, Literal, NamedTuple

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

HIGHEST = 400
"""Highest score, from 0 and without common factor, that is taken as it is; above, ranks are."""

TIE = 1e-9


class Dose(NamedTuple):
    """Answers at one dose: its score, how many there were, and how many were right."""

    score: int
    trials: int
    correct: int


@dataclass(frozen=True)
class TrendResult:
    """An exact test of trend.

    Attributes
    ----------
    doses
        As given, those of one score together, by score.
    sided
        ``rising``: only a rise counts; ``two``: a fall counts as well.
    p_value
        None where nothing can rise: one score, or all answers right, or none.
    rises
        Whether the share of right answers goes up on the whole; None as above.
    monotone
        Whether no step goes down.
    by_rank
        Whether scores were replaced by their ranks.
    notes
        Why there is no p-value.
    """

    doses: tuple[Dose, ...]
    sided: Literal["rising", "two"]
    p_value: float | None
    rises: bool | None
    monotone: bool
    by_rank: bool
    notes: tuple[str, ...] = ()


def find_trend(doses: Sequence[Dose], sided: Literal["rising", "two"] = "rising") -> TrendResult:
    """Test whether right answers become more frequent with the score.

    Parameters
    ----------
    doses : sequence of Dose
        Scores are whole numbers; several of one score are added up.
    sided : {"rising", "two"}
        What was declared beforehand.

    Returns
    -------
    TrendResult

    Raises
    ------
    ValueError
        Numbers of answers do not fit, or a dose is negative.

    Notes
    -----
    The statistic is that of Cochran and Armitage, the sum of scores of right answers. Its
    distribution is exact, given how many answers there were at each score and how many were
    right in all: then every way to deal the right answers is equally likely if the score makes
    no difference. Two-sided, as far or farther from the mean of that distribution counts.

    It takes answers as independent of each other; several of one person are not quite.

    References
    ----------
    .. [1] Armitage, P. (1955). Tests for linear trends in proportions and frequencies.
       Biometrics, 11, 375-386.
    .. [2] Cochran, W. G. (1954). Some methods for strengthening the common chi-square tests.
       Biometrics, 10, 417-451.

    Examples
    --------
    >>> found = find_trend([Dose(0, 4, 0), Dose(1, 4, 2), Dose(2, 4, 4)])
    >>> round(found.p_value, 4), found.rises, found.monotone
    (0.0065, True, True)
    """
    joined = _join(doses)
    trials, correct = sum(one.trials for one in joined), sum(one.correct for one in joined)
    shares = [one.correct / one.trials for one in joined]
    monotone = all(later >= earlier for earlier, later in pairwise(shares))
    if len(joined) < 2 or correct in (0, trials):
        note = "one score only" if len(joined) < 2 else "answers that are all alike"
        return TrendResult(joined, sided, None, None, monotone, by_rank=False, notes=(note,))
    scores, by_rank = _scale([one.score for one in joined])
    chances = _deal(scores, [one.trials for one in joined], correct)
    reached = sum(s * one.correct for s, one in zip(scores, joined, strict=True))
    mean = correct * sum(s * one.trials for s, one in zip(scores, joined, strict=True)) / trials
    p = _find_tail(chances, reached, mean, sided)
    return TrendResult(joined, sided, p, reached > mean, monotone, by_rank)


def _join(doses: Sequence[Dose]) -> tuple[Dose, ...]:
    found: dict[int, Dose] = {}
    for one in doses:
        if one.score < 0 or not 0 <= one.correct <= one.trials:
            raise ValueError(f"doses must have a score from 0 and correct <= trials, got {one}")
        before = found.get(one.score, Dose(one.score, 0, 0))
        found[one.score] = Dose(one.score, before.trials + one.trials, before.correct + one.correct)
    return tuple(found[score] for score in sorted(found) if found[score].trials)


def _scale(scores: Sequence[int]) -> tuple[list[int], bool]:
    """Return scores from 0 without a common factor, or their ranks; and which of them."""
    lowest = scores[0]
    factor = gcd(*(score - lowest for score in scores))
    small = [(score - lowest) // factor for score in scores]
    return (small, False) if small[-1] <= HIGHEST else (list(range(len(scores))), True)


def _deal(scores: Sequence[int], trials: Sequence[int], correct: int) -> "NDArray[np.float64]":
    """Return the chance of every sum of scores, over all ways to deal the right answers."""
    import numpy as np

    ways = np.zeros((correct + 1, correct * scores[-1] + 1))
    ways[0, 0] = 1
    for score, number in zip(scores, trials, strict=True):
        more = np.zeros_like(ways)
        for right, part in enumerate(_count_ways(number, min(number, correct))):
            moved = right * score
            rows, columns = ways.shape[0] - right, ways.shape[1] - moved
            more[right:, moved:] += part * ways[:rows, :columns]
        ways = more / more.max()
    chances: NDArray[np.float64] = ways[correct] / ways[correct].sum()
    return chances


def _count_ways(number: int, most: int) -> list[float]:
    """Return the ways to choose 0 to so many of a number, in parts of the largest of them.

    So nothing grows beyond what a float holds.
    """
    logs = [-lgamma(right + 1) - lgamma(number - right + 1) for right in range(most + 1)]
    return [exp(one - max(logs)) for one in logs]


def _find_tail(chances: "NDArray[np.float64]", reached: int, mean: float, sided: str) -> float:
    import numpy as np

    sums = np.arange(len(chances))
    if sided == "two":
        far = np.abs(sums - mean) >= abs(reached - mean) - TIE
        return min(1.0, float(chances[far].sum()))
    return min(1.0, float(chances[reached:].sum()))
