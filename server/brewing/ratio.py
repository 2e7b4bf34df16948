"""Brew ratios: coffee to the water poured, or to the beverage that came out; never mixed."""

from dataclasses import dataclass
from typing import Literal


@dataclass(frozen=True)
class Ratio:
    """A ratio, and what it is of.

    Attributes
    ----------
    parts
        Grams of liquid to a gram of coffee: the x of 1:x.
    grams_per_litre
        Grams of coffee to 1000 g of the liquid.
    of
        ``water in`` as most filter recipes say, ``beverage out`` as espresso ones do.
    """

    parts: float
    grams_per_litre: float
    of: Literal["water in", "beverage out"]


def find_ratio(dose_g: float, liquid_g: float, of: Literal["water in", "beverage out"]) -> Ratio:
    """Return a brew ratio.

    Parameters
    ----------
    dose_g, liquid_g : float
        Dry coffee, and the liquid it is held against, in grams.
    of : str
        What the liquid is. It is never inferred.

    Returns
    -------
    Ratio

    Raises
    ------
    ValueError
        A mass is not above zero.

    Notes
    -----
    A litre is taken as 1000 g of liquid, as the trade does; hot water is lighter
    (`hot_water.weigh_hot_water`).

    Examples
    --------
    >>> round(find_ratio(15, 250, "water in").parts, 2)
    16.67
    """
    for name, value in (("dose_g", dose_g), ("liquid_g", liquid_g)):
        if not 0 < value < float("inf"):
            raise ValueError(f"{name} must be a number above zero, got {value}")
    return Ratio(liquid_g / dose_g, 1000 * dose_g / liquid_g, of)
