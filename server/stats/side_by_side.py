"""What several methods would need to find the same d′: answers, and cups to pour."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import NamedTuple

from server.stats.binomial import Sides
from server.stats.checks import check_d_prime, check_open_unit
from server.stats.thurstone import ForcedChoice, share_from_pc
from server.stats.trials import MOST_PLANNED, RequiredTrials, TooManyTrials, trials_for_power

TOO_MANY = (
    "The number of answers is not estimable: so small a difference that the search for it "
    f"would have to pass {MOST_PLANNED:,}."
)
FIRST_NUMBERS = (
    "Answers, correct ones and cups are of the first number with the power; a larger number "
    "may fall short of it again, up to the stable one."
)
ONE_PERCEPT = (
    "The d′ of all methods is the same only if tasters compare the cups by one impression, "
    "equally variable in both samples, and follow each method's rule."
)


class Candidate(NamedTuple):
    """A method that might be used.

    Attributes
    ----------
    model : ForcedChoice
        The method's model.
    sided : {"one", "two"}
        How it is tested.
    cups : int
        Cups that one answer takes, a reference among them.
    note : str
        What it asks of tasters; empty if nothing particular.
    """

    model: ForcedChoice
    sided: Sides
    cups: int
    note: str = ""


@dataclass(frozen=True)
class MethodNeed:
    """What one method would need; None, with a reason in `note`, where nothing can be said.

    Attributes
    ----------
    method : str
        Name of the model.
    chance : float
        Probability of a correct answer by guessing.
    pc, share : float or None
        Proportion correct at the d′, and the share by the guessing model.
    trials, trials_stable, critical : int or None
        As in `trials.RequiredTrials`.
    cups : int or None
        Cups of all `trials` answers.
    note : str
        What the method asks of tasters, or why there are no numbers.
    """

    method: str
    chance: float
    pc: float | None
    share: float | None
    trials: int | None
    trials_stable: int | None
    critical: int | None
    cups: int | None
    note: str


@dataclass(frozen=True)
class SideBySide:
    """Methods and their needs, those with the fewest cups first.

    Attributes
    ----------
    d_prime, alpha, power : float
        What was asked for.
    methods : tuple of MethodNeed
        One a candidate; those without numbers last.
    notes : tuple of str
        What the numbers suppose.
    """

    d_prime: float
    alpha: float
    power: float
    methods: tuple[MethodNeed, ...]
    notes: tuple[str, ...]


def compare_methods(
    candidates: Iterable[Candidate], d_prime: float, alpha: float = 0.05, power: float = 0.8
) -> SideBySide:
    """Compare how many answers and cups methods need for one d′.

    Parameters
    ----------
    candidates : iterable of Candidate
        The methods.
    d_prime : float
        Distance to be found, in standard deviations, above 0 and finite.
    alpha : float
        Level of every test, above 0 and below 1.
    power : float
        Wanted power of every test, above 0 and below 1.

    Returns
    -------
    SideBySide
        Numbers of each method, those with the fewest cups first.

    Raises
    ------
    ValueError
        If an argument is out of range.

    References
    ----------
    .. [1] Ennis, D. M. (1993). The power of sensory discrimination methods.
       Journal of Sensory Studies, 8, 353-370.
    .. [2] Ennis, J. M. & Jesionka, V. (2011). The power of sensory discrimination
       methods revisited. Journal of Sensory Studies, 26, 371-382.

    Examples
    --------
    >>> from server.stats.forced_choice import TETRAD, TRIANGLE
    >>> found = compare_methods([Candidate(TRIANGLE, "one", 3), Candidate(TETRAD, "one", 4)], 1.0)
    >>> [(need.method, need.trials, need.cups) for need in found.methods]
    [('tetrad', 61, 244), ('triangle', 202, 606)]
    """
    check_d_prime(d_prime)
    if d_prime == 0:
        raise ValueError(f"d_prime must be above 0, not {d_prime}")
    check_open_unit("alpha", alpha)
    check_open_unit("power", power)
    needs = [_state_need(one, d_prime, alpha, power) for one in candidates]
    needs.sort(key=lambda need: (need.cups is None, need.cups or 0))
    return SideBySide(d_prime, alpha, power, tuple(needs), (FIRST_NUMBERS, ONE_PERCEPT))


def _state_need(candidate: Candidate, d_prime: float, alpha: float, power: float) -> MethodNeed:
    model = candidate.model
    pc = None if model.without_d_prime else model.pc(d_prime)
    need = None if pc is None else _find_trials(candidate, pc, alpha, power)
    why = model.without_d_prime or ("" if need else TOO_MANY)
    return MethodNeed(
        method=model.name,
        chance=model.chance,
        pc=pc,
        share=None if pc is None else share_from_pc(pc, model.chance),
        trials=need.trials if need else None,
        trials_stable=need.trials_stable if need else None,
        critical=need.critical if need else None,
        cups=need.trials * candidate.cups if need else None,
        note=why or candidate.note,
    )


def _find_trials(
    candidate: Candidate, pc: float, alpha: float, power: float
) -> RequiredTrials | None:
    """Return the trials needed; None if the search gives up."""
    chance = candidate.model.chance
    if pc <= chance:  # a d′ so small that chance has the same digits
        return None
    try:
        return trials_for_power(chance, alpha, power, pc, candidate.sided)
    except TooManyTrials:
        return None
