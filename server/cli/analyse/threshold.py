"""``oddcup analyse threshold``: answers along a series of concentrations, from a file."""

from pathlib import Path
from typing import Any

import click

from server.cli.analyse.threshold_rows import SeriesFile, read_series
from server.cli.analyse.threshold_words import tell_threshold
from server.cli.counted import CountedName
from server.cli.files import readable_file
from server.cli.telling import to_json
from server.methods.base import Counted

PEOPLE_DIFFER = (
    "Thresholds differ between people: a group's says nothing of any one person's, and holds "
    "for these people, this liquid and this way of tasting."
)
POOLED = (
    "The curve takes all answers for independent. Answers of one person are not; where people "
    "differ it is shallower than anybody's own, and its limits may be too narrow."
)
HARM = (
    "A threshold of taste says nothing about harm: what harms may go untasted. Taste only what "
    "is fit to be drunk or eaten; local rules decide what that is."
)


@click.command("threshold", short_help="Find thresholds from a series of concentrations.")
@click.argument("file", type=readable_file)
@click.option("--method", type=CountedName(), default="3-afc", show_default=True)
@click.option("--level", type=float, default=0.95, show_default=True, help="Of the limits.")
@click.option("--json", "as_json", is_flag=True, help="One JSON object, unrounded.")
def threshold(file: Path, method: Counted, level: float, as_json: bool) -> None:
    """Find thresholds from forced choices along a series of concentrations.

    \b
    FILE is a CSV table with a header, either one row an answer:
      assessor       name or code
      concentration  above 0, in one unit throughout, whichever
      correct        1 or 0; several rows of one assessor and step may stand there
    or one row a concentration:
      concentration  as above, every one once
      correct        how many answers were correct
      trials         how many answers there were

    \b
    Answers by assessor give best estimates (last concentration missed and the
    next higher one, geometric mean) and the group's geometric mean. All answers
    give a logistic curve that starts from guessing; its threshold lies half way
    between guessing and 1.

    Taste only what is fit to be drunk or eaten, and follow local rules.
    """  # noqa: D301  click reads the backspace: keep these line breaks
    if method.sided == "two":
        raise click.UsageError(f"--method must have correct answers, which {method.name} has not")
    series = read_series(file)
    try:
        found = _analyse(series, method, level)
    except ValueError as error:
        raise click.UsageError(str(error)) from error
    click.echo(to_json(found) if as_json else "\n".join(tell_threshold(found)))


def _analyse(series: SeriesFile, method: Counted, level: float) -> dict[str, Any]:
    from dataclasses import asdict

    from server.stats.dose import fit_dose  # statistics load when they are asked for
    from server.stats.series import pool
    from server.stats.threshold import find_best_estimates

    chance = method.model.chance
    best = find_best_estimates(series.answers, chance, level) if series.by_assessor else None
    curve = fit_dose(pool(series.answers), chance, level)
    return {
        "method": method.name,
        "chance": chance,
        "level": level,
        "answers": [asdict(one) for one in series.answers] if series.by_assessor else None,
        "best_estimates": None if best is None else asdict(best),
        "logistic": asdict(curve),
        "notes": [*(best.notes if best else ()), *curve.notes, PEOPLE_DIFFER, POOLED, HARM],
    }
