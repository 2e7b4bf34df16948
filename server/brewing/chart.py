"""Strength against extraction: lines of one brew ratio, and the region somebody aims at."""

from dataclasses import dataclass

from server.brewing.extraction import Brewer


@dataclass(frozen=True)
class Region:
    """A region of strengths (%TDS) and extractions (%) that somebody recommends.

    It is drawn as an overlay with its source, and grades nothing.

    Raises
    ------
    ValueError
        A low end lies not below its high end, or outside 0 to 100.
    """

    name: str
    strength_low: float
    strength_high: float
    extraction_low: float
    extraction_high: float
    source: str

    def __post_init__(self) -> None:
        for name in ("strength", "extraction"):
            low, high = getattr(self, f"{name}_low"), getattr(self, f"{name}_high")
            if not 0 <= low < high <= 100:
                raise ValueError(f"{name}_low must lie below {name}_high, got {low} and {high}")


REGIONS = (
    Region(
        "Classic box", 1.15, 1.35, 18, 22,
        "an older, widely copied brewing standard, seen on secondary pages",
    ),
    Region(
        "Wider box", 1.15, 1.45, 18, 22, "training text, seen on secondary pages",
    ),
    Region("European box", 1.20, 1.45, 18, 22, "from memory"),
    Region("Nordic box", 1.30, 1.55, 18, 22, "from memory"),
)  # fmt: skip
"""They conflict, and what people like spreads far beyond all of them."""


def find_strength_on_line(
    how: Brewer, ratio: float, extraction: float, retained: float = 2.0
) -> float:
    """Return the strength of a brew of one ratio at an extraction, in %TDS.

    Parameters
    ----------
    how : Brewer
        A percolation's beverage is its water less what the coffee keeps; an immersion's liquid
        is all its water and what dissolved in it.
    ratio : float
        Grams of water poured to a gram of coffee.
    extraction : float
        Yield in percent.
    retained : float
        Grams of water a gram of coffee keeps; of a percolation alone.

    Returns
    -------
    float

    Raises
    ------
    ValueError
        No liquid is left, the extraction is not from 0 to 100, or the brewer is neither.

    Notes
    -----
    With beverage B = (R - r) D a percolation has T = E / (R - r). With all liquid an immersion
    has E = 100 T / (100 - T) R, so T = 100 E / (100 R + E).

    Examples
    --------
    >>> round(find_strength_on_line(Brewer.PERCOLATION, 1000 / 55, 20), 2)
    1.24
    """
    if not 0 <= extraction <= 100:
        raise ValueError(f"extraction must lie from 0 to 100, got {extraction}")
    if how is Brewer.PERCOLATION:
        if not retained < ratio:
            raise ValueError(f"ratio must lie above retained {retained}, got {ratio}")
        return extraction / (ratio - retained)
    if how is Brewer.IMMERSION:
        if not ratio > 0:
            raise ValueError(f"ratio must be above zero, got {ratio}")
        return 100 * extraction / (100 * ratio + extraction)
    raise ValueError(f"how must be percolation or immersion, got {how}")
