import pytest

from server.brewing.match import Verdict
from server.tastings.matching import match_noted
from server.tastings.pouring import note_brew
from server.tastings.progress import find_led
from tests.playing import Play
from tests.scored_seats import seal_table


@pytest.fixture
def match(bench, play, led):
    """Note readings (slot, TDS, °C) and compare them."""

    def compare(*readings):
        for slot, tds, temperature in readings:
            form = {"slot": slot, "tds": tds, "temperature_c": temperature}
            note_brew(bench, play.made.id, [1, 2, 3], form)
        found = led(play)
        return match_noted(found.layout, found.record)

    return compare


def test_without_a_note_nothing_is_measured(match):
    table = match()
    assert (table.rows, table.tds.verdict) == ((), Verdict.NOT_MEASURED)


def test_the_limits_are_those_of_the_plan(match):
    table = match(("A1", "1.30", "58"), ("B1", "1.35", "60"))
    assert (table.tds.verdict, table.temperature.verdict) == (Verdict.MATCHED, Verdict.MATCHED)
    assert (str(table.tds.limit), str(table.temperature.limit)) == ("0.05", "2")


def test_samples_too_far_apart_are_not_matched(match):
    table = match(("A1", "1.30", "58"), ("B1", "1.41", "55"))
    assert table.tds.verdict == Verdict.NOT_MATCHED
    assert table.temperature.verdict == Verdict.BORDERLINE


def test_a_superseded_note_does_not_count(match):
    table = match(("A1", "1.30", ""), ("B1", "1.90", ""), ("B1", "1.31", ""))
    assert (len(table.rows), table.tds.verdict) == (2, Verdict.MATCHED)


def test_a_missing_temperature_is_not_measured(match):
    assert match(("A1", "1.3", "58"), ("B1", "1.3", "")).temperature.missing == ("B1",)


def test_fill_is_compared_by_its_own_limit(bench, play, led):
    for slot, fill in (("A1", "40"), ("B1", "43")):
        note_brew(bench, play.made.id, [1], {"slot": slot, "fill_g": fill})
    found = led(play)
    assert match_noted(found.layout, found.record).fill.verdict == Verdict.BORDERLINE


def test_brews_of_controls_are_no_match_of_the_samples(bench, make_tasting, led):
    play = Play(
        bench,
        make_tasting(null_control="on", positive_control="on", positive_label="12 % water added"),
    )
    for slot in play.made.sealed.slots:
        note_brew(bench, play.made.id, range(1, 6), {"slot": slot.name, "tds": "1.30"})
    found = led(play)
    rows = match_noted(found.layout, found.record).rows
    assert {row.sample for row in rows} == {"A", "B"}
    assert len({row.round for row in rows}) == 3


def test_all_samples_of_a_scored_table_are_compared(bench, account):
    table = seal_table(bench, account.id)
    for slot in table.sealed.slots:
        tds = "1.42" if slot.sample == "C" else "1.30"
        note_brew(bench, table.id, [1], {"slot": slot.name, "tds": tds})
    found = find_led(bench, account.id, table.id)
    match = match_noted(found.layout, found.record).tds
    assert (match.verdict, match.pair) == (Verdict.NOT_MATCHED, ("A", "C"))
