"""``oddcup plan replicated``: the power of a panel whose assessors answer several times each."""

import dataclasses
from typing import Any

import click

from server.cli.plan.options import alpha_option, json_option
from server.cli.plan.words import tell_panel
from server.cli.telling import to_json
from server.methods.base import Counted
from server.methods.registry import COUNTED

ONE_SIDED = tuple(name for name, method in COUNTED.items() if method.sided == "one")


@click.command("replicated", short_help="Power when assessors answer several times each.")
@click.argument("method")
@click.option("--assessors", type=int, required=True, help="Number of assessors.")
@click.option("--replicates", type=int, required=True, help="Answers of each.")
@click.option("--share", type=float, required=True, help="Mean share of answers that notice it.")
@click.option("--gamma", type=float, required=True, help="Over-dispersion, from 0 to 1.")
@alpha_option("Level, one-sided.")
@json_option
def replicated(method: str, as_json: bool, **typed: Any) -> None:
    """Say what power a panel has whose assessors answer METHOD several times each.

    The power is that of the test of all answers together. --gamma is 0 if all
    assessors notice the difference equally often, 1 if each of them notices it
    always or never. Two-sided methods are not taken: assessors who differ in
    opposite ways are not in this model.
    """
    from server.stats.replicated_power import replicated_power  # statistics load when asked for

    counted = _get_one_sided(method)
    try:
        found = replicated_power(chance=counted.model.chance, **typed)
    except ValueError as error:
        raise click.UsageError(str(error)) from error
    members = {"method": counted.name, **dataclasses.asdict(found)}
    click.echo(to_json(members) if as_json else "\n".join(tell_panel(found)))


def _get_one_sided(name: str) -> Counted:
    if name not in ONE_SIDED:
        raise click.UsageError(f"method must be one of {', '.join(ONE_SIDED)}, not {name!r}")
    return COUNTED[name]
