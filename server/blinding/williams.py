"""Williams designs: complete serving orders in which each sample follows each other alike."""

from collections import Counter
from collections.abc import Iterator, Sequence
from itertools import chain, islice, pairwise
from random import Random

from server.blinding.edge_colours import colour_edges

Row = tuple[int, ...]
Order = tuple[str, ...]


def williams_rows(samples: int) -> tuple[Row, ...]:
    """Build the orders of a Williams design.

    Parameters
    ----------
    samples : int
        Number of samples t, at least 2.

    Returns
    -------
    tuple of tuple of int
        t orders of samples 0 to t - 1 if t is even, 2 t if it is odd: a Latin square
        and the same square mirrored. Each sample stands at each position equally often
        (once, or twice), and each is served right after each other one equally often
        (once, or twice).

    Raises
    ------
    ValueError
        If there are fewer than two samples.

    Notes
    -----
    The first row is 0, 1, t - 1, 2, t - 2, ... and the others follow by adding 1
    modulo t [1]_. Its steps 1, -2, 3, ... are all different modulo t if t is even. If t
    is odd they are the odd numbers below t, twice each; mirroring adds the even ones.

    References
    ----------
    .. [1] E. J. Williams, Australian Journal of Scientific Research A 2 (1949), 149-168
       (abstract read; the construction from memory).

    Examples
    --------
    >>> williams_rows(4)
    ((0, 1, 3, 2), (1, 2, 0, 3), (2, 3, 1, 0), (3, 0, 2, 1))
    >>> len(williams_rows(5))
    10
    """
    if samples < 2:
        raise ValueError(f"samples must be at least 2, got {samples}")
    first = [(place + 1) // 2 * (-1) ** (place + 1) for place in range(samples)]
    square = tuple(tuple((step + n) % samples for step in first) for n in range(samples))
    if samples % 2 == 0:
        return square
    return square + tuple(row[::-1] for row in square)


def draw_williams(
    samples: Sequence[str], seats: int, rounds: int, rng: Random
) -> list[list[Order]]:
    """Draw a complete serving order for each seat in each round.

    Parameters
    ----------
    samples : sequence of str
        The samples t, at least 2.
    seats : int
        Number of seats, at least 1.
    rounds : int
        Servings of all samples a seat, at least 1.
    rng : random.Random
        Source of chance.

    Returns
    -------
    list of list of tuple of str
        Indexed ``[seat][round][position]``. After any round the counts of two samples
        at a position differ by at most 1, and the counts of two ordered neighbours by
        at most 1 (t even) or 2 (t odd); in a plan of one round that holds after any
        seat as well. They are equal whenever a multiple of t (2 t) orders is complete.
        Within rounds 1 to m, m + 1 to 2 m and so on (m orders in the design) no seat
        meets an order twice.

    Raises
    ------
    ValueError
        If there are fewer than two samples, one comes twice, or a number is below 1.

    Notes
    -----
    Latin square by Latin square the orders are laid out round after round, with the
    samples' places in each design and the rows of each square drawn. The first rows
    of a mirrored square are taken so that few neighbours repeat, since a panel may end
    there. Over m rounds an order is in at most as many designs as there are seats, so
    that links between rounds and orders can be coloured with one colour a seat.

    Examples
    --------
    >>> plan = draw_williams("ABCD", seats=4, rounds=1, rng=Random(1))
    >>> sorted(order[0] for (order,) in plan)
    ['A', 'B', 'C', 'D']
    """
    _check(samples, seats, rounds)
    orders = list(islice(_lay_out(samples, rng), seats * rounds))
    if rounds == 1:
        return [[order] for order in orders]
    many = len(williams_rows(len(samples)))
    plan: list[list[Order]] = [[] for _ in range(seats)]
    for start in range(0, len(orders), seats * many):
        _deal(orders[start : start + seats * many], plan, rng)
    return plan


def _check(samples: Sequence[str], seats: int, rounds: int) -> None:
    if len(samples) < 2 or len(set(samples)) < len(samples):
        raise ValueError(f"samples must be two or more different ones, got {list(samples)}")
    for name, value in (("seats", seats), ("rounds", rounds)):
        if value < 1:
            raise ValueError(f"{name} must be at least 1, got {value}")


def _lay_out(samples: Sequence[str], rng: Random) -> Iterator[Order]:
    """Yield orders without end, one drawn design after another."""
    many = len(samples)
    rows = williams_rows(many)
    while True:
        names = rng.sample(samples, many)
        squares = [rows[start : start + many] for start in range(0, len(rows), many)]
        rng.shuffle(squares)
        for row in chain.from_iterable(_spread_neighbours(square, rng) for square in squares):
            yield tuple(names[sample] for sample in row)


def _spread_neighbours(square: Sequence[Row], rng: Random) -> Iterator[Row]:
    """Yield the rows of a square, next always one that repeats the fewest neighbours."""
    left = rng.sample(square, len(square))
    had: Counter[tuple[int, int]] = Counter()
    while left:
        row = min(left, key=lambda one: sum(had[pair] for pair in pairwise(one)))
        left.remove(row)
        had.update(pairwise(row))
        yield row


def _deal(orders: Sequence[Order], plan: Sequence[list[Order]], rng: Random) -> None:
    """Give each seat one order of each round and none twice."""
    seats = len(plan)
    colours = colour_edges([(n // seats, one) for n, one in enumerate(orders)], seats, rng)
    owners = rng.sample(range(seats), seats)
    for order, colour in zip(orders, colours, strict=True):
        plan[owners[colour]].append(order)
