"""Block designs found by search: blocks that come in cycles, fitted together exactly."""

from collections.abc import Iterator, Sequence
from itertools import combinations
from math import comb, gcd

Block = tuple[int, ...]
Cover = tuple[int, ...]

MOST_COMBINATIONS = 60_000
"""Blocks that are looked through at most for one symmetry."""
MOST_WORK = 150_000
"""Blocks that are looked through at most for all symmetries together."""
MOST_STEPS = 600
"""Choices tried at most to fit cycles together for one symmetry."""


def search_blocks(samples: int, size: int, concurrences: int) -> tuple[Block, ...] | None:
    """Look for a balanced incomplete block design.

    Parameters
    ----------
    samples : int
        Number of samples t.
    size : int
        Samples in a block k.
    concurrences : int
        Blocks λ that hold two given samples.

    Returns
    -------
    tuple of tuple of int, or None
        Blocks of samples 0 to t - 1. Nothing means that none was found, not that
        there is none. The same call always gives the same blocks.

    Notes
    -----
    Some symmetry is asked for: the samples stand in cycles of m, with a few left over,
    and shifting all cycles by one, or multiplying the places in them by u, turns blocks
    into blocks. Blocks then come in orbits, and only whole orbits of them have to cover
    whole orbits of pairs, each λ times: a small exact cover [1]_. Difference sets and
    families are the case of one cycle, with or without one sample left over [2]_.
    Samples may also stand in a grid, shifted along rows and along columns. Grids, larger
    cycles and more multipliers are tried first, because they leave less to fit.

    References
    ----------
    .. [1] E. S. Kramer and D. M. Mesner, Discrete Mathematics 15 (1976), 263-296
       (from memory).
    .. [2] R. C. Bose, Annals of Eugenics 9 (1939), 353-399 (from memory).

    Examples
    --------
    >>> search_blocks(7, 3, 1)
    ((0, 1, 3), (0, 2, 6), (0, 4, 5), (1, 2, 4), (1, 5, 6), (2, 3, 5), (3, 4, 6))
    """
    work = comb(samples, size)
    if work > MOST_COMBINATIONS:
        return None
    for tries, moves in enumerate(_list_symmetries(samples), 1):
        if tries > 1 and tries * work > MOST_WORK:
            return None
        found = _search_symmetric(samples, size, concurrences, moves)
        if found:
            return found
    return None


def _list_symmetries(samples: int) -> Iterator[tuple[Block, ...]]:
    """Yield pairs of moves: a shift in cycles, and another shift or a multiplication there."""
    for length in range(2, samples):
        if samples % length == 0 and gcd(samples // length, length) > 1:
            yield _move(samples, length, 1, 1), _move(samples, samples, 1, length)
    for length in range(samples, 1, -1):
        shift = _move(samples, length, 1, 1)
        groups = {_powers(u, length): u for u in range(length) if gcd(u, length) == 1}
        for group in sorted(groups, key=len, reverse=True):
            yield shift, _move(samples, length, groups[group], 0)


def _powers(number: int, modulus: int) -> frozenset[int]:
    powers, power = {1}, number
    while power not in powers:
        powers.add(power)
        power = power * number % modulus
    return frozenset(powers)


def _move(samples: int, length: int, factor: int, shift: int) -> Block:
    """Return where each sample goes if place p of its cycle becomes factor p + shift."""
    whole = samples // length * length
    return tuple(
        one if one >= whole else one - one % length + (one % length * factor + shift) % length
        for one in range(samples)
    )


def develop(samples: int, length: int, bases: Sequence[Block]) -> tuple[Block, ...]:
    """Return blocks and what shifts in cycles of a length turn them into.

    Examples
    --------
    >>> develop(4, 3, [(0, 3)])
    ((0, 3), (1, 3), (2, 3))
    """
    moves = [_move(samples, length, 1, shift) for shift in range(length)]
    return tuple(tuple(sorted([move[one] for one in base])) for base in bases for move in moves)


def _search_symmetric(
    samples: int, size: int, concurrences: int, moves: Sequence[Block]
) -> tuple[Block, ...] | None:
    pairs = _list_orbits(samples, 2, moves)
    kinds = {pair: kind for kind, orbit in enumerate(pairs) for pair in orbit}
    orbits: dict[Cover, list[list[Block]]] = {}
    for orbit in _list_orbits(samples, size, moves):
        counts = [0] * len(pairs)
        for pair in combinations(orbit[0], 2):
            counts[kinds[pair]] += len(orbit)
        cover = tuple(n // len(pairs[kind]) for kind, n in enumerate(counts))
        if max(cover) <= concurrences:
            orbits.setdefault(cover, []).append(orbit)
    chosen = _fit((concurrences,) * len(pairs), list(orbits), set())
    if chosen is None:
        return None
    blocks: list[Block] = []
    for number, cover in enumerate(chosen):
        alike = orbits[cover]
        blocks.extend(alike[chosen[:number].count(cover) % len(alike)])
    return tuple(sorted(blocks))


def _list_orbits(samples: int, size: int, moves: Sequence[Block]) -> list[list[Block]]:
    """Return all blocks of a size, those that the moves turn into each other together."""
    seen: set[Block] = set()
    orbits = []
    for first in combinations(range(samples), size):
        if first in seen:
            continue
        seen.add(first)
        orbit = [first]
        for block in orbit:
            for move in moves:
                moved = tuple(sorted([move[one] for one in block]))
                if moved not in seen:
                    seen.add(moved)
                    orbit.append(moved)
        orbits.append(orbit)
    return orbits


def _fit(left: Cover, covers: Sequence[Cover], failed: set[Cover]) -> list[Cover] | None:
    """Choose covers, each as often as needed, that add up to what is left to cover."""
    if not any(left):
        return []
    if left in failed or len(failed) > MOST_STEPS:
        return None
    fitting = [one for one in covers if all(n <= most for n, most in zip(one, left, strict=True))]
    open_kinds = [kind for kind, most in enumerate(left) if most]
    hardest = min(([one for one in fitting if one[kind]] for kind in open_kinds), key=len)
    for one in hardest:
        rest = tuple(most - n for n, most in zip(one, left, strict=True))
        further = _fit(rest, fitting, failed)
        if further is not None:
            return [one, *further]
    failed.add(left)
    return None
