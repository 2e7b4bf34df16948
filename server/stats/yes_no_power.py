"""Exact power of yes-or-no tests within blocks that hold as many servings of either kind."""

from dataclasses import dataclass
from functools import lru_cache
from itertools import product
from typing import TYPE_CHECKING

from server.stats.binomial import TIE
from server.stats.checks import check_open_unit, check_probability, check_trials

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

NEGLIGIBLE = 1e-12  # numbers of blocks less likely than this are left out


@dataclass(frozen=True)
class _Pattern:
    """Blocks in which the answers can tell, by how many of them say yes.

    `guessed` and `noticed` are the chances of 0, 1, ... hits more than the fewest possible,
    under guessing and under the rates supposed; `chance` is that of such a block.
    """

    chance: float
    guessed: tuple[float, ...]
    noticed: tuple[float, ...]


def power_in_blocks(
    blocks: int, of_each: int, hit_rate: float, false_alarm_rate: float, alpha: float
) -> float:
    """Return the exact power of the one-sided test within blocks.

    Parameters
    ----------
    blocks : int
        Blocks of servings, of any assessors, 1 or more.
    of_each : {1, 2}
        Servings of either kind in a block.
    hit_rate, false_alarm_rate : float
        Probabilities of yes where the first and the second kind is served, 0 to 1.
    alpha : float
        Level of the test, above 0 and below 1.

    Returns
    -------
    float
        Probability that `fixed_margins.permutation_p` is at most `alpha`.

    Raises
    ------
    ValueError
        If an argument is out of range.

    Notes
    -----
    Given how many answers of each block say yes, hits fall at random under guessing. A block
    of one of each tells only if one of its answers is yes: the sign test. A block of two of
    each tells with one or three yes answers, where one hit more has probability 1/2, and with
    two, where none, one and two hits have 1/6, 4/6 and 1/6. The power is summed over how many
    blocks of each pattern there are.

    Examples
    --------
    >>> round(power_in_blocks(20, 1, 0.75, 0.25, 0.05), 4)
    0.9025
    """
    check_trials(blocks)
    check_open_unit("alpha", alpha)
    for name, rate in (("hit_rate", hit_rate), ("false_alarm_rate", false_alarm_rate)):
        check_probability(name, rate)
    if of_each not in (1, 2):
        raise ValueError(f"of_each must be 1 or 2, not {of_each}")
    patterns = _list_patterns(of_each, hit_rate, false_alarm_rate)
    total = 0.0
    for counts in product(range(blocks + 1), repeat=len(patterns)):
        if sum(counts) <= blocks:
            chance = _find_chance(blocks, counts, [one.chance for one in patterns])
            if chance > NEGLIGIBLE:
                total += chance * _find_power(patterns, counts, alpha)
    return min(1.0, total)


def _list_patterns(of_each: int, hit: float, alarm: float) -> list[_Pattern]:
    no_hit, no_alarm = 1 - hit, 1 - alarm
    if of_each == 1:
        more, fewer = hit * no_alarm, no_hit * alarm
        return [_describe((0.5, 0.5), (fewer, more))]
    one_yes = (no_hit**2 * 2 * alarm * no_alarm, 2 * hit * no_hit * no_alarm**2)
    three_yes = (2 * hit * no_hit * alarm**2, hit**2 * 2 * alarm * no_alarm)
    two_yes = (no_hit**2 * alarm**2, 4 * hit * no_hit * alarm * no_alarm, hit**2 * no_alarm**2)
    joint = (one_yes[0] + three_yes[0], one_yes[1] + three_yes[1])
    return [_describe((0.5, 0.5), joint), _describe((1 / 6, 4 / 6, 1 / 6), two_yes)]


def _describe(guessed: tuple[float, ...], joint: tuple[float, ...]) -> _Pattern:
    chance = sum(joint)
    return _Pattern(chance, guessed, tuple(one / chance if chance else 0.0 for one in joint))


def _find_chance(blocks: int, counts: tuple[int, ...], chances: list[float]) -> float:
    """Return the multinomial probability of so many blocks of each pattern."""
    import math

    from scipy import special  # takes half a second to load

    rest, left = blocks - sum(counts), max(0.0, 1 - sum(chances))
    logs = float(special.gammaln(blocks + 1))
    for count, chance in zip((*counts, rest), (*chances, left), strict=True):
        logs += float(special.xlogy(count, chance)) - float(special.gammaln(count + 1))
    return math.exp(logs)


def _find_power(patterns: list[_Pattern], counts: tuple[int, ...], alpha: float) -> float:
    """Return the chance that the hits in so many blocks of each pattern are significant."""
    import numpy as np

    guessed, noticed = np.ones(1), np.ones(1)
    for pattern, count in zip(patterns, counts, strict=True):
        guessed = np.convolve(guessed, _repeat(pattern.guessed, count))
        noticed = np.convolve(noticed, _repeat(pattern.noticed, count))
    tails = guessed[::-1].cumsum()[::-1]
    return float(noticed[tails <= alpha * (1 + TIE)].sum())


@lru_cache(maxsize=4096)
def _repeat(chances: tuple[float, ...], count: int) -> "NDArray[np.float64]":
    """Return the distribution of the sum of so many like counts."""
    import numpy as np

    if count == 0:
        return np.ones(1)
    half = _repeat(chances, count // 2)
    whole = np.convolve(half, half)
    return np.convolve(whole, np.asarray(chances)) if count % 2 else whole
