"""``oddcup analyse jar``: just-about-right answers beside liking, from a file."""

import dataclasses
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any, NamedTuple

import click

from server.cli.analyse.jar_words import tell_jar
from server.cli.files import readable_file
from server.cli.rows import BadCell, Row, Table, read_table
from server.cli.telling import to_json

if TYPE_CHECKING:
    from server.stats.jar import JustAboutRight

NOT_A_CAUSE = (
    "A drop says that people who found too little or too much of it liked the cup less, not "
    "that they would like it better changed."
)
WHOSE = (
    "Answers like these are for people who drink it, not for trained panels, and hold for "
    "people like those asked."
)
SEVERAL = (
    "Every sample has a test of its own; p_adjusted (Holm) takes into account how many there "
    "are. The samples are not compared with each other."
)
ONE_SAMPLE = ""


class Answer(NamedTuple):
    """One person's answer to one sample, and its line."""

    line: int
    assessor: str
    sample: str
    liking: float
    jar: int


@click.command("jar", short_help="Analyse just-about-right answers beside liking.")
@click.argument("file", type=readable_file)
@click.option("--points", type=int, default=5, show_default=True, help="Answers on the scale, odd.")
@click.option("--right", type=int, help="The answer just about right; the scale's middle from 1.")
@click.option("--level", type=float, default=0.95, show_default=True, help="Of the limits.")
@click.option("--json", "as_json", is_flag=True, help="One JSON object, unrounded.")
def jar(file: Path, points: int, right: int | None, level: float, as_json: bool) -> None:
    """Say how much less those like a sample who find it not just about right.

    \b
    FILE is a CSV table with a header, a row an answer, and these columns:
      assessor  who answered, name or code
      liking    how much the sample was liked; more is better
      jar       1 to --points, the middle being just about right
      sample    which sample; may be left out if there is one
    With --right 0 and 5 points, jar runs from -2 to 2.

    Low are the answers below just about right, high those above. The drop of
    either is the mean liking of those who answered just about right less the
    mean there; the penalty takes both together.
    """  # noqa: D301  click reads the backspace: keep these line breaks
    table = read_table(file, ("assessor", "liking", "jar"), optional=("sample",))
    answers = _read_answers(table)
    try:
        found = _analyse(answers, points, right, level)
    except ValueError as error:
        raise click.UsageError(str(error)) from error
    adjusted = _adjust(found)
    notes = [*((SEVERAL,) if len(found) > 1 else ()), NOT_A_CAUSE, WHOSE]
    if as_json:
        click.echo(to_json(_collect(found, adjusted, notes)))
    else:
        click.echo("\n".join([*tell_jar(found, adjusted), *notes]))


def _read_answers(table: Table) -> list[Answer]:
    named = "sample" in table.columns

    def parse(row: Row) -> Answer:
        answer = row.number("jar")
        if answer != int(answer):
            raise BadCell(f"jar must be a whole number, not {row.text('jar')!r}")
        sample = row.text("sample") if named else ONE_SAMPLE
        return Answer(row.line, row.text("assessor"), sample, row.number("liking"), int(answer))

    answers = table.read(parse)
    _check_once(answers)
    return answers


def _check_once(answers: Sequence[Answer]) -> None:
    first: dict[tuple[str, str], int] = {}
    for one in answers:
        key = (one.assessor, one.sample)
        if key in first:
            of = f" with sample {one.sample!r}" if one.sample else ""
            raise click.UsageError(
                f"line {one.line}: assessor {one.assessor!r}{of} stands on line "
                f"{first[key]} already"
            )
        first[key] = one.line


def _analyse(
    answers: Sequence[Answer], points: int, right: int | None, level: float
) -> "dict[str, JustAboutRight]":
    from server.stats.jar import analyse_jar, find_ends  # statistics load when asked for

    low, high = find_ends(points, right)
    for one in answers:
        if not low <= one.jar <= high:
            raise ValueError(
                f"line {one.line}: jar must be from {low} to {high}, not {one.jar}; "
                "see --points and --right"
            )
    grouped: dict[str, list[Answer]] = {}
    for one in answers:
        grouped.setdefault(one.sample, []).append(one)
    return {
        sample: analyse_jar(
            [one.jar for one in rows], [one.liking for one in rows], points, right, level
        )
        for sample, rows in grouped.items()
    }


def _adjust(found: "Mapping[str, JustAboutRight]") -> dict[str, float | None]:
    """Return Holm's p-values of Welch's tests, over the samples that have one."""
    from server.stats.multiple import holm

    tests = {sample: one.welch.p_value for sample, one in found.items() if one.welch}
    adjusted = dict(zip(tests, holm(list(tests.values())), strict=True))
    return {sample: adjusted.get(sample) for sample in found}


def _collect(
    found: "Mapping[str, JustAboutRight]",
    adjusted: Mapping[str, float | None],
    notes: Sequence[str],
) -> dict[str, Any]:
    members = {sample: dataclasses.asdict(one) for sample, one in found.items()}
    if list(members) == [ONE_SAMPLE]:
        own = members[ONE_SAMPLE]
        return own | {"notes": [*own["notes"], *notes]}
    samples = {name: one | {"p_adjusted": adjusted[name]} for name, one in members.items()}
    return {"samples": samples, "notes": list(notes)}
