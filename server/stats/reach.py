"""What a given number of answers can find: the smallest share and d′ with the wanted power."""

from collections.abc import Sequence
from dataclasses import dataclass

from server.stats.binomial import Sides, critical_number, p_value
from server.stats.checks import check_open_unit
from server.stats.thurstone import ForcedChoice, pc_from_share
from server.stats.trials import smallest_shares

NO_CRITICAL = "Nothing can be found: too few answers for this alpha, were all of them correct."
NOTHING_TO_FIND = "The share is 0: guessing alone is called significant as often as wanted."
BEYOND_D_PRIME = "d′ is not estimable: next to every answer would have to be correct."


@dataclass(frozen=True)
class Reach:
    """The smallest difference that a number of answers finds with the wanted power.

    What cannot be estimated is None and has a sentence in `notes`.

    Attributes
    ----------
    method : str
        Name of the model.
    chance, alpha, power : float
        Probability of a correct answer by guessing, level, wanted power.
    sided : {"one", "two"}
        Whether the test has one tail or two.
    trials : int
        The answers.
    critical : int or None
        Critical number; two-sided, of the larger count.
    achieved_alpha : float or None
        Exact level of the test.
    share : float or None
        Smallest share of noticed differences, by the guessing model, at which
        the exact power is `power`.
    d_prime : float or None
        The same as d′.
    notes : tuple of str
        Why something is None, or the share 0.
    """

    method: str
    chance: float
    alpha: float
    power: float
    sided: Sides
    trials: int
    critical: int | None
    achieved_alpha: float | None
    share: float | None
    d_prime: float | None
    notes: tuple[str, ...]


def describe_reach(
    model: ForcedChoice, trials: int, alpha: float = 0.05, power: float = 0.8, sided: Sides = "one"
) -> Reach:
    """Describe the smallest difference that a test would find.

    Parameters
    ----------
    model : ForcedChoice
        The method's model.
    trials : int
        Number of answers, 1 or more.
    alpha : float
        Level of the test, above 0 and below 1.
    power : float
        Wanted probability of finding it, above 0 and below 1.
    sided : {"one", "two"}
        Two-sided only at chance 1/2.

    Returns
    -------
    Reach
        Critical number, level, share and d′, unrounded.

    Raises
    ------
    ValueError
        If an argument is out of range, or a two-sided test has another chance
        than 1/2.

    Examples
    --------
    >>> from server.stats.thurstone import TRIANGLE
    >>> reach = describe_reach(TRIANGLE, 24)
    >>> reach.critical, round(reach.share, 4), round(reach.d_prime, 4)
    (13, 0.4067, 1.9983)
    """
    check_open_unit("power", power)
    critical = critical_number(trials, model.chance, alpha, sided)
    share = smallest_shares([trials], model.chance, alpha, power, sided)[0]
    d_prime = smallest_d_primes(model, [trials], alpha, power, sided)[0]
    return Reach(
        method=model.name,
        chance=model.chance,
        alpha=alpha,
        power=power,
        sided=sided,
        trials=trials,
        critical=critical,
        achieved_alpha=None if critical is None else p_value(critical, trials, model.chance, sided),
        share=share,
        d_prime=d_prime,
        notes=_notes(model, share, d_prime),
    )


def smallest_d_primes(
    model: ForcedChoice,
    trials: Sequence[int],
    alpha: float,
    power: float,
    sided: Sides = "one",
) -> tuple[float | None, ...]:
    """Return the smallest d′ that each number of answers finds.

    Parameters
    ----------
    model : ForcedChoice
        The method's model.
    trials : sequence of int
        Numbers of answers, 1 or more.
    alpha, power, sided
        As in `describe_reach`.

    Returns
    -------
    tuple of float or None
        One a number of answers; None where no number of correct answers reaches
        `alpha`, where no finite d′ has the power, and throughout if the method
        has no d′.

    Raises
    ------
    ValueError
        As `describe_reach`.

    Examples
    --------
    >>> from server.stats.thurstone import TRIANGLE
    >>> [round(d, 3) for d in smallest_d_primes(TRIANGLE, [201, 202], 0.05, 0.8)]
    [1.012, 0.999]
    """
    shares = smallest_shares(trials, model.chance, alpha, power, sided)
    if model.without_d_prime:
        return (None,) * len(shares)
    return tuple(
        None if share is None else model.d_prime(pc_from_share(share, model.chance))
        for share in shares
    )


def _notes(model: ForcedChoice, share: float | None, d_prime: float | None) -> tuple[str, ...]:
    """Return a sentence for everything that is not estimable, or not to be found."""
    beyond = share is not None and d_prime is None and not model.without_d_prime
    reasons = {
        NO_CRITICAL: share is None,
        NOTHING_TO_FIND: share == 0,
        model.without_d_prime: bool(model.without_d_prime),
        BEYOND_D_PRIME: beyond,
    }
    return tuple(sentence for sentence, holds in reasons.items() if holds)
