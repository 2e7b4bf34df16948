"""``oddcup analyse compare``: several tests compared, from a file."""

import dataclasses
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from server.cli.analyse.compare_words import tell_comparison
from server.cli.files import readable_file
from server.cli.rows import BadCell, Row, read_table
from server.cli.telling import to_json
from server.methods.base import Counted
from server.methods.registry import COUNTED

if TYPE_CHECKING:
    from server.stats.comparing import DistanceComparison
    from server.stats.comparing_shares import ShareComparison

INDEPENDENT = (
    "All answers count as independent of each other, within a test and between tests; "
    "several answers of one person are not."
)
SHARES_WITHIN_METHODS = (
    "Shares are compared within one method only: what counts as noticing depends on the task."
)
SIGN_UNKNOWN = "d′ is not compared: either sample may be chosen more often, and d′ has no sign."


@dataclasses.dataclass(frozen=True)
class Tested:
    """One row of the file: one test."""

    line: int
    test: str
    method: Counted
    correct: int
    trials: int


@click.command("compare", short_help="Compare the results of several tests.")
@click.argument("file", type=readable_file)
@click.option("--level", type=float, default=0.95, show_default=True, help="Of the limits.")
@click.option("--json", "as_json", is_flag=True, help="One JSON object, unrounded.")
def compare(file: Path, level: float, as_json: bool) -> None:
    """Compare the results of several independent tests with each other.

    \b
    FILE is a CSV table with a header and these columns, one row a test:
      test     what to call it; every name once
      method   such as triangle, duo-trio, 2-afc, 3-afc or tetrad
      correct  correct answers; of a two-sided method, choices of one sample,
               the same in every test
      trials   all answers
    Distances (d') are compared between all methods that have one, shares within
    each method. One test significant and another not is no difference
    between them: the rates themselves are compared.
    """  # noqa: D301  click reads the backspace: keep these line breaks
    tested = read_table(file, ("test", "method", "correct", "trials")).read(_parse)
    _check(tested)
    try:
        compared = _compare(tested, level)
    except ValueError as error:
        raise click.UsageError(str(error)) from error
    click.echo(to_json(compared) if as_json else "\n".join(tell_comparison(compared)))


def _parse(row: Row) -> Tested:
    method = COUNTED[row.one_of("method", tuple(COUNTED))]
    correct, trials = row.whole("correct"), row.whole("trials", least=1)
    if correct > trials:
        raise BadCell(f"correct must be at most trials ({trials}), not {correct}")
    return Tested(row.line, row.text("test"), method, correct, trials)


def _check(tested: Sequence[Tested]) -> None:
    lines: dict[str, int] = {}
    for row in tested:
        if row.test in lines:
            raise click.UsageError(
                f"line {row.line}: test {row.test!r} stands on line {lines[row.test]} already"
            )
        lines[row.test] = row.line
    if len(tested) < 2:
        raise click.UsageError("comparing takes two tests or more, found 1")


def _compare(tested: Sequence[Tested], level: float) -> dict[str, Any]:
    """Return the members of the JSON object."""
    left_out = [note for row in tested if (note := _find_reason(row))]
    distances = _compare_distances([row for row in tested if not _find_reason(row)], level)
    shares = [_compare_shares(group, level) for group in _group_by_method(tested)]
    if distances is None and not shares:
        raise ValueError(" ".join(["there are no two tests to compare.", *left_out]))
    notes = [*left_out, *(() if distances is None else distances.notes)]
    notes += [*(note for one in shares for note in one.notes), INDEPENDENT]
    if len({row.method.name for row in tested}) > 1:
        notes.append(SHARES_WITHIN_METHODS)
    return {
        "level": level,
        "distances": None if distances is None else dataclasses.asdict(distances),
        "shares": [dataclasses.asdict(one) for one in shares],
        "notes": list(dict.fromkeys(notes)),
    }


def _find_reason(row: Tested) -> str:
    """Return why a test's distance is not compared; nothing if it is."""
    reason = row.method.model.without_d_prime
    if not reason and row.method.sided == "two":
        reason = SIGN_UNKNOWN
    return f"{row.method.title}: {reason}" if reason else ""


def _compare_distances(tested: Sequence[Tested], level: float) -> "DistanceComparison | None":
    from server.stats.comparing import compare_distances  # statistics load when asked for
    from server.stats.distance_likelihood import Counts

    if len(tested) < 2:
        return None
    return compare_distances(
        [Counts(row.test, row.method.model, row.correct, row.trials) for row in tested], level
    )


def _compare_shares(tested: Sequence[Tested], level: float) -> "ShareComparison":
    from server.stats.comparing_shares import compare_shares
    from server.stats.distance_likelihood import Counts

    method = tested[0].method
    counts = [Counts(row.test, method.model, row.correct, row.trials) for row in tested]
    return compare_shares(counts, level, two_sided=method.sided == "two")


def _group_by_method(tested: Sequence[Tested]) -> list[list[Tested]]:
    """Return the tests of every method that has two or more."""
    groups: dict[str, list[Tested]] = {}
    for row in tested:
        groups.setdefault(row.method.name, []).append(row)
    return [group for group in groups.values() if len(group) > 1]
