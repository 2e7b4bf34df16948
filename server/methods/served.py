"""What stood before a taster, checked against what a method serves."""

from collections.abc import Sequence

SWAPPED = str.maketrans("AB", "BA")


def check_order(order: str, orders: Sequence[str], codes: Sequence[str]) -> None:
    """Refuse an order that is none of a method's, or codes that do not fit it.

    Raises
    ------
    ValueError
        If `order` is not among `orders`, or there are more or fewer codes than cups.

    Examples
    --------
    >>> check_order("AB", ("AB", "BA"), ["412", "587"])
    >>> check_order("AA", ("AB", "BA"), ["412", "587"])
    Traceback (most recent call last):
    ValueError: order must be one of AB, BA, not AA
    """
    if order not in orders:
        raise ValueError(f"order must be one of {', '.join(orders)}, not {order}")
    if len(codes) != len(order):
        raise ValueError(f"codes must be {len(order)}, not {len(codes)}")


def swap_samples(orders: Sequence[str]) -> tuple[str, ...]:
    """Return the orders with the two samples in each other's place.

    Examples
    --------
    >>> swap_samples(("AAB", "ABA", "BAA"))
    ('BBA', 'BAB', 'ABB')
    """
    return tuple(order.translate(SWAPPED) for order in orders)


def group_codes(order: str, codes: Sequence[str]) -> dict[str, frozenset[str]]:
    """Return the codes under which each sample stood.

    Examples
    --------
    >>> {level: sorted(mine) for level, mine in group_codes("ABB", ["587", "936", "412"]).items()}
    {'A': ['587'], 'B': ['412', '936']}
    """
    stood = list(zip(order, codes, strict=True))
    levels = sorted(set(order))
    return {level: frozenset(code for one, code in stood if one == level) for level in levels}
