"""Edge colours: share out a two-sided list of links so that none clashes."""

from collections.abc import Hashable, Sequence
from random import Random

Vertex = tuple[int, Hashable]
"""A side, 0 or 1, and the name of a vertex there."""


def colour_edges(
    edges: Sequence[tuple[Hashable, Hashable]], colours: int, rng: Random
) -> list[int]:
    """Give every link a colour that no other link at either of its ends has.

    Parameters
    ----------
    edges : sequence of pair
        Links between a left and a right side; the same link may come several times.
        A name on the left has nothing to do with the same name on the right.
    colours : int
        Number of colours, at least as many as links meet anywhere.
    rng : random.Random
        Source of chance.

    Returns
    -------
    list of int
        One colour for each link, from 0. An end with as many links as there are
        colours has every colour once.

    Raises
    ------
    ValueError
        If more links meet somewhere than there are colours.

    Notes
    -----
    A bipartite graph takes no more colours than links meet at its busiest vertex [1]_.
    Links are coloured in random order. Where no colour is free at both ends, a path of
    two alternating colours is swapped; it never comes back to the other end, because
    the graph has two sides.

    References
    ----------
    .. [1] D. König, Math. Ann. 77 (1916), 453-465 (from memory).

    Examples
    --------
    >>> edges = [("first", "x"), ("first", "y"), ("second", "x"), ("second", "y")]
    >>> one, two, three, four = colour_edges(edges, 2, Random(1))
    >>> one == four, two == three, one != two
    (True, True, True)
    """
    ends: list[tuple[Vertex, Vertex]] = [((0, left), (1, right)) for left, right in edges]
    at: dict[Vertex, dict[int, int]] = {end: {} for pair in ends for end in pair}
    _check(ends, colours)
    for edge in rng.sample(range(len(ends)), len(ends)):
        left, right = ends[edge]
        free_left, free_right = ([c for c in range(colours) if c not in at[v]] for v in ends[edge])
        both = [colour for colour in free_left if colour in free_right]
        colour = rng.choice(both or free_left)
        if not both:
            _swap_colours(right, (colour, rng.choice(free_right)), ends, at)
        at[left][colour] = at[right][colour] = edge
    chosen = {edge: c for (side, _), met in at.items() if side == 0 for c, edge in met.items()}
    return [chosen[edge] for edge in range(len(ends))]


def _check(ends: Sequence[tuple[Vertex, Vertex]], colours: int) -> None:
    met: dict[Vertex, int] = {}
    for pair in ends:
        for end in pair:
            met[end] = met.get(end, 0) + 1
    busiest = max(met.values(), default=0)
    if colours < busiest:
        raise ValueError(f"colours must be at least {busiest}, got {colours}")


def _swap_colours(
    start: Vertex,
    colours: tuple[int, int],
    ends: Sequence[tuple[Vertex, Vertex]],
    at: dict[Vertex, dict[int, int]],
) -> None:
    """Swap two colours along the path that leaves a vertex by the first of them."""
    here, (now, then) = start, colours
    path: list[tuple[int, int]] = []
    while now in at[here]:
        edge = at[here][now]
        path.append((edge, now))
        left, right = ends[edge]
        here = right if here == left else left
        now, then = then, now
    for edge, colour in path:
        for end in ends[edge]:
            del at[end][colour]
    for edge, colour in path:
        for end in ends[edge]:
            at[end][sum(colours) - colour] = edge
