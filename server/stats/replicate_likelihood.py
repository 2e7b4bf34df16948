"""Likelihood of several answers a person when people differ in what they notice."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

from server.stats.checks import check_counts
from server.stats.overdispersed import MOST_REPLICATES

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class ReplicateLikelihood:
    """Likelihood of correct answers per person, by the share each person notices.

    The share u of answers in which a person notices the difference is beta
    distributed among people with mean `mean` and `gamma` = 1 / (a + b + 1);
    what is not noticed is guessed. `gamma` is the correlation of two answers'
    noticing by the same person: 0 if all people are alike (binomial answers),
    1 if each notices always or never.

    Attributes
    ----------
    chance : float
        Probability of a correct answer by guessing, 0 or more and below 1.
        At 0 the model is the plain beta-binomial of the correct answers.
    people : ndarray of float, shape (rows,)
        How many people have each pair of counts that occurs.
    noticed, missed : ndarray of int, shape (rows, columns)
        In how many answers the difference was noticed, and was not: all that is
        possible with the counts.
    log_ways : ndarray of float, shape (rows, columns)
        Logarithm of the number of orders times the probability that guesses
        alone make up the rest; minus infinity where it is impossible.

    Notes
    -----
    Of n answers j are noticed with probability [1]_

    C(n, j) prod_{i<j} (mu (1 - gamma) + i gamma)
    prod_{i<n-j} ((1 - mu)(1 - gamma) + i gamma) / prod_{i<n} (1 - gamma + i gamma),

    which is the beta-binomial without its a and b, so that it holds at gamma 0
    and 1 (once a factor of i = 0 is cancelled) and at mean 0 and 1 as well.
    Then k - j of the other n - j are guessed right; the sum over j is the
    chance-corrected beta-binomial.

    Its values are those of `overdispersed.log_pmf`; here they come for many
    parameters at once, and with their derivatives.

    References
    ----------
    .. [1] Griffiths, D. A. (1973). Maximum likelihood estimation for the
       beta-binomial distribution and an application to the household
       distribution of the total number of cases of a disease. Biometrics, 29,
       637-648.

    Examples
    --------
    >>> likelihood = build_likelihood([2], [2], chance=0.5)
    >>> float(likelihood.log_likelihood(0.0, 0.0).round(10))  # log 1/4
    -1.3862943611
    """

    chance: float
    people: "Floats"
    noticed: "NDArray[np.intp]"
    missed: "NDArray[np.intp]"
    log_ways: "Floats"

    def log_likelihood(self, mean: "float | Floats", gamma: "float | Floats") -> "Floats":
        """Return the log-likelihood, binomial coefficients included.

        Parameters
        ----------
        mean, gamma : float or ndarray of float
            0 to 1, of shapes that fit each other.

        Returns
        -------
        ndarray of float, of their common shape
            Minus infinity where the data are impossible.

        Examples
        --------
        >>> build_likelihood([1], [2], chance=0.0).log_likelihood(0.5, 1.0).item()
        -inf
        """
        import numpy as np

        means, gammas = np.broadcast_arrays(np.asarray(mean, float), np.asarray(gamma, float))
        logs, _ = _add_probabilities(self._log_terms(self._factors(means, gammas), gammas))
        return np.asarray((self.people * logs).sum(axis=-1), dtype=np.float64)

    def expand(self, mean: float, gamma: float) -> "tuple[float, Floats, Floats]":
        """Return the log-likelihood, its gradient and its second derivatives by (mean, gamma).

        Parameters
        ----------
        mean, gamma : float
            Inside 0 to 1; `gamma` may be 0.

        Returns
        -------
        value : float
        gradient : ndarray of float, shape (2,)
        hessian : ndarray of float, shape (2, 2)

        Notes
        -----
        The number noticed is not seen; the derivatives are those of the
        likelihood that had seen it, averaged over it given the answers, plus,
        in the second, their spread [1]_.

        References
        ----------
        .. [1] Louis, T. A. (1982). Finding the observed information matrix when
           using the EM algorithm. Journal of the Royal Statistical Society B,
           44, 226-233.

        Examples
        --------
        >>> value, gradient, _ = build_likelihood([1], [2], chance=0.0).expand(0.5, 0.25)
        >>> round(value, 10), gradient.round(10).tolist()  # log 3/8
        (-0.980829253, [0.0, -1.3333333333])
        """
        import numpy as np

        factors = self._factors(np.asarray(mean, float), np.asarray(gamma, float))
        logs, weights = _add_probabilities(self._log_terms(factors, np.asarray(gamma, float)))
        seen = self._seen_derivatives(factors, mean, gamma)
        averages = (weights * seen).sum(axis=-1, keepdims=True)
        apart = seen[:2] - averages[:2]
        spreads = (weights * apart[[0, 0, 1]] * apart[[0, 1, 1]]).sum(axis=-1)
        by_mean, by_gamma, *_ = averages[..., 0] @ self.people
        straight, mixed, bent = (averages[2:, :, 0] + spreads) @ self.people
        hessian = np.array([[straight, mixed], [mixed, bent]])
        return float(self.people @ logs), np.array([by_mean, by_gamma]), hessian

    def _log_terms(self, factors: "Floats", gamma: "Floats") -> "Floats":
        """Return log P(correct, noticed), shape (..., rows, columns)."""
        import numpy as np

        split = np.zeros((*gamma.shape, 2))
        with np.errstate(divide="ignore"):  # a logarithm of 0 is a probability of 0
            up, down, whole = _add_up(np.log(factors))
            split[..., 1] = np.log(1 - gamma)
        terms = self.log_ways + up[..., self.noticed] + down[..., self.missed]
        terms -= whole[..., self._trials]
        terms += split[..., self._is_split]
        return np.asarray(terms, dtype=np.float64)

    def _seen_derivatives(self, factors: "Floats", mean: float, gamma: float) -> "Floats":
        """Return derivatives as if noticing were seen, shape (5, rows, columns).

        By mean, by gamma, twice by mean, by both, twice by gamma.
        """
        import numpy as np

        i, rest = self._steps, 1 - gamma
        by_mean, by_gamma, _, crossed, _ = steps = np.zeros((5, *factors.shape))
        by_mean[0], by_mean[1], by_mean[:2, 0] = rest, -rest, (1, -1)
        by_gamma[:, 1:] = i[1:] - np.array([[mean], [1 - mean], [1]])
        steps[:2] /= factors
        crossed[0], crossed[1] = -i, i
        crossed[:2] /= factors[:2] ** 2
        steps[2::2] = -(steps[:2] ** 2)
        sums = _add_up(steps)
        seen = sums[:, 0, self.noticed] + sums[:, 1, self.missed] - sums[:, 2, self._trials]
        seen[1] -= self._is_split / rest
        seen[4] -= self._is_split / rest**2
        return np.asarray(seen, dtype=np.float64)

    def _factors(self, mean: "Floats", gamma: "Floats") -> "Floats":
        """Return the factors of the three products, shape (3, ..., most).

        Those of i = 0 without their common 1 - gamma: it cancels, but for one where
        some answers notice and some do not.
        """
        import numpy as np

        first = np.array([mean, 1 - mean, np.ones(mean.shape)])
        later = gamma[..., None] * self._steps
        factors = (first * (1 - gamma))[..., None] + later
        factors[..., 0] = first
        return np.asarray(factors, dtype=np.float64)

    @cached_property
    def _steps(self) -> "NDArray[np.intp]":
        """Return 0, 1, 2, ..., as many as the most answers of a person."""
        import numpy as np

        return np.arange(int(self._trials.max()))

    @cached_property
    def _trials(self) -> "NDArray[np.intp]":
        """Return all answers, shape (rows, 1)."""
        return self.noticed[:, :1] + self.missed[:, :1]

    @cached_property
    def _is_split(self) -> "NDArray[np.intp]":
        """Return 1 where some answers notice and some do not, shape (rows, columns)."""
        import numpy as np

        return np.asarray((self.noticed > 0) & (self.missed > 0), dtype=np.intp)


def build_likelihood(
    correct: Sequence[int], trials: Sequence[int], chance: float
) -> ReplicateLikelihood:
    """Build the likelihood of the correct answers of several people.

    Parameters
    ----------
    correct, trials : sequence of int, length people
        Correct answers and all answers of each person; 1 to 1,000 answers each.
    chance : float
        Probability of a correct answer by guessing, 0 or more and below 1.

    Returns
    -------
    ReplicateLikelihood
        People with the same counts put together.

    Raises
    ------
    ValueError
        If there is nobody, the lengths differ or a number is out of range.

    Examples
    --------
    >>> build_likelihood([3, 1, 3], [4, 4, 4], chance=1 / 3).people.tolist()
    [1.0, 2.0]
    """
    import numpy as np
    from scipy import special  # takes half a second to load

    check_people(correct, trials)
    if not 0 <= chance < 1:
        raise ValueError(f"chance must be 0 or more and below 1, not {chance}")
    people = sorted(Counter(zip(correct, trials, strict=True)).items())
    k, n = np.array([counts for counts, _ in people], dtype=np.float64).T
    j = k[:, None] if chance == 0 else np.minimum(np.arange(k.max() + 1), k[:, None])
    # Columns beyond k repeat j = k; they are impossible and count nothing.
    repeated = np.zeros(j.shape, bool) if chance == 0 else np.arange(k.max() + 1) > k[:, None]
    orders = _log_choose(n[:, None], j) + _log_choose(n[:, None] - j, k[:, None] - j)
    guessed = special.xlogy(k[:, None] - j, chance) + special.xlog1py(n - k, -chance)[:, None]
    log_ways = np.where(repeated, -np.inf, orders + guessed)
    weights = np.array([float(count) for _, count in people])
    noticed = j.astype(np.intp)
    return ReplicateLikelihood(
        chance, weights, noticed, n.astype(np.intp)[:, None] - noticed, log_ways
    )


def check_people(correct: Sequence[int], trials: Sequence[int]) -> None:
    """Refuse counts per person that no test can give.

    Raises
    ------
    ValueError
        If there is nobody, the lengths differ, or a person has fewer than 1 or
        more than 1,000 answers, or more correct ones than answers.

    Examples
    --------
    >>> check_people([3, 1], [4])
    Traceback (most recent call last):
    ValueError: trials must be as many as correct (2), not 1
    """
    if not len(correct):
        raise ValueError("correct must hold at least one person's answers, not none")
    if len(trials) != len(correct):
        raise ValueError(f"trials must be as many as correct ({len(correct)}), not {len(trials)}")
    for hits, all_answers in zip(correct, trials, strict=True):
        check_counts(hits, all_answers)
    if max(trials) > MOST_REPLICATES:
        raise ValueError(f"trials must be at most {MOST_REPLICATES:,} a person, not {max(trials)}")


def _log_choose(n: "Floats", k: "Floats") -> "Floats":
    import numpy as np
    from scipy import special  # takes half a second to load

    ways = special.gammaln(n + 1) - special.gammaln(k + 1) - special.gammaln(n - k + 1)
    return np.asarray(ways, dtype=np.float64)


def _add_up(steps: "Floats") -> "Floats":
    """Return the sums of the first 0, 1, 2, ... steps along the last axis."""
    import numpy as np

    sums = np.zeros((*steps.shape[:-1], steps.shape[-1] + 1))
    np.cumsum(steps, axis=-1, out=sums[..., 1:])
    return sums


def _add_probabilities(logs: "Floats") -> "tuple[Floats, Floats]":
    """Return the log of the sum along the last axis, and what part of it each one is."""
    import numpy as np

    highest = logs.max(axis=-1, keepdims=True)
    parts = np.exp(logs - np.where(highest > -np.inf, highest, 0.0))
    whole = parts.sum(axis=-1, keepdims=True)
    with np.errstate(divide="ignore", invalid="ignore"):  # nothing at all has no parts
        return (highest + np.log(whole))[..., 0], parts / whole
