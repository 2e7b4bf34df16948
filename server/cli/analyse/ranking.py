"""``oddcup analyse ranking``: samples put in order by a panel, from a file."""

import csv
from pathlib import Path

import click

from server.cli.analyse.ranking_rows import read_rankings
from server.cli.analyse.ranking_words import tell_ranking
from server.cli.files import readable_file
from server.cli.telling import to_json


@click.command("ranking", short_help="Analyse samples put in order by a panel.")
@click.argument("file", type=readable_file)
@click.option("--alpha", type=float, default=0.05, show_default=True, help="Level of every test.")
@click.option("--order", help="Order predicted beforehand, as in A,B,C: rank 1 first.")
@click.option("--json", "as_json", is_flag=True, help="One JSON object, unrounded.")
def ranking(file: Path, alpha: float, order: str | None, as_json: bool) -> None:
    """Analyse the rankings of a panel, everybody ranking all samples once.

    \b
    FILE is a CSV table with a header, either with a rank a line:
      assessor  who ranked, name or code
      sample    name or code of the sample
      rank      its rank
    or with an assessor a line:
      assessor  who ranked
      and a column for every sample, headed by its name, holding its rank.

    Rank 1 is the first: the most, or the most liked, as the panel was asked.
    Tied samples share the mean of their ranks: 1.5 and 1.5, not 1 and 1.
    """  # noqa: D301  click reads the backspace: keep these line breaks
    from server.stats.ranking import analyse_ranking  # statistics load when they are asked for

    rankings = read_rankings(file)
    try:
        result = analyse_ranking(rankings, alpha, _read_order(order))
    except ValueError as error:
        raise click.UsageError(str(error)) from error
    click.echo(to_json(result) if as_json else "\n".join(tell_ranking(result)))


def _read_order(order: str | None) -> list[str] | None:
    if order is None:
        return None
    return [name.strip() for name in next(csv.reader([order]), [])]
