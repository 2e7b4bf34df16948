"""Whether people differ by more than chance: moments of their counts, no model fitted."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from server.stats.replicate_likelihood import check_people

NO_SPREAD = (
    "How much people differ is not estimable from moments: every answer was correct, or none."
)
NO_REPLICATES = "How much people differ is not estimable from moments: one answer a person."
NO_COMPANY = "How much people differ is not estimable from moments: one person."


@dataclass(frozen=True)
class Dispersion:
    """Spread of people's correct answers about what equal people would give.

    Attributes
    ----------
    pearson : float or None
        Pearson's chi-square of the counts: the sum over people of
        (correct - trials p)^2 / (trials p (1 - p)), p the pooled proportion
        correct.
    tarone_z : float or None
        Statistic of Tarone's test; normal if all people are alike, large if
        they differ.
    tarone_p : float or None
        Its one-sided p-value, from the normal distribution.
    gamma_by_people : float or None
        Moment estimate of gamma with the variance of the shares divided by the
        number of people; negative if people are more alike than by chance.
    gamma_by_freedom : float or None
        The same, divided by one less.
    notes : tuple of str
        Why something is None.
    """

    pearson: float | None
    tarone_z: float | None
    tarone_p: float | None
    gamma_by_people: float | None
    gamma_by_freedom: float | None
    notes: tuple[str, ...]


def measure_dispersion(correct: Sequence[int], trials: Sequence[int]) -> Dispersion:
    """Measure how much more people differ than chance makes them.

    Parameters
    ----------
    correct, trials : sequence of int, length people
        Correct answers and all answers of each person, not necessarily
        equally many.

    Returns
    -------
    Dispersion
        Test and moment estimates, unrounded; raw, so possibly negative.

    Raises
    ------
    ValueError
        If there is nobody, the lengths differ or a number is out of range.

    Notes
    -----
    With n_i answers of person i, x_i correct, and N answers of m people, Tarone's
    statistic is Z = (S - N) / sqrt(2 sum n_i (n_i - 1)),
    S = sum (x_i - n_i p)^2 / (p (1 - p)) [1]_. The variance of a person's share
    is p (1 - p) (gamma + (1 - gamma) / n_i); Pearson's X^2 put equal to its
    expectation, p taken as known, gives gamma = (X^2 - m) / (N - m). Allowing
    for the estimated mean weighs each person with c_i = 1 - n_i / N [2]_:
    gamma = (X^2 - sum c_i) / sum c_i (n_i - 1). With equal numbers of answers
    the two are the moment estimates with the divisors m and m - 1. Both take the
    answers themselves: moments that were rounded first give another gamma.

    References
    ----------
    .. [1] Tarone, R. E. (1979). Testing the goodness of fit of the binomial
       distribution. Biometrika, 66, 585-590.
    .. [2] Kleinman, J. C. (1973). Proportions with extraneous variance: single
       and independent samples. Journal of the American Statistical
       Association, 68, 46-54.

    Examples
    --------
    >>> answers = [0, 1, 1, 1, 1, 2, 2, 2, 2, 2, 3, 3, 4, 5, 5, 5]
    >>> spread = measure_dispersion(answers, [5] * 16)
    >>> round(spread.tarone_z, 8), round(spread.gamma_by_people, 8)
    (2.83991915, 0.22451532)
    >>> round(spread.gamma_by_freedom, 8)
    0.25614968
    """
    from scipy import special  # takes half a second to load

    check_people(correct, trials)
    reason = _find_reason(correct, trials)
    if reason:
        return Dispersion(None, None, None, None, None, (reason,))
    people, answers = len(trials), sum(trials)
    pooled = sum(correct) / answers
    squares = [
        (hits - n * pooled) ** 2 / (pooled * (1 - pooled))
        for hits, n in zip(correct, trials, strict=True)
    ]
    pearson = math.fsum(square / n for square, n in zip(squares, trials, strict=True))
    z = (math.fsum(squares) - answers) / math.sqrt(2 * sum(n * (n - 1) for n in trials))
    weights = [1 - n / answers for n in trials]
    paired = math.fsum(c * (n - 1) for c, n in zip(weights, trials, strict=True))
    return Dispersion(
        pearson=pearson,
        tarone_z=z,
        tarone_p=float(special.ndtr(-z)),
        gamma_by_people=(pearson - people) / (answers - people),
        gamma_by_freedom=(pearson - math.fsum(weights)) / paired,
        notes=(),
    )


def _find_reason(correct: Sequence[int], trials: Sequence[int]) -> str:
    """Return why nothing can be said; an empty sentence if something can."""
    reasons = {
        NO_COMPANY: len(trials) == 1,
        NO_REPLICATES: max(trials) == 1,
        NO_SPREAD: sum(correct) in (0, sum(trials)),
    }
    return next((sentence for sentence, holds in reasons.items() if holds), "")
