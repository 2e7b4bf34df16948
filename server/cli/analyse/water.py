"""``oddcup analyse water``: a tasting held against tastings of known dilutions, all from files."""

from pathlib import Path
from typing import TYPE_CHECKING

import click

from server.cli.exported import read_exported
from server.cli.files import readable_file
from server.cli.telling import to_json

if TYPE_CHECKING:
    from server.reports.analysis import Analysis

NO_MARK = "none of the files has a known dilution that makes a mark"
NO_MEASURE = "{file} cannot be held against a dilution: {fault}"
A_DILUTION = "it is a dilution itself"


@click.command("water", short_help="Say how much added water is about as noticeable.")
@click.argument("file", type=readable_file)
@click.argument("dilutions", type=readable_file, nargs=-1)
@click.option("--json", "as_json", is_flag=True, help="One JSON object, unrounded.")
def water(file: Path, dilutions: tuple[Path, ...], as_json: bool) -> None:
    """Say how much added water is about as noticeable as the difference in FILE.

    All files are exported tastings; DILUTIONS compare sample A with itself and water, and
    FILE may have such a positive control of its own. Take the files that its finding names.
    """
    from server.reports.exports import to_dict
    from server.reports.ruler.marks import find_dilutions, find_fault
    from server.reports.ruler.reading import list_marks, read_off, tell_reading

    test, *others = (_analyse(one) for one in (file, *dilutions))
    own = [one for one in find_dilutions(test) if one.control]
    known = [*own, *(found for other in others for found in find_dilutions(other))]
    reading = read_off(test, known)
    if reading is None:
        fault = A_DILUTION if test.plan.dilution_percent is not None else find_fault(test)
        raise click.UsageError(NO_MEASURE.format(file=file, fault=fault) if fault else NO_MARK)
    if as_json:
        click.echo(to_json({"ruler": to_dict(reading.ruler), "largest_percent": reading.most}))
        return
    marks = list_marks(reading.dilutions)
    click.echo("\n".join([*tell_reading(reading), *marks]))


def _analyse(file: Path) -> "Analysis":
    from server.reports.analysis import analyse_tasting

    sealed, events = read_exported(file)
    if sealed.plan.table is not None:
        raise click.UsageError(f"{file} is a scored table")
    return analyse_tasting(sealed, events)
