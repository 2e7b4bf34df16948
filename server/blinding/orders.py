"""Serving orders: every order equally often, after every round and within every seat."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from random import Random


def balanced_orders(orders: Sequence[str], seats: int, rounds: int, rng: Random) -> list[list[str]]:
    """Draw which serving order each seat gets in each round.

    Parameters
    ----------
    orders : sequence of str
        The full set of a method, such as the six orders of a triangle.
    seats : int
        Number of seats, at least 1.
    rounds : int
        Number of servings a seat, at least 1.
    rng : random.Random
        Source of chance.

    Returns
    -------
    list of list of str
        Indexed ``[seat][round]``. After any round the orders have been served
        equally often or differ by one, and within rounds 1 to k, k + 1 to 2k
        and so on (k orders) a seat meets each order at most once.

    Raises
    ------
    ValueError
        If there are no orders, an order comes twice, or a number is below 1.

    Notes
    -----
    A block of k rounds is a bipartite graph between rounds and orders with one
    edge for each seat in each round. The running balance fixes how many edges a
    round may have to an order; over the block every round and every order then
    has as many edges as there are seats, and such a regular graph always splits
    into perfect matchings, one for each seat [1]_. Which orders come first,
    which matching is taken and who gets it is drawn, and no step knows one order
    from another: whatever a seat has met, each order it has yet to meet in the
    block is equally likely next.

    References
    ----------
    .. [1] D. König, Math. Ann. 77 (1916), 453-465, theorem on regular bipartite
       graphs (from memory).

    Examples
    --------
    >>> drawn = balanced_orders(("AB", "BA"), seats=3, rounds=2, rng=Random(1))
    >>> [sorted(seat) for seat in drawn]
    [['AB', 'BA'], ['AB', 'BA'], ['AB', 'BA']]
    """
    _check(orders, seats, rounds)
    drawn: list[list[str]] = [[] for _ in range(seats)]
    for _ in range(0, rounds, len(orders)):
        edges = _draw_edges(orders, seats, rng)
        block = [_split_off(edges, rng) for _ in range(seats)]
        rng.shuffle(block)
        for seat, row in zip(drawn, block, strict=True):
            seat.extend(row)
    return [seat[:rounds] for seat in drawn]


def _check(orders: Sequence[str], seats: int, rounds: int) -> None:
    if not orders or len(set(orders)) < len(orders):
        raise ValueError(f"orders must be different and not empty, got {list(orders)}")
    for name, value in (("seats", seats), ("rounds", rounds)):
        if value < 1:
            raise ValueError(f"{name} must be at least 1, got {value}")


def _draw_edges(orders: Sequence[str], seats: int, rng: Random) -> list[Counter[str]]:
    """Draw how often each round of a block serves each order, in running balance."""
    whole, rest = divmod(seats, len(orders))
    ahead: set[str] = set()
    block = []
    for _ in orders:
        behind = [order for order in orders if order not in ahead]
        if len(behind) > rest:
            extra = set(rng.sample(behind, rest))
            ahead |= extra
        else:
            ahead = set(rng.sample(sorted(ahead), rest - len(behind)))
            extra = ahead | set(behind)
        block.append(Counter({order: whole + (order in extra) for order in orders}))
    return block


def _split_off(edges: list[Counter[str]], rng: Random) -> list[str]:
    """Take one perfect matching out of a regular graph: an order for each round."""
    owner: dict[str, int] = {}
    for round_ in rng.sample(range(len(edges)), len(edges)):
        _find_place(round_, edges, owner, set(), rng)
    row = [""] * len(edges)
    for order, round_ in owner.items():
        row[round_] = order
        edges[round_][order] -= 1
    return row


def _find_place(
    round_: int, edges: list[Counter[str]], owner: dict[str, int], tried: set[str], rng: Random
) -> bool:
    """Give a round an order, moving other rounds along where needed (augmenting path)."""
    open_orders = [order for order, left in edges[round_].items() if left and order not in tried]
    for order in rng.sample(open_orders, len(open_orders)):
        if order in tried:
            continue
        tried.add(order)
        if order not in owner or _find_place(owner[order], edges, owner, tried, rng):
            owner[order] = round_
            return True
    return False


@dataclass(frozen=True)
class Balance:
    """How evenly orders were drawn; what the plan prints.

    Attributes
    ----------
    total
        Order to number of servings.
    after_round
        The same after each round.
    odd
        For each position, counted from 1: the odd sample to the number of servings
        in which it stands there.
    """

    total: dict[str, int]
    after_round: tuple[dict[str, int], ...]
    odd: dict[int, dict[str, int]]

    @property
    def widest(self) -> int:
        """Largest difference between two orders after any round."""
        return max(max(count.values()) - min(count.values()) for count in self.after_round)


def balance_report(orders: Sequence[str], drawn: Sequence[Sequence[str]]) -> Balance:
    """Count orders and odd positions of a draw.

    Parameters
    ----------
    orders : sequence of str
        The full set, so that an order that was never served counts as 0.
    drawn : sequence of sequence of str
        Indexed ``[seat][round]``.

    Returns
    -------
    Balance

    Examples
    --------
    >>> report = balance_report(("AAB", "BBA"), [["AAB", "BBA"], ["AAB", "BBA"]])
    >>> report.total, report.after_round[0], report.widest
    ({'AAB': 2, 'BBA': 2}, {'AAB': 2, 'BBA': 0}, 2)
    >>> report.odd
    {3: {'A': 2, 'B': 2}}
    """
    running = dict.fromkeys(orders, 0)
    after = []
    for column in zip(*drawn, strict=True):
        for order in column:
            running[order] += 1
        after.append(dict(running))
    return Balance(running, tuple(after), _count_odd(drawn))


def _count_odd(drawn: Sequence[Sequence[str]]) -> dict[int, dict[str, int]]:
    odd: dict[int, dict[str, int]] = {}
    for order in (order for seat in drawn for order in seat):
        position = find_odd(order)
        if position is not None:
            level = order[position - 1]
            count = odd.setdefault(position, {})
            count[level] = count.get(level, 0) + 1
    return {position: dict(sorted(odd[position].items())) for position in sorted(odd)}


def find_odd(order: str) -> int | None:
    """Return the position, from 1, of the only cup without a like one in its serving.

    Examples
    --------
    >>> find_odd("ABA"), find_odd("AB")
    (2, None)
    """
    alone = [place for place, level in enumerate(order, 1) if order.count(level) == 1]
    return alone[0] if len(alone) == 1 else None
