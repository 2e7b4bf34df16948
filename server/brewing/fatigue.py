"""How many cups a palate bears in one go."""

MOST_CUPS_SWALLOWED, MOST_CUPS_SPAT = 12, 18
"""Cups in one go, swallowed or spat: four and six servings of three; common practice, no source."""


def find_most_cups(*, swallow: bool) -> int:
    """Return the cups one person tastes in one go at most.

    Examples
    --------
    >>> find_most_cups(swallow=True), find_most_cups(swallow=False)
    (12, 18)
    """
    return MOST_CUPS_SWALLOWED if swallow else MOST_CUPS_SPAT
