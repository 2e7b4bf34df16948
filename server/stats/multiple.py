"""Several tests at once: p-values adjusted so that all of them together keep one level."""

from collections.abc import Sequence

from server.stats.checks import check_probability


def holm(p_values: Sequence[float]) -> tuple[float, ...]:
    """Return p-values adjusted by Holm's step-down method.

    Parameters
    ----------
    p_values : sequence of float, length k
        The p-values of all tests of one family, each from 0 to 1.

    Returns
    -------
    tuple of float, length k
        Adjusted p-values in the order given; a test whose adjusted value is at
        most alpha is significant with a risk of no more than alpha for the
        whole family, however the tests depend on each other.

    Raises
    ------
    ValueError
        If a p-value is outside 0 to 1.

    Notes
    -----
    The smallest of k p-values is multiplied by k, the next by k - 1, and so on;
    none becomes smaller than the one before it, none larger than 1.

    References
    ----------
    .. [1] Holm, S. (1979). A simple sequentially rejective multiple test
       procedure. Scandinavian Journal of Statistics, 6, 65-70.

    Examples
    --------
    >>> holm([0.25, 0.0625, 0.5])
    (0.5, 0.1875, 0.5)
    """
    for p in p_values:
        check_probability("p_values", p)
    adjusted = [0.0] * len(p_values)
    largest = 0.0
    order = sorted(range(len(p_values)), key=p_values.__getitem__)
    for rank, place in enumerate(order):
        largest = max(largest, min(1.0, (len(order) - rank) * p_values[place]))
        adjusted[place] = largest
    return tuple(adjusted)
