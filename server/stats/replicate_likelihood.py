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

        terms = self._log_terms(np.asarray(mean, float), np.asarray(gamma, float))
        logs = np.logaddexp.reduce(terms, axis=-1)
        return np.asarray((self.people * logs).sum(axis=-1), dtype=np.float64)

    def derivatives(self, mean: float, gamma: float) -> "tuple[Floats, Floats]":
        """Return gradient and matrix of second derivatives by (mean, gamma).

        Parameters
        ----------
        mean, gamma : float
            Inside 0 to 1; `gamma` may be 0.

        Returns
        -------
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
        >>> gradient, _ = build_likelihood([1], [2], chance=0.0).derivatives(0.5, 0.25)
        >>> gradient.round(10).tolist()
        [0.0, -1.3333333333]
        """
        import numpy as np

        terms = self._log_terms(np.asarray(mean), np.asarray(gamma))
        weights = np.exp(terms - terms.max(axis=-1, keepdims=True))
        weights /= weights.sum(axis=-1, keepdims=True)
        first, second = self._seen_derivatives(mean, gamma)
        averages = (weights * first).sum(axis=-1)  # (2, rows)
        apart = first - averages[:, :, None]
        spread = (weights * apart[:, None] * apart[None, :]).sum(axis=-1)
        curvature = (weights * second).sum(axis=-1) + spread
        gradient = (self.people * averages).sum(axis=-1)
        return np.asarray(gradient), np.asarray((self.people * curvature).sum(axis=-1))

    def _log_terms(self, mean: "Floats", gamma: "Floats") -> "Floats":
        """Return log P(correct, noticed), shape (..., rows, columns)."""
        import numpy as np

        mean, gamma = np.broadcast_arrays(mean, gamma)
        with np.errstate(divide="ignore"):  # a logarithm of 0 is a probability of 0
            edges = np.log(np.array([mean, 1 - mean, 1 - gamma]))
            up, down, whole = _add_up(np.log(self._steps(mean, gamma)))
        ups, downs, wholes = self._later_factors
        terms = self.log_ways + up[..., ups] + down[..., downs] - whole[..., wholes]
        for edge, factor in zip(edges, self._first_factors, strict=True):
            terms = terms + np.where(factor, edge[..., None, None], 0.0)
        return np.asarray(terms, dtype=np.float64)

    def _seen_derivatives(self, mean: float, gamma: float) -> "tuple[Floats, Floats]":
        """Return derivatives as if noticing were seen, shapes (2, ...) and (2, 2, ...)."""
        import numpy as np

        up, down, whole = self._steps(np.asarray(mean), np.asarray(gamma))
        i, rest = np.arange(1, len(up) + 1), 1 - gamma
        by_mean = np.array([rest / up, -rest / down])
        by_gamma = np.array([(i - mean) / up, (i - 1 + mean) / down])
        crossed = np.array([-i / up**2, i / down**2])
        above, below = np.swapaxes([by_mean, by_gamma, by_mean**2, crossed, by_gamma**2], 0, 1)
        ups, downs, wholes = self._later_factors
        sums = _add_up(above)[:, ups] + _add_up(below)[:, downs]
        common = (i - 1) / whole
        once, twice = _add_up(np.array([common, common**2]))[:, wholes]
        one, none, both = self._first_factors / np.array([mean, 1 - mean, rest])[:, None, None]
        first = np.array([sums[0] + one - none, sums[1] - both - once])
        twice_mean, twice_gamma = -(one**2) - none**2 - sums[2], twice - both**2 - sums[4]
        return first, np.array([[twice_mean, sums[3]], [sums[3], twice_gamma]])

    def _steps(self, mean: "Floats", gamma: "Floats") -> "Floats":
        """Return the factors of the three products from i = 1 on, shape (3, ..., most - 1)."""
        import numpy as np

        i = np.arange(1, int(self._later_factors.max()) + 1)
        mean, gamma = mean[..., None], gamma[..., None]
        rest = 1 - gamma
        return np.array([mean * rest + i * gamma, (1 - mean) * rest + i * gamma, rest + i * gamma])

    @cached_property
    def _first_factors(self) -> "NDArray[np.bool_]":
        """Return where mean, 1 - mean and 1 - gamma are factors, shape (3, rows, columns)."""
        import numpy as np

        some, not_all = self.noticed > 0, self.missed > 0
        return np.array([some, not_all, some & not_all])

    @cached_property
    def _later_factors(self) -> "NDArray[np.intp]":
        """Return how many factors from i = 1 on each product has, shape (3, rows, columns)."""
        import numpy as np

        counts = np.array([self.noticed, self.missed, self.noticed + self.missed])
        return np.asarray(np.maximum(counts - 1, 0), dtype=np.intp)


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

    nothing = np.zeros((*steps.shape[:-1], 1))
    return np.concatenate([nothing, np.cumsum(steps, axis=-1)], axis=-1)
