"""Whether x² = a y² + b z² has a solution in whole numbers other than zero."""

from collections.abc import Iterator


def is_solvable(a: int, b: int) -> bool:
    """Say whether x² = a y² + b z² has a solution in whole numbers, not all zero.

    Parameters
    ----------
    a, b : int
        Coefficients, not 0.

    Returns
    -------
    bool

    Raises
    ------
    ValueError
        If a coefficient is 0.

    Notes
    -----
    By Hasse and Minkowski there is a solution if and only if there is one in real
    numbers and the Hilbert symbol (a, b) is 1 at every prime that divides 2 a b [1]_.

    References
    ----------
    .. [1] J.-P. Serre, A Course in Arithmetic (1973), chapter III, theorem 1 and
       chapter IV, theorem 8 (from memory).

    Examples
    --------
    >>> is_solvable(2, 7), is_solvable(3, -1)
    (True, False)
    """
    for name, value in (("a", a), ("b", b)):
        if value == 0:
            raise ValueError(f"{name} must not be 0, got {value}")
    if a < 0 and b < 0:
        return False
    return all(_hilbert_symbol(a, b, prime) == 1 for prime in {2, *_primes(a), *_primes(b)})


def _primes(number: int) -> Iterator[int]:
    """Yield the primes that divide a number."""
    left, prime = abs(number), 2
    while prime * prime <= left:
        if left % prime == 0:
            yield prime
            while left % prime == 0:
                left //= prime
        prime += 1
    if left > 1:
        yield left


def _hilbert_symbol(a: int, b: int, prime: int) -> int:
    """Return 1 if there is a solution in the numbers of a prime, else -1 (Serre, III.1)."""
    power_a, rest_a = _split_off(a, prime)
    power_b, rest_b = _split_off(b, prime)
    if prime == 2:
        exponent = (
            _is_three(rest_a) * _is_three(rest_b)
            + power_a * _is_three_or_five(rest_b)
            + power_b * _is_three_or_five(rest_a)
        )
        return 1 if exponent % 2 == 0 else -1
    sign = -1 if power_a % 2 and power_b % 2 and prime % 4 == 3 else 1
    first = _legendre(rest_a, prime) if power_b % 2 else 1
    second = _legendre(rest_b, prime) if power_a % 2 else 1
    return sign * first * second


def _split_off(number: int, prime: int) -> tuple[int, int]:
    """Return the power of a prime in a number and what is left without it."""
    power = 0
    while number % prime == 0:
        number //= prime
        power += 1
    return power, number


def _legendre(number: int, prime: int) -> int:
    """Return 1 if a number is a square modulo an odd prime that does not divide it, else -1."""
    return 1 if pow(number, (prime - 1) // 2, prime) == 1 else -1


def _is_three(odd: int) -> bool:
    """Say whether (n - 1) / 2 is odd: n is 3 modulo 4."""
    return odd % 4 == 3


def _is_three_or_five(odd: int) -> bool:
    """Say whether (n² - 1) / 8 is odd: n is 3 or 5 modulo 8."""
    return odd % 8 in (3, 5)
