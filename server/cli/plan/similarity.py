"""``oddcup plan similarity``: how many answers it takes to say that few would notice."""

import dataclasses
from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

import click

from server.cli.counted import CountedName
from server.cli.plan.options import json_option, power_option
from server.cli.telling import to_json
from server.methods.base import Counted

if TYPE_CHECKING:
    from server.stats.similarity_trials import SimilarityPlan

ONCE = "Every assessor answers once: pooled answers of the same people carry no such claim."
BEFORE = "Limit and beta are set before the answers are seen."


@click.command("similarity", short_help="How many answers to say that few would notice.")
@click.argument("method", type=CountedName())
@click.option("--share", type=float, required=True, help="Limit: fewer than this share notice it.")
@click.option("--beta", type=float, default=0.05, show_default=True, help="Risk of a wrong pass.")
@power_option
@click.option("--true-share", type=float, default=0.0, show_default=True, help="For the power.")
@json_option
def similarity(method: Counted, share: float, as_json: bool, **typed: Any) -> None:
    """Say how many answers a similarity test of METHOD needs.

    It passes if so few answers are correct that the share of answers in which
    the difference is noticed lies below --share, with risk --beta at most. The
    power is the chance to pass if the share is really --true-share.
    """
    from server.stats.similarity_trials import trials_for_similarity  # loaded when asked for

    try:
        found = trials_for_similarity(method.model.chance, share, sided=method.sided, **typed)
    except ValueError as error:
        raise click.UsageError(str(error)) from error
    members = {"method": method.name, **dataclasses.asdict(found), "notes": [ONCE, BEFORE]}
    click.echo(to_json(members) if as_json else "\n".join(_tell(found)))


def _tell(found: "SimilarityPlan") -> Iterator[str]:
    yield f"To say that fewer than {found.limit:.0%} would notice, with a risk of {found.beta:g},"
    yield f"and power {found.power:g} if the share is really {found.true_share:g}:"
    yield f"{found.trials} answers, of which {found.most_correct} correct at most"
    yield f"Exactly, beta {found.achieved_beta:.4f}, power {found.achieved_power:.4f}"
    yield f"From {found.trials_stable} answers on, any number of answers has that power."
    yield ONCE
    yield BEFORE
