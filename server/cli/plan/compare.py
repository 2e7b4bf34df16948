"""``oddcup plan compare``: what every method would need to find the same distance."""

from typing import TYPE_CHECKING

import click

from server.cli.plan.options import alpha_option, json_option, power_option
from server.cli.plan.words import tell_side_by_side
from server.cli.telling import to_json
from server.methods.registry import COUNTED

if TYPE_CHECKING:
    from server.stats.side_by_side import Candidate


@click.command("compare", short_help="All methods side by side, for the same d'.")
@click.option("--dprime", type=float, required=True, help="Distance of the samples as d'.")
@alpha_option("Level of every test.")
@power_option
@json_option
def compare(dprime: float, alpha: float, power: float, as_json: bool) -> None:
    """Say how many answers and cups each method needs to find the same d'.

    The method with the fewest cups comes first. A method without d' has no
    numbers, but the reason.
    """
    from server.stats.side_by_side import compare_methods  # statistics load when asked for

    try:
        found = compare_methods(list_candidates(), dprime, alpha, power)
    except ValueError as error:
        raise click.UsageError(str(error)) from error
    click.echo(to_json(found) if as_json else "\n".join(tell_side_by_side(found)))


def list_candidates() -> "list[Candidate]":
    """Return every registered method as the comparison takes it."""
    from server.stats.side_by_side import Candidate

    return [
        Candidate(method.model, method.sided, method.cups, method.needs)
        for method in COUNTED.values()
    ]
