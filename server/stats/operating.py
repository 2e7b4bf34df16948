"""Exact characteristics of a sequential plan: how it ends, and after how many answers."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from server.stats.binomial import TIE, distribution
from server.stats.checks import check_probability
from server.stats.sequential_plan import SequentialPlan, nearer_high, stop_limits

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Array = NDArray[np.float64]

MOST_FOLLOWED = 50_000
FORGOTTEN = 1e-15  # chance of still going on that no longer matters

NO_CAP = (
    "No cap keeps both risks: even without one, a true risk is above the nominal one, as happens "
    "where the count can meet a line exactly. Ask for smaller nominal risks."
)
NO_STABLE_CAP = (
    "A larger cap need not keep both risks: without a cap, a true risk is above the nominal one."
)


class TooLong(ValueError):
    """A plan that may go on beyond what is calculated.

    Examples
    --------
    >>> evaluate_plan(SequentialPlan(1 / 3, 0.334, block=1000), [1 / 3])  # doctest: +ELLIPSIS
    Traceback (most recent call last):
    server.stats.operating.TooLong: cap must be set and at most 50,000, not None: ...
    """


@dataclass(frozen=True)
class Operating:
    """How a sequential plan behaves at one true probability of a correct answer.

    Attributes
    ----------
    p_correct : float
        The true probability.
    difference, no_difference, no_decision : float
        Probabilities of the three endings; the last only at a cap.
    expected_trials : float
        Mean number of answers.
    nine_tenths : int
        Number of answers by which nine tests of ten have ended.

    Examples
    --------
    >>> Operating(0.5, 0.4, 0.6, 0.0, 20.0, 40).difference
    0.4
    """

    p_correct: float
    difference: float
    no_difference: float
    no_decision: float
    expected_trials: float
    nine_tenths: int


@dataclass(frozen=True)
class CapPlan:
    """The earliest end at which a sequential plan still keeps its risks.

    Attributes
    ----------
    plan : SequentialPlan
        What was asked for, with the smallest cap; without one if there is none.
    cap : int or None
        Smallest cap that keeps both risks.
    cap_stable : int or None
        Smallest cap from which on every cap keeps them.
    notes : tuple of str
        Why one of them is None.
    """

    plan: SequentialPlan
    cap: int | None
    cap_stable: int | None
    notes: tuple[str, ...]


@dataclass(frozen=True)
class _Round:
    """What a complete round makes of the tests that have got so far, at each probability."""

    trials: int
    difference: "Array"  # shape (p,): ended here, above
    no_difference: "Array"  # shape (p,): ended here, below
    going: "Array"  # shape (p, counts): the others, by the count of correct answers
    first: int  # the smallest of these counts


def evaluate_plan(plan: SequentialPlan, p_correct: Sequence[float]) -> tuple[Operating, ...]:
    """Return the exact characteristics of a sequential plan.

    Parameters
    ----------
    plan : SequentialPlan
        The plan, with its rounds and its cap.
    p_correct : sequence of float, shape (k,)
        True probabilities of a correct answer, each from 0 to 1.

    Returns
    -------
    tuple of Operating, shape (k,)
        The endings and the number of answers at each.

    Raises
    ------
    TooLong
        A ValueError: the plan may go on for more than 50,000 answers.
    ValueError
        If a probability is out of range.

    Notes
    -----
    The chances of all counts of correct answers that have not met a line are
    carried forward from round to round: with the distribution of b answers they
    spread, and what has then met a line ends. At `plan.chance` the chance of
    "difference" is the true alpha and at `plan.p_correct` that of "no difference
    of the planned size" the true beta; both are below Wald's nominal values more
    often than not, since a count mostly passes a line instead of meeting it.
    Without a cap it is carried on until the chance of still going on is below
    1e-15 at every probability.

    References
    ----------
    .. [1] Aroian, L. A. (1968). Sequential analysis, direct method.
       Technometrics, 10, 125-132: the recursion.

    Examples
    --------
    >>> plan = SequentialPlan(1 / 3, 2 / 3, beta=0.1)
    >>> guessing, noticing = evaluate_plan(plan, [1 / 3, 2 / 3])
    >>> round(guessing.difference, 8), round(noticing.no_difference, 8)
    (0.02935421, 0.06066536)
    >>> round(guessing.expected_trials, 6)
    11.207436
    """
    import numpy as np

    for p in p_correct:
        check_probability("p_correct", p)
    ends = np.zeros((3, len(p_correct)))  # difference, no difference, no decision
    expected, nine_tenths = np.zeros(len(p_correct)), np.zeros(len(p_correct), dtype=np.int64)
    for now in _carry_on(plan, p_correct):
        ended, going = now.difference + now.no_difference, now.going.sum(axis=1)
        ends[0] += now.difference
        ends[1] += now.no_difference
        capped = plan.cap is not None and now.trials >= plan.cap
        if capped:
            ended, going = ended + going, np.zeros_like(going)
            ends += _settle(plan, now)
        expected += now.trials * ended
        nine_tenths[(nine_tenths == 0) & (going <= 0.1 * (1 + TIE))] = now.trials
        if capped:
            break
    return tuple(
        Operating(float(p), float(above), float(below), float(none), float(mean), int(most))
        for p, above, below, none, mean, most in zip(
            p_correct, *ends, expected, nine_tenths, strict=True
        )
    )


def find_smallest_cap(plan: SequentialPlan) -> CapPlan:
    """Return the smallest cap at which a sequential plan keeps both its risks.

    Parameters
    ----------
    plan : SequentialPlan
        The plan; its own cap is not looked at, its rule at the cap is.

    Returns
    -------
    CapPlan
        The smallest cap, a multiple of `plan.block`, and the stable one.

    Raises
    ------
    TooLong
        A ValueError: the plan may go on for more than 50,000 answers.

    Notes
    -----
    Kept are two chances: that guessing does not end with "no difference of the
    planned size" is at most alpha, and that a difference of the planned size does
    not end with "difference" at most beta. An end without a decision counts
    against the plan in both. The chances do not fall steadily with the cap, so
    that a larger cap may fail where a smaller one will do.

    Examples
    --------
    >>> from dataclasses import replace
    >>> plan = SequentialPlan(1 / 3, 2 / 3, beta=0.1, at_cap="nearer line")
    >>> found = find_smallest_cap(plan)
    >>> found.cap, found.cap_stable
    (22, 24)
    >>> at = evaluate_plan(found.plan, [1 / 3, 2 / 3])
    >>> at[0].difference <= 0.05 and at[1].no_difference <= 0.1
    True
    """
    import numpy as np

    kept: list[int] = []
    missed = 0
    right = np.zeros(2)  # guessing called none, the planned size called a difference
    for now in _carry_on(replace(plan, cap=None), [plan.chance, plan.p_correct]):
        right += (now.no_difference[0], now.difference[1])
        settled = _settle(plan, now)
        risks = 1 - right - (settled[1, 0], settled[0, 1])
        if risks[0] <= plan.alpha + TIE and risks[1] <= plan.beta + TIE:
            kept.append(now.trials)
        else:
            missed = now.trials
    cap = kept[0] if kept else None
    stable = next((trials for trials in kept if trials > missed), None)
    notes = {NO_CAP: cap is None, NO_STABLE_CAP: cap is not None and stable is None}
    return CapPlan(
        plan=replace(plan, cap=cap),
        cap=cap,
        cap_stable=stable,
        notes=tuple(sentence for sentence, holds in notes.items() if holds),
    )


def _carry_on(plan: SequentialPlan, p_correct: Sequence[float]) -> Iterator[_Round]:
    """Yield round after round, the cap not looked at, until hardly any test goes on."""
    import numpy as np

    if not p_correct:
        return
    ways = np.stack([distribution(plan.block, p) for p in p_correct])
    going, first, trials = np.ones((len(p_correct), 1)), 0, 0
    while going.size and going.sum(axis=1).max() > FORGOTTEN:
        trials += plan.block
        if trials > MOST_FOLLOWED:
            raise TooLong(_tell_length(plan))
        counts = _spread(going, ways)
        low, high = _find_ends(plan, trials, first, counts.shape[1])
        below, above = counts[:, :low].sum(axis=1), counts[:, high:].sum(axis=1)
        going, first = counts[:, low:high], first + low
        yield _Round(trials, above, below, going, first)


def _find_ends(plan: SequentialPlan, trials: int, first: int, size: int) -> tuple[int, int]:
    """Return between which columns the counts go on; the first column counts `first`."""
    few, many = stop_limits(plan, trials)
    low = 0 if few is None else min(max(few + 1 - first, 0), size)
    high = size if many is None else min(max(many - first, low), size)
    return low, high


def _spread(going: "Array", ways: "Array") -> "Array":
    """Return the chances of the counts after a further round; shape (p, counts + block)."""
    import numpy as np

    few, many = sorted((going, ways), key=lambda x: x.shape[1])
    counts = np.zeros((len(going), few.shape[1] + many.shape[1] - 1))
    for column in range(few.shape[1]):
        counts[:, column : column + many.shape[1]] += few[:, column, None] * many
    return counts


def _settle(plan: SequentialPlan, now: _Round) -> "Array":
    """Return how the tests that go on would end at a cap, shape (3, p)."""
    import numpy as np

    if plan.at_cap == "no decision":
        none = np.zeros(len(now.going))
        return np.stack([none, none, now.going.sum(axis=1)])
    split = min(max(nearer_high(plan, now.trials) - now.first, 0), now.going.shape[1])
    above, below = now.going[:, split:].sum(axis=1), now.going[:, :split].sum(axis=1)
    return np.stack([above, below, np.zeros_like(above)])


def _tell_length(plan: SequentialPlan) -> str:
    return (
        f"cap must be set and at most {MOST_FOLLOWED:,}, not {plan.cap}: with so small a "
        f"difference (p_correct {plan.p_correct:.6g}) the test may go on for longer"
    )
