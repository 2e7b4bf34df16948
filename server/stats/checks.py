"""Refusals of bad arguments, each naming the argument and its value."""

import math

MOST_TRIALS = 1_000_000


def check_trials(trials: int) -> None:
    """Refuse a number of trials below 1 or beyond a million.

    Raises
    ------
    ValueError
        If `trials` is not a whole number from 1 to 1,000,000.

    Examples
    --------
    >>> check_trials(24)
    >>> check_trials(0)
    Traceback (most recent call last):
    ValueError: trials must be a whole number from 1 to 1,000,000, not 0
    """
    if not _is_whole(trials) or not 1 <= trials <= MOST_TRIALS:
        raise ValueError(f"trials must be a whole number from 1 to {MOST_TRIALS:,}, not {trials}")


def check_counts(correct: int, trials: int) -> None:
    """Refuse counts that no test can give.

    Raises
    ------
    ValueError
        If `trials` is out of range, or `correct` is not a whole number from 0
        to `trials`.

    Examples
    --------
    >>> check_counts(14, 24)
    >>> check_counts(25, 24)
    Traceback (most recent call last):
    ValueError: correct must be a whole number from 0 to trials (24), not 25
    """
    check_trials(trials)
    if not _is_whole(correct) or not 0 <= correct <= trials:
        raise ValueError(
            f"correct must be a whole number from 0 to trials ({trials}), not {correct}"
        )


def check_open_unit(name: str, value: float) -> None:
    """Refuse a level, a risk or a chance that is not strictly between 0 and 1.

    Raises
    ------
    ValueError
        If `value` is not above 0 and below 1; NaN is neither.

    Examples
    --------
    >>> check_open_unit("alpha", 0.05)
    >>> check_open_unit("alpha", 1.0)
    Traceback (most recent call last):
    ValueError: alpha must be above 0 and below 1, not 1.0
    """
    if not 0 < value < 1:
        raise ValueError(f"{name} must be above 0 and below 1, not {value}")


def check_probability(name: str, value: float) -> None:
    """Refuse a value outside 0 to 1.

    Raises
    ------
    ValueError
        If `value` is below 0, above 1 or NaN.

    Examples
    --------
    >>> check_probability("pc", 1.0)
    >>> check_probability("pc", -0.5)
    Traceback (most recent call last):
    ValueError: pc must be from 0 to 1, not -0.5
    """
    if not 0 <= value <= 1:
        raise ValueError(f"{name} must be from 0 to 1, not {value}")


def check_d_prime(d: float) -> None:
    """Refuse a d′ that is negative or not finite.

    Raises
    ------
    ValueError
        If `d` is below 0, infinite or NaN.

    Examples
    --------
    >>> check_d_prime(1.5)
    >>> check_d_prime(-1.5)
    Traceback (most recent call last):
    ValueError: d_prime must be 0 or more and finite, not -1.5
    """
    if not (math.isfinite(d) and d >= 0):
        raise ValueError(f"d_prime must be 0 or more and finite, not {d}")


def _is_whole(value: object) -> bool:
    return isinstance(value, int) and not isinstance(value, bool)
