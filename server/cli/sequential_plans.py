"""Sequential plans as they are typed: the size of the difference, both risks, rounds, a cap."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import click

from server.cli.plan.options import alpha_option
from server.methods.base import Counted

if TYPE_CHECKING:
    from server.stats.operating import Operating
    from server.stats.sequential_plan import SequentialPlan

NEARER_LINE = "nearer-line"
ABOVE_NOMINAL = "A true risk of this plan is above its nominal one."


@dataclass(frozen=True)
class PlannedSize:
    """One difference as a share of answers, as d′ and as a proportion correct."""

    share: float
    d_prime: float | None
    p_correct: float
    notes: tuple[str, ...]


def sequential_options(command: Callable[..., Any]) -> Callable[..., Any]:
    """Add the options that make a sequential plan."""
    options = (
        click.option("--share", type=float, help="Planned size: share of answers that notice it."),
        click.option("--dprime", type=float, help="Planned size: distance of the samples as d'."),
        alpha_option("Risk of calling guessing a difference."),
        click.option(
            "--beta", type=float, default=0.05, show_default=True, help="Risk of missing that size."
        ),
        click.option("--block", type=int, help="Answers of a complete round."),
        click.option("--cap", type=int, help="End after so many answers in any case."),
        click.option(
            "--at-cap",
            type=click.Choice(["no-decision", NEARER_LINE]),
            default="no-decision",
            show_default=True,
            help="What becomes of a count between the lines at the cap.",
        ),
    )
    for option in reversed(options):
        command = option(command)
    return command


def make_plan(
    method: Counted, typed: dict[str, Any], block: int
) -> "tuple[PlannedSize, SequentialPlan]":
    """Return the size and the plan that were typed.

    Raises
    ------
    ValueError
        If they are impossible, or the method is two-sided.
    """
    from server.stats.sequential_plan import SequentialPlan  # loads when it is asked for

    if method.sided == "two":
        raise ValueError(f"method must be one-sided for a sequential test, not {method.name}")
    size = _size(method, typed["share"], typed["dprime"])
    plan = SequentialPlan(
        chance=method.model.chance,
        p_correct=size.p_correct,
        alpha=typed["alpha"],
        beta=typed["beta"],
        block=block,
        cap=typed["cap"],
        at_cap="nearer line" if typed["at_cap"] == NEARER_LINE else "no decision",
    )
    return size, plan


def list_plan(method: Counted, size: PlannedSize, plan: "SequentialPlan") -> dict[str, Any]:
    """Return the members that say what was planned."""
    from server.stats.sequential_plan import plan_lines

    return {
        "method": method.name,
        "chance": plan.chance,
        "share": size.share,
        "d_prime": size.d_prime,
        "p_correct": plan.p_correct,
        "alpha": plan.alpha,
        "beta": plan.beta,
        "block": plan.block,
        "cap": plan.cap,
        "at_cap": plan.at_cap,
        "lines": plan_lines(plan)._asdict(),
    }


def evaluate_ends(
    plan: "SequentialPlan", others: Sequence[float] = ()
) -> "tuple[tuple[Operating, ...], list[str]]":
    """Return the exact characteristics at guessing, at the planned size and at others.

    Nothing where the plan may go on for too long; with notes.
    """
    from server.stats.operating import TooLong, evaluate_plan

    try:
        exact = evaluate_plan(plan, [plan.chance, plan.p_correct, *others])
    except TooLong as error:
        return (), [f"The exact risks are not given: {error}."]
    above = exact[0].difference > plan.alpha or exact[1].no_difference > plan.beta
    return exact, [ABOVE_NOMINAL] if above else []


def _size(method: Counted, share: float | None, d_prime: float | None) -> PlannedSize:
    from server.stats.thurstone import pc_from_share

    model = method.model
    if (share is None) == (d_prime is None):
        raise ValueError("give either --share or --dprime")
    if share is None:
        return _size_distance(method, d_prime or 0.0)
    if not 0 < share < 1:
        raise ValueError(f"share must be above 0 and below 1, not {share}")
    p_correct = pc_from_share(share, model.chance)
    if model.without_d_prime:
        return PlannedSize(share, None, p_correct, (model.without_d_prime,))
    return PlannedSize(share, model.d_prime(p_correct), p_correct, ())


def _size_distance(method: Counted, d_prime: float) -> PlannedSize:
    from server.stats.thurstone import share_from_pc

    model = method.model
    if model.without_d_prime:
        raise ValueError(f"give --share instead of --dprime: {model.without_d_prime}")
    if d_prime == 0:
        raise ValueError("d_prime must be above 0, not 0")
    p_correct = model.pc(d_prime)
    return PlannedSize(share_from_pc(p_correct, model.chance), d_prime, p_correct, ())
