"""What narrows the conclusion of somebody who poured and tasted alone."""

from collections.abc import Iterator

from server.methods.asked import find_model
from server.reports import amendment_words, limit_words
from server.reports.alone import SHORTEST_SHUFFLE_S, Alone
from server.reports.analysis import Analysis
from server.reports.display import join_words, show_count
from server.reports.facts import fill, is_pair


def limit_alone(analysis: Analysis) -> Iterator[str]:
    """Say what a shuffle by one's own hands leaves open; nothing where others poured."""
    alone = analysis.alone
    if alone is None:
        return
    yield limit_words.SHUFFLED
    yield from _limit_shuffles(alone)
    if not is_pair(analysis):
        yield _say_odd_known(analysis)


def _say_odd_known(analysis: Analysis) -> str:
    without = find_model(analysis.plan).without_d_prime
    return fill(limit_words.ODD_KNOWN if without else limit_words.ODD_AND_DIRECTION_KNOWN, analysis)


def _limit_shuffles(alone: Alone) -> Iterator[str]:
    if alone.short:
        servings = show_count(alone.short, "serving")
        yield limit_words.SHORT_SHUFFLES.format(servings=servings, seconds=SHORTEST_SHUFFLE_S)
    if alone.untimed:
        yield limit_words.UNTIMED_SHUFFLES.format(servings=show_count(alone.untimed, "serving"))
    if alone.unshuffled:
        yield limit_words.NO_SHUFFLE.format(servings=show_count(alone.unshuffled, "serving"))
    if alone.unprepared:
        yield limit_words.NOT_COVERED.format(sittings=list_numbers(alone.unprepared))


def list_numbers(numbers: tuple[int, ...]) -> str:
    """List numbers as a sentence does.

    Examples
    --------
    >>> list_numbers((1, 2, 4))
    '1, 2 and 4'
    """
    return join_words([str(one) for one in numbers])


def say_orders(analysis: Analysis) -> str:
    """Say how often each serving order fell."""
    orders = ", ".join(f"{one.order} {one.served}" for one in analysis.orders)
    return limit_words.ORDERS_FELL.format(orders=orders)


def amend_alone(analysis: Analysis) -> Iterator[str]:
    """Say which marks were lost, entered again, and photographed."""
    alone = analysis.alone
    if alone is None:
        return
    if alone.lost:
        servings = show_count(alone.lost, "serving")
        yield amendment_words.LOST[alone.lost == 1].format(servings=servings)
    if alone.corrected:
        yield amendment_words.CORRECTED.format(sittings=list_numbers(alone.corrected))
    photos = tuple(one.number for one in alone.sittings if one.photo)
    if photos:
        yield amendment_words.PHOTOS.format(sittings=list_numbers(photos))
