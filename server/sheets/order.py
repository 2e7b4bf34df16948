"""What the serving order did to the scores of one attribute, where it is known."""

from collections.abc import Sequence
from dataclasses import dataclass

from server.sheets.scores import Score
from server.stats.anova import FTest
from server.stats.order_effects import analyse_order
from server.stats.ratings import Ratings

UNKNOWN = "The effect of the serving order is not estimable: {} of {} scores have no position."
UNFIT = "The effect of the serving order is not estimable: {}."


@dataclass(frozen=True)
class OrderTests:
    """Tests of the serving order.

    Attributes
    ----------
    position, carry_over, sitting, drift : FTest or None
        Place in the order, the sample just before, the sitting, and a straight
        line over sittings; each with assessors and samples taken out.
    """

    position: FTest | None = None
    carry_over: FTest | None = None
    sitting: FTest | None = None
    drift: FTest | None = None


def examine_order(
    scores: Sequence[Score], ratings: Ratings
) -> tuple[OrderTests | None, tuple[str, ...]]:
    """Test whether the serving order shows in the scores.

    Parameters
    ----------
    scores : sequence of Score
        Of one attribute.
    ratings : Ratings
        What `collect_ratings` made of them.

    Returns
    -------
    tests : OrderTests or None
        None if no score has a position: nothing was asked.
    notes : tuple of str
        A sentence for every test that is None.

    Examples
    --------
    >>> from server.sheets.scores import collect_ratings
    >>> rows = [("a", "XYZ", (5, 4, 4)), ("b", "YZX", (7, 5, 4)), ("c", "ZXY", (8, 3, 6))]
    >>> scores = [
    ...     Score(who, name, "sweet", value, position=at)
    ...     for who, order, values in rows
    ...     for at, (name, value) in enumerate(zip(order, values), 1)
    ... ]
    >>> examine_order(scores, collect_ratings(scores))[0].position.df
    (2.0, 2.0)
    """
    rows = [score for score in scores if score.value is not None]
    places = [score.position for score in rows if score.position is not None]
    if not places:
        return None, ()
    if len(places) < len(rows):
        return OrderTests(), (UNKNOWN.format(len(rows) - len(places), len(rows)),)
    try:
        found = analyse_order(ratings, places, number_sittings([one.sitting for one in rows]))
    except ValueError as error:
        return OrderTests(), (UNFIT.format(error),)
    tests = OrderTests(
        found.position.test, found.carry_over.test, found.sitting.test, found.drift.test
    )
    return tests, found.notes


def number_sittings(sittings: Sequence[str | None]) -> list[int]:
    """Return numbers of the sittings, in order of time.

    Parameters
    ----------
    sittings : sequence of str or None
        Numbers, or words that sort as they followed each other, such as dates.

    Returns
    -------
    list of int
        The numbers themselves, or places from 1 in the sorted words.

    Examples
    --------
    >>> number_sittings(["2", "10", "2"]), number_sittings(["2031-05-14", "2031-05-02"])
    ([2, 10, 2], [2, 1])
    """
    named = [one or "" for one in sittings]
    if all(one.isascii() and one.isdigit() and len(one) <= 9 for one in named):
        return [int(one) for one in named]
    places = {name: place for place, name in enumerate(sorted(set(named)), 1)}
    return [places[one] for one in named]
