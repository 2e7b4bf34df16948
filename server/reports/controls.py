"""What the controls showed: brews alone, and a small known difference."""

from collections.abc import Sequence
from dataclasses import dataclass

from server.blinding.plans import Plan, Purpose
from server.blinding.sealed import SealedTasting
from server.methods.asked import find_control_size, find_model
from server.reports.counting import Judgement, pick_purpose
from server.reports.reach import GOOD_POWER, find_trials
from server.reports.readings import Reading, read_counts
from server.stats.binomial import power
from server.stats.counts import CountsResult
from server.stats.results import Interval
from server.stats.two_rates import difference_limits


@dataclass(frozen=True)
class DeclaredSize:
    """How large a known difference was declared to be, and how well it could be found.

    Attributes
    ----------
    label
        The leader's words for the known difference.
    d_prime, share
        Its declared size, as d′ (None where the method has none) and as share of noticing
        judgements.
    power
        Chance of finding a difference of that size with the answers that count.
    trials_needed
        Answers from which on that chance is good; None if more than can be planned.
    """

    label: str
    d_prime: float | None
    share: float
    power: float
    trials_needed: int | None


@dataclass(frozen=True)
class ControlResult:
    """Counts of one control.

    Attributes
    ----------
    purpose
        ``null`` or ``positive``.
    correct, trials, planned
        Right, counted and planned answers; struck servings are not planned.
    critical
        Fewest right answers that reach the planned level of the test, if any number does.
    p_value
        Exact one-sided p; None if no answer counts.
    detected
        Whether p reaches the planned level of the test.
    pc_interval
        Two-sided exact limits of the proportion correct.
    pd_upper
        One-sided upper limit of the share of noticing judgements; None if below guessing.
    declared
        Of a positive control: its declared size.
    difference, difference_interval
        Of a null control: share right of the test less its own, and two-sided score limits of
        that, every answer counted as independent; None where either has no answer.
    """

    purpose: Purpose
    correct: int
    trials: int
    planned: int
    critical: int | None
    p_value: float | None
    detected: bool
    pc_interval: Interval | None
    pd_upper: float | None
    declared: DeclaredSize | None
    difference: float | None = None
    difference_interval: Interval | None = None

    @property
    def is_exceeded(self) -> bool:
        """Whether the test has the larger share right, beyond what chance alone explains."""
        return self.difference_interval is not None and self.difference_interval.low > 0

    @property
    def passed(self) -> bool:
        """Found, by a control that would have found its declared size."""
        return self.detected and self.is_large_enough

    @property
    def is_large_enough(self) -> bool:
        """Whether the declared size would probably have been found; never so of a null control.

        A positive control says something about the panel only with a power of 0.8 at its
        declared size (common practice, no source).
        """
        return self.declared is not None and self.declared.power >= GOOD_POWER


def measure_controls(
    sealed: SealedTasting,
    planned: dict[Purpose, int],
    judgements: Sequence[Judgement],
    main: Reading,
    level: float,
) -> tuple[ControlResult, ...]:
    """Measure every planned control, the null control first.

    Parameters
    ----------
    sealed : SealedTasting
        Plan, layout and key.
    planned : dict of Purpose to int
        Planned answers of each purpose.
    judgements : sequence of Judgement
        All counted answers.
    main : Reading
        What the test itself came to.
    level : float
        Confidence level of the limits.
    """
    return tuple(
        _measure_one(sealed.plan, one, planned[one], pick_purpose(judgements, one), main, level)
        for one in sealed.plan.controls
    )


def _measure_one(
    plan: Plan,
    purpose: Purpose,
    planned: int,
    judgements: Sequence[Judgement],
    main: Reading,
    level: float,
) -> ControlResult:
    reading, found = read_counts(plan, judgements, level, purpose.value)
    counts = found if isinstance(found, CountsResult) else None
    compared = purpose == Purpose.NULL and main.trials > 0 and reading.trials > 0
    return ControlResult(
        purpose=purpose,
        correct=reading.correct,
        trials=reading.trials,
        planned=planned,
        critical=counts.critical if counts else None,
        p_value=reading.p_value,
        detected=reading.detected,
        pc_interval=counts.pc_interval if counts else None,
        pd_upper=counts.pd_upper if counts else None,
        declared=_measure_size(plan, reading.trials) if purpose == Purpose.POSITIVE else None,
        difference=_subtract(main, reading) if compared else None,
        difference_interval=_limit_difference(main, reading, level) if compared else None,
    )


def _subtract(main: Reading, null: Reading) -> float:
    return main.correct / main.trials - null.correct / null.trials


def _limit_difference(main: Reading, null: Reading, level: float) -> Interval:
    return difference_limits(main.correct, main.trials, null.correct, null.trials, level)


def _measure_size(plan: Plan, trials: int) -> DeclaredSize | None:
    control, size = plan.positive_control, find_control_size(plan)
    if control is None or size is None:
        return None
    model, alpha = find_model(plan), float(plan.alpha)
    return DeclaredSize(
        label=control.label,
        d_prime=size.d_prime,
        share=size.share,
        power=power(trials, model.chance, alpha, size.pc) if trials else 0.0,
        trials_needed=find_trials(model, alpha, size.pc),
    )
