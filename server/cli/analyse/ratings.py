"""``oddcup analyse ratings``: scores of a panel on several attributes, from a file."""

import dataclasses
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from server.cli.analyse.ratings_rows import read_scores
from server.cli.analyse.ratings_words import tell_ratings
from server.cli.files import readable_file
from server.cli.telling import to_json

if TYPE_CHECKING:
    from server.sheets.analysis import Analysis, Attribute

PARTS = ("samples", "agreement", "assessors", "scaling")


@click.command("ratings", short_help="Analyse scores of a panel, attribute by attribute.")
@click.argument("file", type=readable_file)
@click.option("--shared-bowls", metavar="COLUMN", help="Bowl that several assessors tasted from.")
@click.option("--primary", metavar="ATTRIBUTE", help="The one declared beforehand to count.")
@click.option("--alpha", type=float, default=0.05, show_default=True, help="Level of every test.")
@click.option("--json", "as_json", is_flag=True, help="One JSON object, unrounded.")
def ratings(
    file: Path, shared_bowls: str | None, primary: str | None, alpha: float, as_json: bool
) -> None:
    """Analyse the scores that a panel gave samples on one or more attributes.

    \b
    FILE is a CSV table with a header, either with a score a line:
      assessor   who scored, name or code
      sample     name or code of the sample
      attribute  what was scored
      value      the score; empty if it is missing
    or with a sheet a line: assessor, sample, and a column for every attribute,
    headed by its name.
    \b
    Columns that both may have as well:
      replicate  number of the repeat
      cup        number of the cup
      sitting    number or date of the sitting
      position   place of the cup in the assessor's serving order, from 1
    Where replicate, cup or sitting is there, a score may not stand twice.

    Assessors stand for others like them: samples are tested against how far
    assessors disagree on them, not against how well each of them repeats.
    """  # noqa: D301  click reads the backspace: keep these line breaks
    from server.sheets.analysis import analyse_scores  # statistics load when they are asked for

    scores = read_scores(file, shared_bowls)
    try:
        found = analyse_scores(scores, alpha, primary)
    except ValueError as error:
        raise click.UsageError(str(error)) from error
    click.echo(to_json(_collect(found)) if as_json else "\n".join(tell_ratings(found)))


def _collect(found: "Analysis") -> dict[str, Any]:
    attributes = found.attributes.items()
    return {
        "alpha": found.alpha,
        "attributes": {name: _collect_attribute(one) for name, one in attributes},
        "verdicts": dataclasses.asdict(found.verdicts) if found.verdicts else None,
        "notes": [
            *found.notes,
            *(f"{name}: {note}" for name, one in attributes for note in one.notes),
        ],
    }


def _collect_attribute(one: "Attribute") -> dict[str, Any]:
    members = dataclasses.asdict(one)
    parts = PARTS if one.order is None else (*PARTS, "order")
    return {name: members[name] for name in parts}
