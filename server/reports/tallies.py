"""Plain counts over counted answers of the test: by round, by position, of guesses."""

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from uuid import UUID

from server.blinding.plans import Purpose
from server.blinding.sealed import SealedTasting
from server.methods.base import Method
from server.methods.sortings import find_sorting
from server.reports.counting import Judgement, count_correct, list_planned


@dataclass(frozen=True)
class RoundTally:
    """Planned, counted and right answers of one round of the test, over all seats."""

    round: int
    planned: int
    answered: int
    correct: int


@dataclass(frozen=True)
class PositionTally:
    """How often a position, from 1 at the left, was picked and held the right (odd) cup."""

    position: int
    picked: int
    odd: int


@dataclass(frozen=True)
class SortingTally:
    """How often cups at these positions were put together, and how often that was right."""

    together: str
    chosen: int
    right: int


@dataclass(frozen=True)
class OrderTally:
    """How many counted servings had a serving order."""

    order: str
    served: int


@dataclass(frozen=True)
class GuessTally:
    """Answers marked as a guess, and how many of those were right."""

    guesses: int
    correct: int


def tally_rounds(
    sealed: SealedTasting, struck: Collection[UUID], judgements: Sequence[Judgement]
) -> tuple[RoundTally, ...]:
    """Count planned, counted and right answers of every round of the test."""
    tests = [one for one in list_planned(sealed) if sealed.purpose(one) == Purpose.TEST]
    return tuple(
        RoundTally(
            round=number,
            planned=sum(one.round == number and one.id not in struck for one in tests),
            answered=sum(one.round == number for one in judgements),
            correct=count_correct([one for one in judgements if one.round == number]),
        )
        for number in sorted({one.round for one in tests})
    )


def tally_positions(judgements: Sequence[Judgement], first: int = 1) -> tuple[PositionTally, ...]:
    """Count picks and right cups by position, from the first that can be picked on.

    Empty where the method has no right cup.
    """
    cups = max((len(one.order) for one in judgements if one.odd is not None), default=0)
    return tuple(
        PositionTally(
            position=place,
            picked=sum(one.picked == place for one in judgements),
            odd=sum(one.odd == place for one in judgements),
        )
        for place in range(first, cups + 1)
    )


def tally_sortings(
    method: Method, orders: Sequence[str], judgements: Sequence[Judgement]
) -> tuple[SortingTally, ...]:
    """Count what was put together, by position; empty where one cup is picked."""
    sortings = sorted({find_sorting(method, order) for order in orders} - {""})
    return tuple(
        SortingTally(
            together=together,
            chosen=sum(one.sorting == together for one in judgements),
            right=sum(find_sorting(method, one.order) == together for one in judgements),
        )
        for together in sortings
    )


def tally_orders(orders: Sequence[str], judgements: Sequence[Judgement]) -> tuple[OrderTally, ...]:
    """Count the counted servings of every order of the method."""
    return tuple(
        OrderTally(order, sum(one.order == order for one in judgements)) for order in orders
    )


def tally_guesses(judgements: Sequence[Judgement]) -> GuessTally:
    """Count the answers marked as a guess."""
    guesses = [one for one in judgements if one.guess]
    return GuessTally(len(guesses), count_correct(guesses))
