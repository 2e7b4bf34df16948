"""Difference sets: one block whose shifts around a circle of samples are a design."""

from math import gcd

MOST_UNIONS = 20_000
"""Unions of orbits that are looked through at most for one multiplier."""


def find_difference_set(samples: int, size: int, concurrences: int) -> tuple[int, ...] | None:
    """Look for a block whose shifts modulo t hold any two samples equally often.

    Parameters
    ----------
    samples : int
        Number of samples t.
    size : int
        Samples in a block k.
    concurrences : int
        Blocks λ that hold two given samples, with λ (t - 1) = k (k - 1).

    Returns
    -------
    tuple of int, or None
        The block in rising order. Nothing means that none was found.

    Notes
    -----
    Only blocks are looked at that multiplication by some u modulo t leaves as they are,
    that is, unions of orbits of u. By the multiplier theorem nothing is missed if u is
    a prime above λ that divides k - λ [1]_. Planes and the squares modulo a prime are
    found in this way.

    References
    ----------
    .. [1] M. Hall and H. J. Ryser, Canad. J. Math. 3 (1951), 495-502 (from memory).

    Examples
    --------
    >>> find_difference_set(13, 4, 1), find_difference_set(16, 6, 2)
    ((0, 1, 3, 9), None)
    """
    tried = set()
    for factor in range(2, samples):
        if gcd(factor, samples) > 1:
            continue
        orbits = _list_orbits(samples, factor)
        if orbits not in tried:
            tried.add(orbits)
            found = _join_orbits(orbits, samples, size, concurrences)
            if found:
                return found
    return None


def _list_orbits(samples: int, factor: int) -> tuple[tuple[int, ...], ...]:
    seen: set[int] = set()
    orbits = []
    for start in range(samples):
        orbit, one = [], start
        while one not in seen:
            seen.add(one)
            orbit.append(one)
            one = one * factor % samples
        if orbit:
            orbits.append(tuple(sorted(orbit)))
    return tuple(orbits)


def _join_orbits(
    orbits: tuple[tuple[int, ...], ...], samples: int, size: int, concurrences: int
) -> tuple[int, ...] | None:
    """Return the first union of orbits of the right size that is a difference set."""
    open_unions: list[tuple[int, ...]] = [()]
    for orbit in orbits:
        longer = [one + orbit for one in open_unions if len(one) + len(orbit) <= size]
        for one in longer:
            if len(one) == size and _is_difference_set(one, samples, concurrences):
                return tuple(sorted(one))
        open_unions += [one for one in longer if len(one) < size]
        if len(open_unions) > MOST_UNIONS:
            return None
    return None


def _is_difference_set(block: tuple[int, ...], samples: int, concurrences: int) -> bool:
    counts = [0] * samples
    for one in block:
        for other in block:
            counts[(one - other) % samples] += 1
    return all(count == concurrences for count in counts[1:])
