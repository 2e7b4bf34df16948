"""A finding says whether the open bowl was tasted, and no number of it knows what was said."""

from typing import Any

import pytest

from server.blinding.events import Kind
from server.blinding.sealed import SealedTasting
from server.reports.scored import TableAnalysis, analyse_table
from server.reports.table_exports import render_table, report_table
from server.reports.table_findings import TableFinding, conclude_table
from tests.scored_tables import draw, give_means
from tests.staging_tables import Tale, fill_sheet, list_scored

MEANS = {"A": 40.0, "B": 60.0, "C": 50.0, "D": 45.0}
Notes = dict[int, dict[str, Any]]
BOTH: Notes = {1: {"seats": [1, 2], "words": "thin is below 30"}, 2: {"seats": [], "words": ""}}


def play(sealed: SealedTasting, notes: Notes, sittings: int = 2) -> TableAnalysis:
    """Note open bowls, let everybody score so many sittings, close and unseal."""
    tale, give = Tale(sealed).begin(), give_means(MEANS)
    for sitting in range(1, sittings + 1):
        if sitting in notes:
            tale.tell(Kind.CALIBRATED, sitting=sitting, **notes[sitting])
        for one in list_scored(sealed):
            if one.sitting == sitting:
                seat = one.seat
                tale.answer(one, fill_sheet(sealed, one, lambda *at, s=seat: give(s, *at)))
    return analyse_table(sealed, tale.close().events)


@pytest.fixture(scope="module")
def sealed() -> SealedTasting:
    return draw(4, sittings=2, calibration="house filter")


def find_line(finding: TableFinding) -> str | None:
    return next((one.value for one in finding.numbers if one.name == "open_bowl"), None)


def list_skipped(finding: TableFinding) -> list[str]:
    return [one for one in finding.limits if "open bowl" in one]


def list_late(finding: TableFinding) -> list[str]:
    return [one for one in finding.limits if "was noted when" in one]


def test_what_was_done_is_a_fact_with_who_took_part(sealed: SealedTasting) -> None:
    finding = conclude_table(play(sealed, BOTH))
    assert find_line(finding) == (
        "“house filter”: tasted before sitting 1 (seats 1, 2) and tasted before sitting 2"
    )
    assert list_skipped(finding) == []


def test_what_was_left_out_although_planned_is_a_limit(sealed: SealedTasting) -> None:
    finding = conclude_table(play(sealed, {1: BOTH[1]}))
    assert list_skipped(finding) == [
        "An open bowl to calibrate on, “house filter”, was planned; before sitting 2 nobody noted "
        "it. Words and scales may have been used by each in their own way."
    ]


def test_where_none_was_noted_both_sittings_are_named(sealed: SealedTasting) -> None:
    finding = conclude_table(play(sealed, {}))
    assert find_line(finding) == "“house filter”: planned, not noted as done"
    assert "before sittings 1 and 2 nobody noted it" in list_skipped(finding)[0]


def test_a_sitting_that_never_came_left_nothing_out(sealed: SealedTasting) -> None:
    assert list_skipped(conclude_table(play(sealed, {1: BOTH[1]}, sittings=1))) == []


def test_the_last_note_of_a_sitting_counts() -> None:
    sealed = draw(4, calibration="house filter")
    tale = Tale(sealed).begin()
    for seats in ([1], [1, 2, 3]):
        tale.tell(Kind.CALIBRATED, sitting=1, seats=seats, words="")
    finding = conclude_table(analyse_table(sealed, tale.close().events))
    assert find_line(finding) == "“house filter”: tasted before sitting 1 (seats 1, 2, 3)"


def test_a_note_made_when_codes_stood_there_already_is_a_limit() -> None:
    sealed = draw(4, calibration="house filter")
    tale, first = Tale(sealed).begin(), list_scored(sealed)[0]
    tale.tell(Kind.CODES_CONFIRMED, serving=str(first.id))
    tale.tell(Kind.CALIBRATED, sitting=1, seats=[], words="")
    finding = conclude_table(analyse_table(sealed, tale.close().events))
    assert list_late(finding) == [
        "The open bowl of sitting 1 was noted when codes stood before somebody already: scores "
        "may know of the talk."
    ]


def test_a_note_in_time_that_is_changed_later_is_not_late() -> None:
    sealed = draw(4, calibration="house filter")
    tale, first = Tale(sealed).begin(), list_scored(sealed)[0]
    tale.tell(Kind.CALIBRATED, sitting=1, seats=[], words="")
    tale.tell(Kind.CODES_CONFIRMED, serving=str(first.id))
    tale.tell(Kind.CALIBRATED, sitting=1, seats=[1], words="")
    assert list_late(conclude_table(analyse_table(sealed, tale.close().events))) == []


def test_codes_of_an_earlier_sitting_make_no_note_late(sealed: SealedTasting) -> None:
    assert list_late(conclude_table(play(sealed, BOTH))) == []


def test_a_table_planned_without_one_does_not_speak_of_it() -> None:
    analysis = play(draw(4, sittings=2), {})
    assert "open bowl" not in render_table(analysis).casefold()
    assert report_table(analysis)["analysis"]["open_bowls"] is None


def test_no_number_depends_on_what_was_said_at_the_open_bowl(sealed: SealedTasting) -> None:
    said, unsaid = play(sealed, BOTH), play(sealed, {})
    assert said.scores == unsaid.scores
    assert said.numbers == unsaid.numbers
    assert conclude_table(said).headline == conclude_table(unsaid).headline
