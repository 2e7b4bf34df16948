"""``oddcup analyse yes-no``: A-not-A and same-different tests, from a file."""

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from server.cli.analyse.yes_no_words import tell_yes_no
from server.cli.files import readable_file
from server.cli.rows import Row, Table, read_table
from server.cli.telling import to_json

if TYPE_CHECKING:
    from server.stats.yes_no import Answer

WORDS = {"a-not-a": ("a", "not-a"), "same-different": ("same", "different")}


@click.command("yes-no", short_help="Analyse an A-not-A or a same-different test.")
@click.argument("file", type=readable_file)
@click.option("--design", type=click.Choice(list(WORDS)), required=True, help="What was asked.")
@click.option("--level", type=float, default=0.95, show_default=True, help="Of the limits.")
@click.option("--json", "as_json", is_flag=True, help="One JSON object, unrounded.")
def yes_no(file: Path, design: Any, level: float, as_json: bool) -> None:
    """Analyse answers to single samples (A or not A) or to pairs (same or different).

    \b
    FILE is a CSV table with a header and these columns:
      served    what was served: a or not-a; same or different
      answer    what the assessor said, in the same words
      assessor  who said it, name or code; may be left out
      count     how many such answers; 1 each if left out
    With assessors, those are compared with themselves: one serving of each
    kind for everybody makes it a test of changed answers.
    In the JSON object, first is A or a same pair, yes the answer A or same.
    """  # noqa: D301  click reads the backspace: keep these line breaks
    from server.stats.yes_no import analyse_yes_no  # statistics load when they are asked for

    table = read_table(file, ("served", "answer"), optional=("assessor", "count"))
    try:
        result = analyse_yes_no(design, _read_answers(table, WORDS[design]), level)
    except ValueError as error:
        raise click.UsageError(str(error)) from error
    click.echo(to_json(result) if as_json else "\n".join(tell_yes_no(result)))


def _read_answers(table: Table, words: tuple[str, str]) -> "list[Answer]":
    from server.stats.yes_no import Answer

    def parse(row: Row) -> Answer:
        return Answer(
            first=row.one_of("served", words) == words[0],
            yes=row.one_of("answer", words) == words[0],
            assessor=row.text("assessor") if "assessor" in table.columns else None,
            count=row.whole("count") if "count" in table.columns else 1,
        )

    return table.read(parse)
