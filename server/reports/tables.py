"""Plain tables of a finding: a title, a head and rows of text."""

from dataclasses import dataclass
from decimal import Decimal

from server.blinding.events import State
from server.reports import words
from server.reports.analysis import Analysis


@dataclass(frozen=True)
class Table:
    """Rows as long as the head; every cell is ready to print."""

    name: str
    title: str
    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


def list_tables(analysis: Analysis) -> tuple[Table, ...]:
    """List the tables that have rows; of an abandoned tasting only those of its brews."""
    made = [make_match_table, make_brew_table]
    if analysis.state != State.ABANDONED:
        made += [make_position_table, make_round_table]
    return tuple(table for table in (make(analysis) for make in made) if table.rows)


def make_match_table(analysis: Analysis) -> Table:
    """Tabulate strength and temperature of every brew behind counted answers."""
    labels = {sample.level: sample.label for sample in analysis.samples}
    return _make(
        "match",
        [
            (
                str(row.round),
                row.slot,
                labels[row.sample],
                _show(row.tds),
                _show(row.spread),
                _show(row.temperature_c),
            )
            for row in analysis.match.rows
        ],
    )


def make_brew_table(analysis: Analysis) -> Table:
    """Tabulate how many brews of each sample were served and read."""
    return _make(
        "brews",
        [
            (
                one.label,
                str(one.slots_served),
                str(one.brews_served),
                str(one.recorded),
                str(one.with_strength),
                str(one.with_temperature),
            )
            for one in analysis.brews
        ],
    )


def make_position_table(analysis: Analysis) -> Table:
    """Tabulate picks and odd cups by position."""
    last = len(analysis.positions)
    return _make(
        "positions",
        [
            (words.say_position(one.position, last), str(one.picked), str(one.odd))
            for one in analysis.positions
        ],
    )


def make_round_table(analysis: Analysis) -> Table:
    """Tabulate planned, counted and right answers by round, over all seats."""
    return _make(
        "rounds",
        [
            (str(one.round), str(one.planned), str(one.answered), str(one.correct))
            for one in analysis.rounds
        ],
    )


def _make(name: str, rows: list[tuple[str, ...]]) -> Table:
    title, head = words.TABLES[name]
    return Table(name, title, head, tuple(rows))


def _show(value: Decimal | None) -> str:
    return words.NOT_READ if value is None else f"{value:f}"
