"""Ids of servings and cups: random, so that none tells an order."""

from random import Random
from uuid import UUID


def draw_id(rng: Random) -> UUID:
    """Draw a random id (UUID version 4).

    Examples
    --------
    >>> draw_id(Random(1)).version
    4
    """
    return UUID(int=rng.getrandbits(128), version=4)
