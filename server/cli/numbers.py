"""The commands that work from numbers alone: counts analysed, a number of trials planned."""

from typing import TYPE_CHECKING, Any

import click

from server.cli.telling import tell_limits, tell_number, tell_p, to_json
from server.methods.base import Method
from server.methods.registry import UnknownMethod, get_method

if TYPE_CHECKING:
    from server.stats.counts import CountsResult


class MethodName(click.ParamType[Method]):
    """Name of a registered method."""

    name = "method"

    def convert(
        self, value: Any, param: click.Parameter | None, ctx: click.Context | None
    ) -> Method:
        try:
            return get_method(str(value))
        except UnknownMethod as error:
            self.fail(str(error), param, ctx)


@click.command("counts")
@click.argument("method", type=MethodName())
@click.option("--correct", type=int, required=True, help="Correct answers.")
@click.option("--trials", type=int, required=True, help="All answers.")
@click.option("--alpha", type=float, default=0.05, show_default=True, help="One-sided level.")
@click.option("--level", type=float, default=0.95, show_default=True, help="Of the limits.")
@click.option("--json", "as_json", is_flag=True, help="One JSON object, unrounded.")
def counts(
    method: Method, correct: int, trials: int, alpha: float, level: float, as_json: bool
) -> None:
    """Analyse a test of METHOD from its counts."""
    from server.stats.counts import analyse_counts  # statistics load when they are asked for

    try:
        result = analyse_counts(method.model, correct, trials, alpha, level)
    except ValueError as error:
        raise click.UsageError(str(error)) from error
    click.echo(to_json(result) if as_json else _tell_counts(result))


@click.command("plan")
@click.argument("method", type=MethodName())
@click.option("--alpha", type=float, default=0.05, show_default=True, help="One-sided level.")
@click.option("--power", type=float, default=0.8, show_default=True, help="Wanted power.")
@click.option("--share", type=float, help="To be found: share of judgements that notice it.")
@click.option("--dprime", type=float, help="To be found: distance of the samples as d'.")
@click.option("--json", "as_json", is_flag=True, help="One JSON object, unrounded.")
def plan(
    method: Method,
    alpha: float,
    power: float,
    share: float | None,
    dprime: float | None,
    as_json: bool,
) -> None:
    """Say how many answers a test of METHOD needs."""
    if (share is None) == (dprime is None):
        raise click.UsageError("give either --share or --dprime")
    try:
        planned = _plan(method, alpha, power, share, dprime)
    except ValueError as error:
        raise click.UsageError(str(error)) from error
    click.echo(to_json(planned) if as_json else _tell_plan(planned))


def _plan(
    method: Method, alpha: float, power: float, share: float | None, dprime: float | None
) -> dict[str, Any]:
    from server.stats.thurstone import pc_from_share, share_from_pc
    from server.stats.trials import trials_for_power

    model = method.model
    if share == 0 or dprime == 0:
        raise ValueError(f"{'share' if share == 0 else 'd_prime'} must be above 0")
    if dprime is not None:
        p_correct = model.pc(dprime)
        share = share_from_pc(p_correct, model.chance)
    else:
        p_correct = pc_from_share(share or 0.0, model.chance)
        dprime = model.d_prime(p_correct)
    need = trials_for_power(model.chance, alpha, power, p_correct)
    return {
        "method": method.name,
        "chance": model.chance,
        "alpha": alpha,
        "power": power,
        "share": share,
        "d_prime": dprime,
        "trials": need.trials,
        "critical": need.critical,
        "achieved_alpha": need.achieved_alpha,
        "achieved_power": need.achieved_power,
        "trials_stable": need.trials_stable,
    }


def _tell_counts(result: "CountsResult") -> str:
    critical = "none" if result.critical is None else str(result.critical)
    lines = [
        f"{result.correct} of {result.trials} correct; guessing alone: "
        f"{result.chance * result.trials:.1f} on average",
        f"p {tell_p(result.p_value)}, one-sided, exact; "
        f"correct answers needed at alpha {result.alpha:g}: {critical}",
        "A difference was detected." if result.detected else "A difference was not detected.",
        f"Proportion correct {result.pc:.3f}{tell_limits(result.pc_interval)}",
        "Share of judgements in which the difference was noticed (guessing model) "
        f"{result.pd:.3f}{tell_limits(result.pd_interval)}",
        f"Largest such share the data still allow: {tell_number(result.pd_upper)}",
        f"d′ {tell_number(result.d_prime)}{tell_limits(result.d_prime_interval)}",
        f"Limits at {result.level:.4g}, exact, two-sided; the largest share one-sided.",
    ]
    return "\n".join([*lines, *result.notes])


def _tell_plan(planned: dict[str, Any]) -> str:
    return (
        f"To find a share of {planned['share']:.3f} (d′ {tell_number(planned['d_prime'])}) "
        f"at alpha {planned['alpha']:g} with power {planned['power']:g}:\n"
        f"{planned['trials']} answers, of which {planned['critical']} correct; "
        f"exact alpha {planned['achieved_alpha']:.4f}, power {planned['achieved_power']:.4f}\n"
        f"From {planned['trials_stable']} answers on, any number of answers has that power."
    )
