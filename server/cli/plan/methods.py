"""``oddcup plan``: how many answers a test needs, and what a number of answers can find."""

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import click

from server.cli.plan.compare import compare
from server.cli.plan.options import alpha_option, json_option, power_option
from server.cli.plan.replicated import replicated
from server.cli.plan.sequential import sequential
from server.cli.plan.similarity import similarity
from server.cli.plan.words import tell_plan, tell_reach
from server.cli.telling import to_json
from server.methods.base import Counted
from server.methods.registry import COUNTED

if TYPE_CHECKING:
    from server.stats.reach import Reach


@dataclass(frozen=True)
class Asked:
    """What is to be planned, as it was typed; one of the last three is given."""

    alpha: float
    power: float
    share: float | None
    dprime: float | None
    trials: int | None


class Plans(click.Group):
    """A command a method, in the order of the registry, and what goes beyond one method."""

    def list_commands(self, ctx: click.Context) -> list[str]:  # noqa: ARG002  click's signature
        return list(self.commands)

    def parse_args(self, ctx: click.Context, args: list[str]) -> list[str]:
        if not args:
            raise click.UsageError(f"name one of {', '.join(self.commands)}", ctx)
        return super().parse_args(ctx, args)

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        if args[0] not in self.commands:
            known = ", ".join(self.commands)
            raise click.UsageError(f"method must be one of {known}, not {args[0]!r}", ctx)
        return super().resolve_command(ctx, args)


@click.group("plan", cls=Plans)
def plan() -> None:
    """Say how many answers a test needs.

    Name a method, then the size of the difference to be found: --share,
    --dprime, or --trials to learn what so many answers can find.

    The share is that of answers in which the difference is noticed, by the
    guessing model; in a two-sided test, the distance from an even split, from
    0 to 1.
    """


def make_command(method: Counted) -> click.Command:
    """Return the command that plans tests of one method."""

    @click.command(method.name, help=_describe(method), short_help=f"{method.title}.")
    @alpha_option(f"Level, {method.sided}-sided.")
    @power_option
    @click.option("--share", type=float, help="To be found: share of answers that notice it.")
    @click.option("--dprime", type=float, help="To be found: distance of the samples as d'.")
    @click.option("--trials", type=int, help="Instead: say what so many answers can find.")
    @json_option
    def plan_method(as_json: bool, **typed: Any) -> None:
        asked = Asked(**typed)
        if [asked.share, asked.dprime, asked.trials].count(None) != 2:
            raise click.UsageError("give one of --share, --dprime and --trials")
        try:
            click.echo(_answer(method, asked, as_json))
        except ValueError as error:
            raise click.UsageError(str(error)) from error

    return plan_method


def _describe(method: Counted) -> str:
    lines = [f"Say how many answers are needed. {method.title}, {method.sided}-sided."]
    if method.model.without_d_prime:
        lines.append(f"Takes no --dprime. {method.model.without_d_prime}")
    return "\n\n".join(lines)


def _answer(method: Counted, asked: Asked, as_json: bool) -> str:
    if asked.trials is not None:
        reach = _reach(method, asked, asked.trials)
        return to_json(reach) if as_json else "\n".join(tell_reach(method, reach))
    planned = _plan(method, asked)
    return to_json(planned) if as_json else "\n".join(tell_plan(method, planned))


def _reach(method: Counted, asked: Asked, trials: int) -> "Reach":
    from server.stats.reach import describe_reach  # statistics load when they are asked for

    return describe_reach(method.model, trials, asked.alpha, asked.power, method.sided)


def _plan(method: Counted, asked: Asked) -> dict[str, Any]:
    from server.stats.trials import trials_for_power  # statistics load when they are asked for

    share, d_prime, p_correct = _size(method, asked)
    need = trials_for_power(method.model.chance, asked.alpha, asked.power, p_correct, method.sided)
    return {
        "method": method.name,
        "chance": method.model.chance,
        "alpha": asked.alpha,
        "power": asked.power,
        "share": share,
        "d_prime": d_prime,
        "trials": need.trials,
        "critical": need.critical,
        "achieved_alpha": need.achieved_alpha,
        "achieved_power": need.achieved_power,
        "trials_stable": need.trials_stable,
    }


def _size(method: Counted, asked: Asked) -> tuple[float, float | None, float]:
    """Return the difference as share, as d′ and as proportion correct."""
    from server.stats.thurstone import pc_from_share, share_from_pc

    model = method.model
    if asked.share == 0 or asked.dprime == 0:
        raise ValueError(f"{'share' if asked.share == 0 else 'd_prime'} must be above 0, not 0")
    if asked.dprime is None:
        share = asked.share or 0.0
        p_correct = pc_from_share(share, model.chance)
        return share, None if model.without_d_prime else model.d_prime(p_correct), p_correct
    if model.without_d_prime:
        raise ValueError(f"give --share instead of --dprime: {model.without_d_prime}")
    p_correct = model.pc(asked.dprime)
    return share_from_pc(p_correct, model.chance), asked.dprime, p_correct


for counted in COUNTED.values():
    plan.add_command(make_command(counted))
for command in (compare, replicated, sequential, similarity):
    plan.add_command(command)
