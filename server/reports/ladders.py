"""What the unsealed steps of a ladder say side by side, and whether there is a trend."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

from server.blinding.bench_plans import Ladder
from server.blinding.events import State
from server.reports import ladder_words as words
from server.reports.analysis import Analysis
from server.reports.display import join_words, show_number, show_p, show_share
from server.reports.findings import Finding
from server.reports.verdicts import find_rivals
from server.stats.binomial import reaches
from server.stats.brew_trend import Dose, TrendResult, find_trend

WASHED = "washed"
"""State of a part that is no number of brews."""


class Right(NamedTuple):
    """A share of right answers with its limits, and what guessing gives; all are fractions."""

    share: float
    low: float
    high: float
    chance: float


@dataclass(frozen=True)
class StepResult:
    """One unsealed step.

    Attributes
    ----------
    step, at
        As sealed: in words, and its place on the ladder.
    correct, trials
        Right and counted answers; where either sample could be chosen, those for sample B.
    share, noticed
        Share right, and share that notices beyond guessing, each with its limits, in words.
    headline
        Of its own finding.
    rivals
        What else may be why its samples were told apart.
    asked
        How it was asked: shares compare between steps that were asked alike alone.
    alpha
        Its planned level.
    left_out
        Why it is no part of the trend; empty if it is.
    right
        The share again, as numbers for a picture; None if there is none.
    """

    step: str
    at: int
    correct: int
    trials: int
    share: str
    noticed: str
    headline: str
    rivals: tuple[str, ...]
    asked: tuple[str, ...]
    alpha: float
    left_out: str = ""
    right: Right | None = None


@dataclass(frozen=True)
class LadderResult:
    """What a ladder says: sentences, and the trend if there is one."""

    said: tuple[str, ...]
    trend: TrendResult | None = None


def read_step(ladder: Ladder, analysis: Analysis, finding: Finding) -> StepResult:
    """Read one unsealed step from its own analysis and finding."""
    plan, counts = analysis.plan, analysis.counts
    share = noticed = ""
    if counts is not None:
        share = _show(counts.pc, counts.pc_interval)
        if not analysis.two_sided and counts.pd is not None and counts.pd_interval is not None:
            noticed = _show(counts.pd, counts.pd_interval)
    direction = plan.direction.more if plan.direction else ""
    return StepResult(
        step=ladder.step,
        at=ladder.at,
        correct=analysis.main.correct,
        trials=analysis.main.trials,
        share=share,
        noticed=noticed,
        headline=finding.headline,
        rivals=tuple(find_rivals(analysis)),
        asked=(plan.method, plan.asked_for, direction, "alone" if plan.alone else "panel"),
        alpha=analysis.alpha,
        left_out=_leave_out(ladder, analysis),
        right=None if counts is None else Right(counts.pc, *counts.pc_interval, counts.chance),
    )


def _show(value: float, limits: tuple[float, float | None]) -> str:
    low, high = limits
    return f"{show_share(value)} ({show_share(low)} to {show_share(1.0 if high is None else high)})"


def _leave_out(ladder: Ladder, analysis: Analysis) -> str:
    if analysis.state == State.ABANDONED:
        return words.ABANDONED
    if analysis.exploratory:
        return words.EXPLORATORY
    if not analysis.main.trials:
        return words.NO_ANSWERS
    if analysis.plan.sequential is not None:
        return words.SEQUENTIAL
    if analysis.counts is None:
        return words.KINDS_OF_SERVINGS
    washed = ladder.kind == "state" and ladder.step == WASHED
    return words.WASHED if washed else ""


def judge_ladder(
    kind: words.Kind, steps: Sequence[StepResult], *, still_open: int, late: Sequence[str] = ()
) -> LadderResult:
    """Judge the trend over the steps of a ladder.

    Parameters
    ----------
    kind : {"state", "dose"}
        A dose may rise; a state may go either way.
    steps : sequence of StepResult
        All that are unsealed.
    still_open : int
        Steps that are planned and not over: while there are any, nothing is tested.
    late : sequence of str
        Steps that were planned when every result before them was known.

    Returns
    -------
    LadderResult
    """
    counted = [one for one in steps if not one.left_out]
    general = (words.NOT_COMPARED, words.NOT_POOLED)
    if still_open:
        return LadderResult((words.OPEN, *general))
    if len({one.at for one in counted}) < 2:
        return LadderResult((words.FEW, *general))
    if len({one.asked for one in counted}) > 1:
        return LadderResult((words.METHODS, *general))
    doses = [Dose(one.at, one.trials, one.correct) for one in counted]
    trend = find_trend(doses, "rising" if kind == "dose" else "two")
    return LadderResult((*_say_trend(kind, counted, trend, late), *general), trend)


def _say_trend(
    kind: words.Kind, counted: Sequence[StepResult], trend: TrendResult, late: Sequence[str]
) -> tuple[str, ...]:
    if trend.p_value is None:
        return (words.ALL_ALIKE,)
    alpha = min(one.alpha for one in counted)
    found, p = reaches(trend.p_value, alpha), show_p(trend.p_value)
    level = words.LEVEL.format(
        n=sum(one.trials for one in counted),
        steps=len(counted),
        alpha=show_number(alpha),
        test=words.TESTS[kind],
        p=p if p.startswith("<") else f"= {p}",
    )
    monotone = (words.MONOTONE[trend.monotone],) if kind == "dose" else ()
    held = (*_say_rivals(counted), *(words.LATE.format(step=one) for one in late))
    said = _say_found(kind, found=found, up=bool(trend.rises), lead=bool(held))
    return (*said, level, *monotone, *held, words.INDEPENDENT, words.NO_TRACE)


def _say_rivals(counted: Sequence[StepResult]) -> tuple[str, ...]:
    spoilt = [one for one in counted if one.rivals]
    if not spoilt:
        return ()
    names = list(dict.fromkeys(name for one in spoilt for name in one.rivals))
    steps = join_words([f"“{one.step}”" for one in spoilt])
    return (words.RIVALS.format(steps=steps, rivals=join_words(names)),)


def _say_found(kind: words.Kind, *, found: bool, up: bool, lead: bool) -> tuple[str, ...]:
    if not found:
        return (words.NO_RISE if kind == "dose" else words.NO_CHANGE,)
    if kind == "state":
        return (words.CHANGES[up], *((words.LEAD,) if lead else ()))
    return (words.RISES, words.LEAD if lead else words.SUPPORTS)
