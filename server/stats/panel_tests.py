"""Tests of a panel with several answers a person: its mean, and whether all of it guesses."""

import math
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING

from server.stats.binomial import Sides, check_sided, distribution
from server.stats.checks import check_open_unit
from server.stats.overdispersed import log_pmf
from server.stats.replicate_likelihood import build_likelihood, check_people
from server.stats.replicate_maximum import GAMMAS, MEANS, maximise, maximise_given

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]

DRAWS = 9_999
AT_ONCE = 500  # draws, so that panels of hundreds of answers a person fit into memory
# Statistics that are equal on paper differ in their last bits.
TIE = 1e-9

NO_COMPANY = "Whether the mean of people like these is above guessing is not estimable: one person."


@dataclass(frozen=True)
class MeanTest:
    """Test of the mean proportion correct of people like those of the panel.

    Attributes
    ----------
    statistic : float or None
        Signed root of the likelihood ratio; above 0 if the mean is above chance.
    df : int
        Degrees of freedom: one less than people.
    p_value : float or None
        From the t distribution; None for one person.
    notes : tuple of str
        Why something is None.
    """

    statistic: float | None
    df: int
    p_value: float | None
    notes: tuple[str, ...]


@dataclass(frozen=True)
class GuessingTest:
    """Test of whether every answer of the panel was a guess.

    Attributes
    ----------
    statistic : float
        Twice the log-likelihood that the model corrected for guessing gains
        over guessing alone, at the best place of a net of means and gammas.
    draws : int
        Panels drawn that only guess.
    p_value : float
        (1 + drawn panels with as large a statistic) / (1 + draws).
    """

    statistic: float
    draws: int
    p_value: float


def compare_mean_with_chance(
    correct: Sequence[int], trials: Sequence[int], chance: float, sided: Sides = "one"
) -> MeanTest:
    """Test whether the mean proportion correct is above chance, people differing.

    Parameters
    ----------
    correct, trials : sequence of int, length people
        Correct answers and all answers of each person.
    chance : float
        Probability of a correct answer by guessing, above 0 and below 1.
    sided : {"one", "two"}
        Two-sided only at chance 1/2.

    Returns
    -------
    MeanTest

    Raises
    ------
    ValueError
        If there is nobody, the lengths differ or an argument is out of range.

    Notes
    -----
    Beta-binomial likelihood with the mean at `chance` against its maximum,
    gamma at its best value in both: the signed root r, sign(mean - chance)
    sqrt(2 (l1 - l0)). It supposes people drawn from many of whom the mean is
    asked, some perhaps below chance, and so needs more than the pooled test,
    which is exact where nobody notices anything. The t distribution with one
    degree of freedom less than people in place of the normal one keeps the
    level with few people; that choice rests on simulation, see the tests.

    Examples
    --------
    >>> answers = [0, 1, 1, 1, 1, 2, 2, 2, 2, 2, 3, 3, 4, 5, 5, 5]
    >>> found = compare_mean_with_chance(answers, [5] * 16, 1 / 3)
    >>> found.df, round(found.statistic, 6), round(found.p_value, 6)
    (15, 2.172353, 0.023135)
    """
    from scipy import special  # takes half a second to load

    check_open_unit("chance", chance)
    check_sided(sided, chance)
    likelihood = build_likelihood(correct, trials, chance=0.0)
    df = len(correct) - 1
    if df == 0:
        return MeanTest(None, df, None, (NO_COMPANY,))
    top = maximise(likelihood)
    held = maximise_given(likelihood, "mean", chance)
    gain = max(0.0, 2 * (top.log_likelihood - held.log_likelihood))
    root = math.copysign(math.sqrt(gain), top.mean - chance)
    p = 2 * special.stdtr(df, -abs(root)) if sided == "two" else special.stdtr(df, -root)
    return MeanTest(root, df, float(p), ())


def compare_with_guessing(
    correct: Sequence[int],
    trials: Sequence[int],
    chance: float,
    rng: "np.random.Generator",
    draws: int = DRAWS,
) -> GuessingTest:
    """Test whether anybody notices anything, by what guessing panels would give.

    Parameters
    ----------
    correct, trials : sequence of int, length people
        Correct answers and all answers of each person.
    chance : float
        Probability of a correct answer by guessing, above 0 and below 1.
    rng : numpy.random.Generator
        Source of the guessing panels.
    draws : int
        How many of them, 99 or more.

    Returns
    -------
    GuessingTest

    Raises
    ------
    ValueError
        If there is nobody, the lengths differ or an argument is out of range.

    Notes
    -----
    Likelihood ratio of mean share 0 against the chance-corrected
    beta-binomial. At mean 0 gamma has no meaning, so no chi-square table holds
    [1]_; but then every answer is a guess and the distribution of any statistic
    can be drawn. The p-value is that of a test of the stated level whatever the
    number of draws [2]_. A few people who always notice among many who never do
    weigh more here than in the pooled count.

    References
    ----------
    .. [1] Davies, R. B. (1977). Hypothesis testing when a nuisance parameter is
       present only under the alternative. Biometrika, 64, 247-254.
    .. [2] Barnard, G. A. (1963), in the discussion of a paper by M. S. Bartlett.
       Journal of the Royal Statistical Society B, 25, 294.

    Examples
    --------
    >>> import numpy as np
    >>> answers = [0, 1, 1, 1, 1, 2, 2, 2, 2, 2, 3, 3, 4, 5, 5, 5]
    >>> rng = np.random.default_rng(1)
    >>> compare_with_guessing(answers, [5] * 16, 1 / 3, rng, draws=999).p_value < 0.01
    True
    """
    import numpy as np

    check_people(correct, trials)
    check_open_unit("chance", chance)
    if draws < 99:
        raise ValueError(f"draws must be 99 or more, not {draws}")
    people = Counter(trials)
    gains = {n: _gains(n, chance) for n in people}
    counted = Counter(zip(correct, trials, strict=True))
    gained = np.sum([f * gains[n][:, k] for (k, n), f in counted.items()], axis=0)
    observed = max(0.0, float(gained.max()))
    drawn = np.concatenate(
        [
            _draw(people, gains, chance, rng, min(AT_ONCE, draws - done))
            for done in range(0, draws, AT_ONCE)
        ]
    )
    as_large = int((drawn >= observed - TIE).sum())
    return GuessingTest(2 * observed, draws, (1 + as_large) / (1 + draws))


@lru_cache(maxsize=32)
def _gains(trials: int, chance: float) -> "Floats":
    """Return log P / P if guessing, shape (places of the net, trials + 1)."""
    import numpy as np

    net = [log_pmf(trials, chance, mean, gamma) for mean in MEANS for gamma in GAMMAS]
    gains = np.array(net) - log_pmf(trials, chance, 0.0, 0.0)
    gains.flags.writeable = False
    return gains


def _draw(
    people: Counter[int],
    gains: "dict[int, Floats]",
    chance: float,
    rng: "np.random.Generator",
    draws: int,
) -> "Floats":
    """Return the statistic, halved, of panels that guess, shape (draws,)."""
    import numpy as np

    total: Floats = np.zeros((draws, len(MEANS) * len(GAMMAS)))
    for n, how_many in sorted(people.items()):
        by_guessing = distribution(n, chance)
        panels = rng.multinomial(how_many, by_guessing / by_guessing.sum(), size=draws)
        total = total + panels @ gains[n].T
    return np.asarray(np.maximum(total.max(axis=1), 0.0), dtype=np.float64)
