"""``oddcup analyse sequential``: a test that may stop after every round, from a file."""

import dataclasses
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from server.cli.analyse.round_rows import RoundAnswers, read_rounds
from server.cli.analyse.sequential_words import tell_sequential
from server.cli.counted import CountedName
from server.cli.files import readable_file
from server.cli.sequential_plans import (
    evaluate_ends,
    list_plan,
    make_plan,
    sequential_options,
)
from server.cli.telling import to_json
from server.methods.base import Counted

if TYPE_CHECKING:
    from server.stats.bayes import SharePosterior

LEVEL = 0.95
ANY_STOPPING = "The posterior rests on prior and answers alone, whatever the rule for stopping."
LOST = "Rounds that lost answers were judged where they ended; the exact risks are for full ones."


@click.command("sequential", short_help="Follow a test that may stop after every round.")
@click.argument("file", type=readable_file)
@click.option("--method", type=CountedName(), required=True, help="A one-sided one; see above.")
@sequential_options
@click.option("--prior", type=float, nargs=2, help="Also give the posterior of the share.")
@click.option("--level", type=float, help=f"Of its interval; {LEVEL} if not given.")
@click.option("--json", "as_json", is_flag=True, help="One JSON object, unrounded.")
def sequential(
    file: Path,
    method: Counted,
    prior: tuple[float, float] | None,
    level: float | None,
    as_json: bool,
    **typed: Any,
) -> None:
    """Follow a test that was planned to stop as soon as the answers allow.

    After every complete round it ends with a difference, with no difference of
    the planned size, or goes on. The plan must have been set beforehand: the
    size by --share or --dprime, both risks, the round and the cap.

    \b
    FILE is a CSV table with a header, one row an answer, in order of answering:
      correct  1 or 0
      round    optional, or block: name of the round; the last one counts as
               complete if it has as many answers as --block says, or else as
               the first one has
    Without such a column rounds are --block answers long, or 1.

    \b
    The methods are
      triangle, duo-trio, 2-afc, 3-afc, tetrad, two-out-of-five

    --prior A B takes a beta distribution of the share; 1 1 holds every share
    for equally likely.
    """  # noqa: D301  click reads the backspace: keep these line breaks
    if level is not None and prior is None:
        raise click.UsageError("--level goes with --prior")
    answers = read_rounds(file, typed["block"])
    try:
        members = _analyse(method, answers, typed)
        if prior is not None:
            members["posterior"] = _describe(members, prior, LEVEL if level is None else level)
    except ValueError as error:
        raise click.UsageError(str(error)) from error
    click.echo(to_json(members) if as_json else "\n".join(tell_sequential(members)))


def _analyse(method: Counted, answers: RoundAnswers, typed: dict[str, Any]) -> dict[str, Any]:
    """Return the members of the JSON object."""
    from server.stats.sequential import follow_path  # statistics load when they are asked for

    size, plan = make_plan(method, typed, answers.block)
    path = follow_path(plan, answers.correct, answers.looks)
    exact, risk_notes = evaluate_ends(plan)
    notes = [*path.notes, *([LOST] if answers.short else []), *size.notes, *risk_notes]
    return {
        **list_plan(method, size, plan),
        "decision": path.decision,
        "decided_at": path.decided_at,
        "trials": path.trials,
        "correct": path.correct,
        "left_out": path.left_out,
        "path": [dataclasses.asdict(step) for step in path.path],
        "at_guessing": dataclasses.asdict(exact[0]) if exact else None,
        "at_planned": dataclasses.asdict(exact[1]) if exact else None,
        "notes": notes,
    }


def _describe(members: dict[str, Any], prior: tuple[float, float], level: float) -> dict[str, Any]:
    from server.stats.bayes import Prior, describe_posterior

    found: SharePosterior = describe_posterior(
        members["correct"],
        members["trials"],
        members["chance"],
        Prior(*prior),
        level,
        limits=[members["share"]],
    )
    posterior = dataclasses.asdict(found)
    posterior["prior"] = found.prior._asdict()
    posterior["above"] = [one._asdict() for one in found.above]
    posterior["notes"] = [*found.notes, ANY_STOPPING]
    return posterior
