"""Where a function of one number passes 0."""

from collections.abc import Callable

MOST_STEPS = 200
LAST_DIGITS = 2.0**-51  # relative to the place


def find_crossing(
    function: Callable[[float], float],
    one: float,
    other: float,
    close: float = 0.0,
    width: float = 0.0,
) -> float:
    """Return where a function passes 0 between two places at which its signs differ.

    Parameters
    ----------
    function : callable
        Number to number.
    one, other : float
        The places, in either order.
    close : float
        A value this near to 0 will do, 0 or more.
    width : float
        So will a place this near to the crossing, 0 or more; one that agrees with it in
        all but the last digits always does.

    Returns
    -------
    float

    Raises
    ------
    ValueError
        If the function has the same sign at both places.

    Notes
    -----
    Inverse quadratic interpolation where the last three values promise that it gets
    nearer, or else the middle [1]_. The first step is along the straight line.

    References
    ----------
    .. [1] Chandrupatla, T. R. (1997). A new hybrid quadratic/bisection algorithm for
       finding the zero of a nonlinear function without using derivatives. Advances in
       Engineering Software, 28, 145-149 (from memory).

    Examples
    --------
    >>> round(find_crossing(lambda x: x * x - 2, 0.0, 2.0), 12)
    1.414213562373
    """
    new, old = (float(one), function(one)), (float(other), function(other))
    if new[1] * old[1] > 0:
        raise ValueError(f"function must have two signs, not {new[1]} and {old[1]}")
    part = new[1] / (new[1] - old[1]) if new[1] else 0.0
    for _ in range(MOST_STEPS):
        nearest, farther = sorted((new, old), key=lambda point: abs(point[1]))
        apart = abs(farther[0] - nearest[0])
        allowed = width + LAST_DIGITS * abs(nearest[0])
        if abs(nearest[1]) <= close or apart <= allowed:
            return nearest[0]
        least = min(0.5, allowed / (2 * apart))
        place = new[0] + min(max(part, least), 1 - least) * (old[0] - new[0])
        value = function(place)
        left = new if (value > 0) == (new[1] > 0) else old
        if left is new:
            new, old = (place, value), old
        else:
            new, old = (place, value), new
        part = _find_part(new, old, left)
    return new[0]


def _find_part(
    new: tuple[float, float], old: tuple[float, float], left: tuple[float, float]
) -> float:
    """Return how much of the way from the newest to the older place to go."""
    (a, at_a), (b, at_b), (c, at_c) = new, old, left
    if at_c in (at_a, at_b):
        return 0.5
    across, risen = (a - b) / (c - b), (at_a - at_b) / (at_c - at_b)
    if not (risen**2 < across and (1 - risen) ** 2 < 1 - across):
        return 0.5
    straight = at_a / (at_b - at_a) * at_c / (at_b - at_c)
    return straight + (c - a) / (b - a) * at_a / (at_c - at_a) * at_b / (at_c - at_b)
