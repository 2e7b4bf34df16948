"""A tasting whose every cup is a brew of its own, from its form to its finding."""

import re
from uuid import UUID

import pytest

from server.reports import gate
from server.reports.limit_words import EACH_CUP
from server.tastings import releasing
from server.tastings.alone import prepare_sitting
from server.tastings.pouring import note_brew
from server.tastings.seating import take_seat
from tests.conftest import look_up
from tests.playing import Play
from tests.playing_alone import PlayAlone

EACH = {"pots": "each", "cup_ml": "30", "relief": "spit"}


@pytest.fixture
def play(bench, make_tasting):
    return Play(bench, make_tasting(**EACH))


@pytest.fixture
def bar(play):
    return f"/pour/{play.made.pourer}"


def list_cups(page):
    """Slot and code of every cup in the order of brewing, by seat."""
    seats = re.findall(r'tray-seat">Seat (\d+)(.*?)</ol>', page, re.DOTALL)
    cups = r'pot-name">(\w+)<.*?number">(\d{3})<'
    return {int(seat): re.findall(cups, text, re.DOTALL) for seat, text in seats}


def test_every_cup_has_its_own_brew_seat_by_seat(client, bar, play):
    sealed, shown = play.made.sealed, list_cups(client.get(bar).text)
    assert list(shown) == [1, 2, 3, 4, 5, 6]
    for seat, cups in shown.items():
        serving = play.made.servings(seat)[0]
        assert set(cups) == {(sealed.key[cup.id], cup.code) for cup in serving.cups}
    slots = [slot for cups in shown.values() for slot, _ in cups]
    assert len(set(slots)) == 18


def test_samples_take_turns_and_each_begins_as_often(client, bar):
    shown = list_cups(client.get(bar).text).values()
    assert all(cups[0][0][0] != cups[1][0][0] for cups in shown)
    assert [cups[0][0][0] for cups in shown] == ["B", "A", "B", "A", "B", "A"]


def test_brews_follow_one_another_from_seat_to_seat(client, bar):
    slots = [slot for cups in list_cups(client.get(bar).text).values() for slot, _ in cups]
    for level in "AB":
        assert [one for one in slots if one[0] == level] == [f"{level}{n}" for n in range(1, 10)]


def test_a_serving_in_reserve_is_brewed_only_when_its_seat_is_taken(client, bench, bar, play):
    assert 7 not in list_cups(client.get(bar).text)
    take_seat(bench, play.made.code, 7, "5eed", "")
    assert 7 in list_cups(client.get(bar).text)


def test_a_brewed_cup_is_ticked_and_unticked(client, bar, play):
    for done in ("1", "1", "0"):
        form = {"slot": "A1", "done": done, "round": "1"}
        assert client.post(f"{bar}/poured", form).status_code == 303
        assert ("A1" in play.record.poured) == (done == "1")


def test_a_cup_that_was_read_unmatched_waits_beside_its_seat(client, bar):
    for slot, tds in (("A1", "1.30"), ("B1", "1.60")):
        note = {"slot": slot, "tds": tds, "temperature_c": "58", "round": "1"}
        client.post(f"{bar}/brews", note)
    page = client.get(bar).text
    assert "B1 is not matched: it waits for a release" in page
    refused = client.post(f"{bar}/poured", {"slot": "B1", "done": "1", "round": "1"})
    assert refused.status_code == 409
    assert client.post(f"{bar}/poured", {"slot": "B2", "done": "1", "round": "1"}).is_redirect


def test_only_brews_that_fill_a_cup_can_be_read(client, bench, make_tasting):
    play = Play(bench, make_tasting(**EACH, assessors="7", spare_seats="0", rounds="1"))
    page = client.get(f"/pour/{play.made.pourer}").text
    (choice,) = re.findall(r'<select id="slot".*?</select>', page, re.DOTALL)
    offered = re.findall(r'<option value="(\w+)"', choice)
    assert sorted(offered) == sorted(play.made.sealed.key.values())
    assert len(play.made.sealed.slots) > 21


def test_the_fill_list_goes_seat_by_seat(client, bar, play):
    page = client.get(f"{bar}/paper/fill").text
    assert page.count("Seat 3") == 3
    assert "hold back" not in page
    cup = play.made.servings(3)[0].cups[0]
    assert f"{play.made.sealed.key[cup.id]} → <strong>{cup.code}</strong>" in page


def test_the_run_card_serves_seat_after_seat(leader, play):
    page = leader.get(f"/tastings/{play.made.id}/paper/run?start=09:30").text
    assert "Serving 6 of 6" in page
    assert "Brew A1" not in page


def test_from_the_form_to_the_finding(leader, client, bench, plan_form):
    form = plan_form(**EACH, rounds="1", spare_seats="0", swallow="")
    draft = leader.post("/tastings/new", form).headers["location"]
    assert "every cup is a brew of its own" in leader.get(draft).text
    leader.post(f"{draft}/seal")
    play = find_play(bench, UUID(draft.rsplit("/", 1)[1]))
    base = f"/pour/{play.made.pourer}"
    for cups in list_cups(client.get(base).text).values():
        for slot, _ in cups:
            client.post(f"{base}/poured", {"slot": slot, "done": "1", "round": "1"})
    play.fill(right=6)
    assert len(play.record.poured) == 18
    play.unseal()
    page = leader.get(f"{draft}/finding").text
    assert EACH_CUP in page
    assert "6 of 6" in page


def test_a_null_control_is_refused_beside_its_box(leader, plan_form):
    answer = leader.post("/tastings/new", plan_form(**EACH, null_control="on"))
    assert answer.status_code == 422
    assert "no two pots to tell apart" in answer.text
    assert 'value="each" checked' in answer.text


@pytest.fixture
def alone(bench, make_tasting):
    return PlayAlone(bench, make_tasting(**EACH, pourer="alone", sittings="1"))


def test_alone_cups_are_brewed_right_before_they_are_shuffled(client, alone):
    seat = f"/seat/{alone.token}"
    client.post(f"{seat}/instructed")
    assert "brew the cups of a round one by one" in client.get(seat).text
    prepare_sitting(alone.bench, alone.token, 1)
    assert "Brew, then shuffle" in client.get(seat).text


def test_alone_from_the_marks_to_the_finding(leader, alone):
    alone.taste(1, right=3)
    alone.turn(1)
    alone.close()
    leader.post(f"/tastings/{alone.made.id}/unseal")
    assert EACH_CUP in leader.get(f"/tastings/{alone.made.id}/finding").text


def find_play(bench, tasting_id):
    return Play(bench, look_up(bench, tasting_id, ""))


def test_each_read_cup_is_matched_once_a_page_and_each_note_read_once(
    client, leader, bar, home, play, bench, monkeypatch
):
    read = ["A1", "B1", "A2", "B2"]
    for slot in read:
        form = {"slot": slot, "tds": "9.1" if slot[0] == "A" else "9.9", "temperature_c": "60"}
        note_brew(bench, play.made.id, range(1, 4), form | {"fill_g": "30"})
    matched, noted = [], []
    match, find = gate.match_slot, gate.find_readings
    monkeypatch.setattr(releasing, "match_slot", lambda *a: matched.append(a[2].name) or match(*a))
    monkeypatch.setattr(gate, "find_readings", lambda *a: noted.append(a[0].name) or find(*a))
    for device, address in ((client, bar), (leader, f"{home}/brews")):
        matched.clear()
        noted.clear()
        page = device.get(address).text
        assert page.count("goes out unmatched") == len(read)
        assert sorted(one for one in matched if one in read) == sorted(read)
        assert sorted(noted) == sorted(read)
