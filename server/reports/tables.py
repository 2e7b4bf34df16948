"""Plain tables of a finding: a title, a head and rows of text."""

from dataclasses import dataclass, replace
from decimal import Decimal

from server.blinding.events import State
from server.blinding.plans import Plan
from server.reports import brew_pick_words, labels
from server.reports import specimen_words as piece_words
from server.reports.analysis import Analysis
from server.reports.brew_picks import list_brew_rows
from server.reports.display import NO_VALUE, show_p, show_share
from server.reports.families import find_family
from server.reports.kinds import labels as call_labels
from server.reports.kinds.tables import list_calls
from server.reports.match_rows import name_judged, show_judged
from server.reports.piece_limits import list_age_rows, list_piece_rows
from server.reports.stopping import labels as stop_labels
from server.reports.stopping.tables import list_look_rows
from server.stats.results import Interval


@dataclass(frozen=True)
class Table:
    """Rows as long as the head; every cell is ready to print."""

    name: str
    title: str
    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


def list_tables(analysis: Analysis) -> tuple[Table, ...]:
    """List the tables that have rows; of an abandoned tasting only those of its brews."""
    made = [make_match_table, make_brew_table, make_piece_table, make_age_table]
    if analysis.state != State.ABANDONED:
        alone = [make_sitting_table, make_order_table]
        made += [
            make_look_table,
            make_control_table,
            make_call_table,
            make_pick_table,
            make_position_table,
            make_sorting_table,
        ]
        made += alone if analysis.alone else [make_round_table]
    name_heads = find_family(analysis).name_heads
    tables = (make(analysis) for make in made)
    return tuple(replace(one, head=name_heads(analysis, one.head)) for one in tables if one.rows)


def make_look_table(analysis: Analysis) -> Table:
    """Tabulate the blocks that a sequential plan judged."""
    title, head = stop_labels.TABLE
    return Table("looks", title, head, tuple(list_look_rows(analysis)))


def make_match_table(analysis: Analysis) -> Table:
    """Tabulate what was read of every brew behind counted answers."""
    names = {sample.level: sample.label for sample in analysis.samples}
    made = _make(
        "match",
        [
            (
                str(find_turn(analysis.plan, row.round)),
                row.slot,
                names[row.sample],
                _show(row.tds),
                _show(row.spread),
                _show(row.temperature_c),
                _show(row.fill_g),
                *show_judged(analysis.match, row),
            )
            for row in analysis.match.shown
        ],
    )
    turn = labels.SITTING if analysis.alone else made.head[0]
    return replace(made, head=(turn, *made.head[1:], *name_judged(analysis.match)))


def find_turn(plan: Plan, round_no: int) -> int:
    """Return when a pot was brewed: in which round, alone in which sitting.

    Examples
    --------
    >>> from types import SimpleNamespace
    >>> find_turn(SimpleNamespace(alone=True, rounds=3), 4)
    2
    """
    return (round_no - 1) // plan.rounds + 1 if plan.alone else round_no


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
                str(one.with_fill),
            )
            for one in analysis.brews
        ],
    )


def make_piece_table(analysis: Analysis) -> Table:
    """Tabulate the pieces of the part, their states, and what each of them brewed."""
    title, head = piece_words.PIECES
    return Table("pieces", title, head, tuple(list_piece_rows(analysis.pieces)))


def make_age_table(analysis: Analysis) -> Table:
    """Tabulate right answers by the brews that the pieces had made before."""
    title, head = piece_words.AGES
    return Table("piece_ages", title, head, tuple(list_age_rows(analysis.pieces)))


def make_pick_table(analysis: Analysis) -> Table:
    """Tabulate how often each brew's cup was picked, and what is left without it."""
    title, head = brew_pick_words.TABLE
    places = {
        row.slot: (row.sample, find_turn(analysis.plan, row.round)) for row in analysis.match.rows
    }
    rows = tuple(list_brew_rows(analysis.by_brew, places))
    turn = labels.SITTING if analysis.alone else head[2]
    return Table("picks", title, (*head[:2], turn, *head[3:]), rows)


def make_control_table(analysis: Analysis) -> Table:
    """Tabulate the test and its controls: right answers and the limits of their share."""
    counts, rows = analysis.counts, []
    if counts is not None and analysis.controls:
        test = (counts.correct, counts.trials, analysis.reach.planned)
        rows.append(_show_counted(analysis, "test", test, counts.p_value, counts.pc_interval))
        rows += [
            _show_counted(
                analysis,
                one.purpose.value,
                (one.correct, one.trials, one.planned),
                one.p_value,
                one.pc_interval,
                interval_only=one.declared is not None and not one.is_large_enough,
            )
            for one in analysis.controls
        ]
    return _make("controls", rows)


def _show_counted(
    analysis: Analysis,
    purpose: str,
    counted: tuple[int, int, int],
    p: float | None,
    limits: Interval | None,
    *,
    interval_only: bool = False,
) -> tuple[str, ...]:
    correct, trials, planned = counted
    cells = (labels.PURPOSES[purpose], str(planned), str(trials), str(correct))
    if p is None or limits is None:
        return (*cells, NO_VALUE, NO_VALUE, NO_VALUE)
    low, high = (show_share(limit) for limit in limits)
    shown = labels.NOT_PLANNED_P.format(p=show_p(p)) if analysis.exploratory else show_p(p)
    shown = labels.INTERVAL_ONLY if interval_only else shown
    return (*cells, show_share(correct / trials), f"{low} to {high}", shown)


def make_call_table(analysis: Analysis) -> Table:
    """Tabulate what servings of two kinds were called."""
    head, rows = list_calls(analysis)
    return Table("calls", call_labels.TABLE, head, rows)


def make_position_table(analysis: Analysis) -> Table:
    """Tabulate picks and right cups by position."""
    last = max((one.position for one in analysis.positions), default=0)
    return _make(
        "positions",
        [
            (labels.say_position(one.position, last), str(one.picked), str(one.odd))
            for one in analysis.positions
        ],
    )


def make_sorting_table(analysis: Analysis) -> Table:
    """Tabulate which cups were put together, and which belonged together, by position."""
    return _make(
        "sortings",
        [
            (labels.say_sorting(one.together), str(one.chosen), str(one.right))
            for one in analysis.sortings
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


def make_sitting_table(analysis: Analysis) -> Table:
    """Tabulate the sittings of somebody who tasted alone."""
    return _make(
        "sittings",
        [
            (
                str(one.number),
                one.day or labels.NO_DAY,
                str(one.planned),
                str(one.answered),
                str(one.correct),
                str(one.lost),
                labels.PHOTO[one.photo],
            )
            for one in (analysis.alone.sittings if analysis.alone else ())
        ],
    )


def make_order_table(analysis: Analysis) -> Table:
    """Tabulate how often each serving order fell."""
    return _make("orders", [(one.order, str(one.served)) for one in analysis.orders])


def _make(name: str, rows: list[tuple[str, ...]]) -> Table:
    title, head = labels.TABLES[name]
    return Table(name, title, head, tuple(rows))


def _show(value: Decimal | None) -> str:
    return labels.NOT_READ if value is None else f"{value:f}"
