"""A scored table read under every rule of which answers count, the planned one first."""

from collections import Counter
from collections.abc import Mapping, Sequence
from uuid import UUID

from server.blinding.record import GivenAnswer, Record
from server.blinding.sealed import SealedTasting
from server.reports.counting import find_standing_answers, map_tasting_seats
from server.reports.scored_answers import SeatTable, read_tables
from server.reports.scored_declared import find_own_p, has_own_test, list_scores
from server.reports.scored_readings import (
    TableReading,
    count_sheets,
    leave_out,
    list_other_answers,
    read_numbers,
    read_p,
    read_scores,
)
from server.sheets.analysis import Analysis
from server.sheets.sheet import Sheet


def read_given(
    sealed: SealedTasting, sheet: Sheet, record: Record, answers: Mapping[UUID, GivenAnswer]
) -> tuple[SeatTable, ...]:
    """Meet answers with the key, by the record that says whose they are."""
    seats = map_tasting_seats(sealed, record)
    return read_tables(sealed, sheet, answers, seats, record.words)


def read_all_ways(
    sealed: SealedTasting,
    sheet: Sheet,
    decided: Record,
    tables: Sequence[SeatTable],
    numbers: Analysis | None,
    primary: str,
) -> tuple[TableReading, ...]:
    """Read the declared question under every rule, by the test that decides it."""
    if has_own_test(sealed, sheet):
        standing = find_standing_answers(sealed, decided)
        others = [
            (name, read_given(sealed, sheet, decided, answers))
            for name, answers in list_other_answers(decided, standing)
        ]
        return tuple(
            read_p(find_own_p(sealed, sheet, mine), float(sealed.plan.alpha), len(mine), name)
            for name, mine in (("planned", tables), *others)
        )
    if numbers is None:
        return ()
    return _read_otherwise(sealed, sheet, decided, tables, numbers, primary)


def _read_otherwise(
    sealed: SealedTasting,
    sheet: Sheet,
    decided: Record,
    tables: Sequence[SeatTable],
    numbers: Analysis,
    primary: str,
) -> tuple[TableReading, ...]:
    alpha, scores = numbers.alpha, list_scores(sheet, tables)
    readings = [read_numbers(numbers, primary, len(tables))]
    for name, answers in list_other_answers(decided, find_standing_answers(sealed, decided)):
        other = read_given(sealed, sheet, decided, answers)
        readings.append(read_scores(list_scores(sheet, other), primary, alpha, len(other), name))
    sheets = Counter(one.assessor for one in tables)
    for who in find_against(numbers, primary):
        rest = leave_out(scores, {who})
        many = count_sheets(sheets, {who})
        readings.append(read_scores(rest, primary, alpha, many, "without", who))
    return tuple(readings)


def find_against(numbers: Analysis, primary: str) -> tuple[str, ...]:
    """List who goes against the rest in the primary question; without one, in any."""
    if primary in numbers.attributes:
        return numbers.attributes[primary].against
    everybody = (who for one in numbers.attributes.values() for who in one.against)
    return tuple(dict.fromkeys(everybody))
