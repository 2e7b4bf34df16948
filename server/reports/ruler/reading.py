"""What a difference is worth in added water, and the sentences that say so."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from server.methods.asked import find_model
from server.reports.analysis import Analysis
from server.reports.display import show_p, show_share
from server.reports.ruler import words
from server.reports.ruler.marks import Dilution, find_fault, pool
from server.stats.distance_likelihood import Counts
from server.stats.results import ChiSquare
from server.stats.ruler import Ruler, measure_by_dilution

STRAIGHT_ENOUGH = 0.05
"""A ruler whose marks are rarer than this on a straight line is read by nobody.

Common practice, no source.
"""


@dataclass(frozen=True)
class Reading:
    """A difference held against a ruler.

    Attributes
    ----------
    ruler
        What it is worth.
    most
        Largest dilution on the ruler, in percent.
    dilutions
        Whose answers make the ruler.
    """

    ruler: Ruler
    most: float
    dilutions: tuple[Dilution, ...]

    @property
    def is_straight(self) -> bool:
        """Whether the marks may lie on a straight line through 0."""
        return is_straight(self.ruler.fit)


def is_straight(fit: ChiSquare | None) -> bool:
    """Tell whether marks fit a straight ruler, as far as that can be told."""
    return fit is None or fit.p_value >= STRAIGHT_ENOUGH


def read_off(analysis: Analysis, dilutions: Sequence[Dilution]) -> Reading | None:
    """Hold the difference of a tasting against dilutions that were tasted before.

    Parameters
    ----------
    analysis : Analysis
        Of the tasting.
    dilutions : sequence of Dilution
        Those that make no mark are left out.

    Returns
    -------
    Reading or None
        None if there is no mark, or nothing of the tasting can be measured; a dilution is a
        mark of its own, and not read off other marks.
    """
    used = tuple(one for one in dilutions if not one.fault)
    if not used or analysis.plan.dilution_percent is not None or find_fault(analysis):
        return None
    main, model = analysis.main, find_model(analysis.plan)
    test = Counts("test", model, main.correct, main.trials)
    ruler = measure_by_dilution(test, pool(used), analysis.level)
    return Reading(ruler, max(one.percent for one in used), used)


def tell_reading(reading: Reading) -> tuple[str, ...]:
    """Say what a difference is worth in added water, and on what that rests."""
    ruler = reading.ruler
    if ruler.interval is None:
        return ruler.notes
    if not reading.is_straight:
        return (tell_fit(ruler.fit),)
    return (_say_worth(reading), words.NOT_IN_KIND, tell_fit(ruler.fit), words.WHO_TASTED)


def list_marks(dilutions: Sequence[Dilution]) -> tuple[str, ...]:
    """Name the answers behind a ruler, with the seals of their tastings."""
    return tuple(_list_marks(dilutions))


def tell_fit(fit: ChiSquare | None) -> str:
    """Say whether the marks lie on a straight ruler."""
    if fit is None:
        return words.STRAIGHT_TAKEN
    said = words.STRAIGHT_FITS if is_straight(fit) else words.STRAIGHT_FAILS
    return said.format(p=show_p(fit.p_value))


def show_water(percent: float) -> str:
    """Show a share of added water.

    Examples
    --------
    >>> show_water(12.0), show_water(7.26)
    ('12%', '7.3%')
    """
    return show_share(percent / 100)


def _say_worth(reading: Reading) -> str:
    """Say it between 0 and the largest dilution tasted; nothing is drawn out beyond that."""
    ruler, most = reading.ruler, reading.most
    low, high = ruler.interval or (0.0, None)
    beyond = high is None or high > most
    shown = {
        "most": show_water(most),
        "level": show_share(ruler.level),
        "low": show_water(low),
        "high": words.BEYOND.format(most=show_water(most)) if beyond else show_water(high or 0.0),
    }
    if ruler.percent is None or ruler.percent > most:
        return (words.MORE if low > most else words.MORE_BUT).format(**shown)
    if ruler.percent == 0:
        return (words.NOT_NOTICED_OPEN if beyond else words.NOT_NOTICED).format(**shown)
    return words.AS_MUCH.format(percent=show_water(ruler.percent), **shown)


def _list_marks(dilutions: Sequence[Dilution]) -> Iterator[str]:
    for one in sorted(dilutions, key=lambda one: (one.percent, one.seal)):
        yield words.MARK.format(
            percent=show_water(one.percent),
            k=one.correct,
            n=one.trials,
            method=one.method,
            control=words.OF_CONTROL if one.control else "",
            seal=one.seal,
        )
