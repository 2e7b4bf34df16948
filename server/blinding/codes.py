"""Three-digit cup codes: drawn uniformly from those that tell a taster nothing."""

from collections.abc import Sequence
from random import Random

RUNS = "0123456789", "9876543210"

TELLING = {
    # Read as a quantity, a mark or a temperature at a coffee bench.
    100, 150, 200, 250, 300, 350, 400, 450, 500, 550, 600, 650, 700, 750, 800, 850, 900, 950,
    180, 195, 205, 212, 360,  # turns, brewing heat and boiling point in °F
    # First, best, or a year's and a day's round.
    101, 110, 247, 365,
    # Telephone numbers for emergencies somewhere.
    112, 115, 117, 118, 119, 120, 190, 911, 999,
    # Lucky, unlucky, holy, rude or worse in some language.
    108, 187, 420, 514, 520, 555, 666, 786, 888,
    # Numbers many know by heart: pi, powers of two, error pages.
    128, 256, 314, 403, 404, 512,
}  # fmt: skip
"""Numbers with a meaning of their own; common practice and judgement, no source."""

UPSIDE_DOWN = {"0": "0", "1": "1", "6": "9", "8": "8", "9": "6"}
"""Digits that are digits again when the cup stands the other way round."""


def is_telling(code: str) -> bool:
    """Say whether a code could hint at something, or be taken for another code.

    A digit that comes twice, a run up or down, a number with a meaning, and a
    code that reads as a different one upside down are telling.

    Examples
    --------
    >>> [code for code in ("385", "388", "345", "420", "168") if is_telling(code)]
    ['388', '345', '420', '168']
    """
    turned = "".join(UPSIDE_DOWN.get(digit, "") for digit in reversed(code))
    return (
        len(set(code)) < len(code)
        or any(code in run for run in RUNS)
        or int(code) in TELLING
        or (len(turned) == len(code) and turned != code)
    )


CODES = tuple(str(n) for n in range(100, 1000) if not is_telling(str(n)))
"""Every code that may be drawn."""


def draw_codes(cups_per_seat: Sequence[int], rng: Random) -> list[list[str]]:
    """Draw a code for every cup of every seat.

    Parameters
    ----------
    cups_per_seat : sequence of int
        How many cups each seat gets over the whole tasting.
    rng : random.Random
        Source of chance.

    Returns
    -------
    list of list of str
        Codes of each seat, in the order of its cups. No code comes twice while
        the set lasts; after that none comes twice within a seat, and the whole
        set is used up before a code returns, so that trays which stand side by
        side seldom share one.

    Raises
    ------
    ValueError
        If a seat needs more cups than there are codes.

    Notes
    -----
    Nothing here looks at which code it is, so every code is as likely as any
    other for every cup.

    Examples
    --------
    >>> codes = draw_codes([3, 3], Random(1))
    >>> [len(seat) for seat in codes], len(set(codes[0] + codes[1]))
    ([3, 3], 6)
    """
    _check(cups_per_seat)
    given: list[list[str]] = [[] for _ in cups_per_seat]
    deck: list[str] = []
    for turn in range(max(cups_per_seat, default=0)):
        for seat, cups in enumerate(cups_per_seat):
            if turn < cups:
                given[seat].append(_deal(deck, given[seat], rng))
    return given


def _deal(deck: list[str], had: Sequence[str], rng: Random) -> str:
    """Take the first code of the deck that the seat has not had, adding a deck if need be."""
    for index, code in enumerate(deck):
        if code not in had:
            return deck.pop(index)
    deck.extend(rng.sample(CODES, len(CODES)))
    return _deal(deck, had, rng)


def _check(cups_per_seat: Sequence[int]) -> None:
    for cups in cups_per_seat:
        if not 0 <= cups <= len(CODES):
            raise ValueError(
                f"cups_per_seat must lie between 0 and {len(CODES)}, the number of codes; "
                f"got {cups}"
            )
