"""``oddcup analyse tick-all``: words ticked for samples, from a file."""

from pathlib import Path

import click

from server.cli.analyse.tick_all_rows import read_ticks
from server.cli.analyse.tick_all_words import tell_tick_all
from server.cli.files import readable_file
from server.cli.telling import to_json


@click.command("tick-all", short_help="Analyse which words a panel ticked for which sample.")
@click.argument("file", type=readable_file)
@click.option(
    "--alpha", type=float, default=0.05, show_default=True, help="Level of all words together."
)
@click.option("--json", "as_json", is_flag=True, help="One JSON object, unrounded.")
def tick_all(file: Path, alpha: float, as_json: bool) -> None:
    """Analyse words that everybody could tick for every sample.

    \b
    FILE is a CSV table with a header, either with a cup a line:
      assessor  who ticked, name or code
      sample    name or code of the sample
      and a column for every word, headed by it, holding 1 for ticked, 0 for not;
    or with a word a line:
      assessor  who ticked
      sample    name or code of the sample
      word      the word
      ticked    1 or 0

    An empty cell is a missing answer. Every word is tested by Cochran's Q, over
    those who answered by it on every sample, and all words together by Holm's
    method.
    """  # noqa: D301  click reads the backspace: keep these line breaks
    from server.stats.tick_all import analyse_ticks  # statistics load when they are asked for

    try:
        result = analyse_ticks(read_ticks(file), alpha)
    except ValueError as error:
        raise click.UsageError(str(error)) from error
    click.echo(to_json(result) if as_json else "\n".join(tell_tick_all(result)))
