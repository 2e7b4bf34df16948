"""How far a panel agrees on one attribute: the figures people ask for, side by side."""

from dataclasses import dataclass

from server.stats.concordance import analyse_concordance
from server.stats.icc import analyse_icc, cronbach_alpha
from server.stats.krippendorff import krippendorff_alpha
from server.stats.ratings import Ratings
from server.stats.results import Interval


@dataclass(frozen=True)
class IccValue:
    """One intraclass correlation.

    Attributes
    ----------
    value : float or None
    interval : Interval or None
    """

    value: float | None
    interval: Interval | None


@dataclass(frozen=True)
class Agreement:
    """Agreement of a panel on one attribute, from the means of its cells.

    Attributes
    ----------
    icc : dict of str to IccValue
        ``1,1``, ``2,1``, ``3,1``, ``1,k``, ``2,k``, ``3,k``, as in `server.stats.icc`.
    kendall_w : float or None
        Of the samples that all assessors rated, corrected for ties.
    krippendorff_interval : float or None
        Krippendorff's α on an interval scale.
    cronbach_alpha : float or None
    """

    icc: dict[str, IccValue]
    kendall_w: float | None
    krippendorff_interval: float | None
    cronbach_alpha: float | None


def measure_agreement(ratings: Ratings, alpha: float = 0.05) -> tuple[Agreement, tuple[str, ...]]:
    """Measure how far assessors agree.

    Parameters
    ----------
    ratings : Ratings
        One attribute.
    alpha : float
        One minus the level of the intervals, above 0 and below 1.

    Returns
    -------
    agreement : Agreement
    notes : tuple of str
        A sentence for all that is None.

    Raises
    ------
    ValueError
        If `alpha` is out of range.

    Notes
    -----
    All of them look at the means of the cells, so that replicates count as one
    value each, and a panel is not called in agreement for repeating itself.

    Examples
    --------
    >>> from server.stats.ratings import build_ratings
    >>> people, names = ["ann"] * 3 + ["bo"] * 3, ["X", "Y", "Z"] * 2
    >>> found, _ = measure_agreement(build_ratings(people, names, [1, 2, 6, 3, 5, 7]))
    >>> round(found.icc["3,1"].value, 6), found.kendall_w
    (0.909091, 1.0)
    """
    means = ratings.means()
    icc = analyse_icc(means, alpha)
    cronbach = cronbach_alpha(means)
    alike = analyse_concordance(means, ratings.assessors)
    krippendorff = krippendorff_alpha(means, "interval")
    # Its first sentence is on W; those on pairs of assessors are of figures not shown here.
    of_w = alike.notes[:1] if alike.w is None or alike.samples < len(ratings.samples) else ()
    found = Agreement(
        icc={name: IccValue(one.value, one.interval) for name, one in icc.coefficients.items()},
        kendall_w=alike.w,
        krippendorff_interval=krippendorff.value,
        cronbach_alpha=cronbach.value,
    )
    return found, (*icc.notes, *of_w, *krippendorff.notes, *cronbach.notes)
