"""One sitting of somebody who brews, pours and tastes alone: its steps, and their minutes."""

from collections.abc import Iterator
from dataclasses import dataclass
from math import ceil

MARK_S = 20
"""Seconds to mark and cover one cup; like every duration here common practice, no source."""

READ_MARK_S = 10
HEAT_MIN = 10
BREW_MIN, BREW_GAP_MIN = 5, 2
SINGLE_MIN = 2
"""From one brew of a single cup to the next, its dose weighed and ground."""
CHECK_MIN = 3
POUR_S = 10
SHUFFLE_MIN = 1
TASTE_MIN = 3
REST_MIN = 1


@dataclass(frozen=True)
class SittingStep:
    """One thing to do, and how many minutes it takes."""

    what: str
    minutes: int


def plan_sitting(rounds: int, cups: int, pots: int, *, blended: bool) -> tuple[SittingStep, ...]:
    """Return the steps of a sitting in their order.

    Parameters
    ----------
    rounds, cups : int
        Servings of the sitting, and cups of one serving.
    pots : int
        Pots to brew in all.
    blended : bool
        Whether the brews of a sample are poured together first.

    Returns
    -------
    tuple of SittingStep

    Raises
    ------
    ValueError
        If a number is below 1.

    Examples
    --------
    >>> steps = plan_sitting(3, 3, 4, blended=True)
    >>> steps[0]
    SittingStep(what='Mark 9 cups underneath, cover the marks with opaque tape', minutes=3)
    >>> sum(step.minutes for step in steps)
    46
    """
    for name, number in (("rounds", rounds), ("cups", cups), ("pots", pots)):
        if number < 1:
            raise ValueError(f"{name} must be at least 1, got {number}")
    return tuple(_list_steps(rounds, cups, pots, blended))


def _list_steps(rounds: int, cups: int, pots: int, blended: bool) -> Iterator[SittingStep]:
    every = rounds * cups
    yield SittingStep(
        f"Mark {every} cups underneath, cover the marks with opaque tape", _to_min(every * MARK_S)
    )
    yield SittingStep("Boil the water, rinse and warm what brews", HEAT_MIN)
    brew = f"Brew {pots} pots, the samples in turns"
    mix = "; pour the brews of each sample together" if blended else ""
    yield SittingStep(brew + mix, BREW_MIN + (pots - 1) * BREW_GAP_MIN)
    yield SittingStep("Read strength and temperature of each sample in a check cup", CHECK_MIN)
    for number in range(1, rounds + 1):
        yield SittingStep(f"Serving {number}: pour {cups} cups by weight", _to_min(cups * POUR_S))
        yield SittingStep(f"Serving {number}: shuffle with closed eyes, place", SHUFFLE_MIN)
        yield SittingStep(f"Serving {number}: taste, answer, lock", TASTE_MIN)
        if number < rounds:
            yield SittingStep("Slide the cups aside, rest the palate", REST_MIN)
    yield SittingStep("Turn the cups, enter the marks", _to_min(every * READ_MARK_S))


def plan_single_sitting(rounds: int, cups: int) -> tuple[SittingStep, ...]:
    """Return the steps of a sitting in which every cup is a brew of its own.

    Parameters and errors are those of `plan_sitting`. Each cup is brewed right before its
    serving is shuffled, so that none is much older than the others.

    Examples
    --------
    >>> [step.minutes for step in plan_single_sitting(2, 3)]
    [2, 10, 6, 1, 3, 1, 6, 1, 3, 1]
    """
    for name, number in (("rounds", rounds), ("cups", cups)):
        if number < 1:
            raise ValueError(f"{name} must be at least 1, got {number}")
    every = rounds * cups
    mark = f"Mark {every} cups underneath, cover the marks with opaque tape"
    steps = [
        SittingStep(mark, _to_min(every * MARK_S)),
        SittingStep("Heat what brews, rinse and warm it", HEAT_MIN),
    ]
    for number in range(1, rounds + 1):
        brew = f"Serving {number}: brew {cups} cups one after another, the samples in turns"
        steps += [
            SittingStep(brew, cups * SINGLE_MIN),
            SittingStep(f"Serving {number}: shuffle with closed eyes, place", SHUFFLE_MIN),
            SittingStep(f"Serving {number}: taste, answer, lock", TASTE_MIN),
        ]
        if number < rounds:
            steps.append(SittingStep("Slide the cups aside, rest the palate", REST_MIN))
    steps.append(SittingStep("Turn the cups, enter the marks", _to_min(every * READ_MARK_S)))
    return tuple(steps)


def _to_min(seconds: int) -> int:
    return ceil(seconds / 60)
