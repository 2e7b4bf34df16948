"""Groups of samples as even as chance and exchange make them, where no exact design fits."""

from collections import Counter, defaultdict
from collections.abc import Sequence
from random import Random

from server.blinding.efficiency import find_efficiency

Group = tuple[str, ...]
Meetings = defaultdict[str, Counter[str]]

MOST_DRAWS = 20
"""Draws at most of which the best is kept."""
MOST_PLACES = 500
"""Places in the groups of all draws together; with more in one there is one draw."""
PATIENCE = 12
"""Swaps that are tried without gain for each place in the groups before the search ends."""
SEATS_FIRST = 1_000
"""How much a seat's even share of the samples outweighs even pairs."""


def draw_groups(
    samples: Sequence[str],
    size: int,
    seats: Sequence[int],
    had: Sequence[Counter[str]],
    rng: Random,
) -> list[Group]:
    """Draw a group of samples for each serving.

    Parameters
    ----------
    samples : sequence of str
        The samples t.
    size : int
        Samples in a group, fewer than t.
    seats : sequence of int
        For each serving the seat that gets it.
    had : sequence of Counter
        For each seat how often it has had each sample before.
    rng : random.Random
        Source of chance.

    Returns
    -------
    list of tuple of str
        Over all servings the counts of two samples differ by at most 1. Each seat has
        its samples, and then each pair of samples comes, as evenly as found.

    Notes
    -----
    Serving by serving the samples are taken that are due: those that have come least.
    Then two samples of two servings change places wherever that makes the sum of the
    squared counts no larger; ties let the search move on. Of several such draws one
    is kept that ties all samples together, if any does; among these the one with the
    most even seats, and the most efficient of them.

    Examples
    --------
    >>> groups = draw_groups("ABCDEF", 3, [0, 1, 0, 1], [Counter(), Counter()], Random(1))
    >>> sorted(groups[0] + groups[2]), Counter(one for group in groups for one in group)["A"]
    (['A', 'B', 'C', 'D', 'E', 'F'], 2)
    """
    if not seats:
        return []
    draws = max(1, min(MOST_DRAWS, MOST_PLACES // (len(seats) * size)))
    drawn = [_draw_once(samples, size, seats, had, rng) for _ in range(draws)]

    def rank(groups: list[Group]) -> tuple[bool, int, float]:
        efficiency = find_efficiency(samples, groups)
        return efficiency is None, _count_unevenness(groups, seats, had), -(efficiency or 0)

    return min(drawn, key=rank)


def _count_unevenness(
    groups: Sequence[Group], seats: Sequence[int], had: Sequence[Counter[str]]
) -> int:
    """Return the sum of the squares of how often each seat has each sample."""
    counts = [Counter(seat) for seat in had]
    for seat, group in zip(seats, groups, strict=True):
        counts[seat].update(group)
    return sum(count**2 for seat in counts for count in seat.values())


def _draw_once(
    samples: Sequence[str],
    size: int,
    seats: Sequence[int],
    before: Sequence[Counter[str]],
    rng: Random,
) -> list[Group]:
    had = [Counter(seat) for seat in before]
    groups: list[list[str]] = []
    served: Counter[str] = Counter()
    for seat in seats:
        group = _take_due(samples, size, served, had[seat], rng)
        served.update(group)
        had[seat].update(group)
        groups.append(group)
    _exchange(groups, seats, had, rng)
    return [tuple(sorted(group)) for group in groups]


def _take_due(
    samples: Sequence[str], size: int, served: Counter[str], own: Counter[str], rng: Random
) -> list[str]:
    """Return the samples served least, among equals those the seat has had least."""
    drawn = rng.sample(samples, len(samples))
    return sorted(drawn, key=lambda one: (served[one], own[one]))[:size]


def _exchange(
    groups: Sequence[list[str]], seats: Sequence[int], had: Sequence[Counter[str]], rng: Random
) -> None:
    """Swap samples of two groups until that has long made the counts no more even."""
    met: Meetings = defaultdict(Counter)
    for group in groups:
        for one in group:
            met[one].update(other for other in group if other != one)
    patience = PATIENCE * len(groups) * len(groups[0]) if len(groups) > 1 else 0
    idle = 0
    while idle < patience:
        first, second = rng.sample(range(len(groups)), 2)
        change = _try_swap(
            groups[first], groups[second], had[seats[first]], had[seats[second]], met, rng
        )
        idle = 0 if change < 0 else idle + 1


def _try_swap(
    first: list[str],
    second: list[str],
    own: Counter[str],
    its: Counter[str],
    met: Meetings,
    rng: Random,
) -> int:
    """Swap two drawn samples of two groups if that is no more uneven; return the change."""
    one, other = rng.choice(first), rng.choice(second)
    if one in second or other in first:
        return 0
    left = [name for name in first if name != one and name not in second]
    right = [name for name in second if name != other and name not in first]
    change = _weigh_pairs(met[one], met[other], left) + _weigh_pairs(met[other], met[one], right)
    if own is not its:
        change += SEATS_FIRST * (own[other] - own[one] + its[one] - its[other] + 2)
    if change <= 0:
        first[first.index(one)], second[second.index(other)] = other, one
        own.update({other: 1, one: -1})
        its.update({other: -1, one: 1})
        _count_meetings(met, one, left=left, joined=right)
        _count_meetings(met, other, left=right, joined=left)
    return change


def _weigh_pairs(one: Counter[str], other: Counter[str], beside: Sequence[str]) -> int:
    """Return half the change of the squared pair counts if a sample replaces another."""
    return sum(other[name] - one[name] + 1 for name in beside)


def _count_meetings(met: Meetings, one: str, left: Sequence[str], joined: Sequence[str]) -> None:
    """Count that a sample has left some others and joined some."""
    for names, step in ((left, -1), (joined, 1)):
        for name in names:
            met[one][name] += step
            met[name][one] += step
