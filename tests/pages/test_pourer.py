import re
from uuid import UUID

import pytest

from server.tastings import pouring, seating
from server.tastings.answering import confirm_codes
from server.tastings.closing import close_tasting
from server.tastings.handing_out import add_pourer
from server.tastings.progress import find_led
from tests.playing import Play

NOWHERE = str(UUID(int=1, version=4))


@pytest.fixture
def bar(play):
    return f"/pour/{play.made.pourer}"


@pytest.fixture
def second(bench, account, play):
    """The link of somebody who pours the second round only."""
    led = find_led(bench, account.id, play.made.id)
    return f"/pour/{add_pourer(bench, led, '2')}"


def serving(play, seat=1, number=1):
    return play.made.servings(seat)[number - 1]


def fills(page):
    """Cup codes by pot, as they stand on the page."""
    pots = re.findall(r'pot-name">(\w+)<(.*?)</article>', page, re.DOTALL)
    return {name: re.findall(r"<strong class=\"number\">(\d{3})<", text) for name, text in pots}


def trays(page):
    """Seat and codes of every tray."""
    found = re.findall(r"Seat (\d+).*?tray-codes number\">([^<]+)<", page, re.DOTALL)
    return [(int(seat), tuple(codes.split(" – "))) for seat, codes in found]


def held_back(page):
    return set(re.findall(r"\d{3}", " ".join(re.findall(r"Hold back for[^:]*:([^<]*)<", page))))


def test_every_cup_of_the_round_is_filled_from_its_pot(client, bar, play):
    sealed, page = play.made.sealed, client.get(bar).text
    cups = [cup for one in sealed.servings if one.round == 1 and one.seat < 7 for cup in one.cups]
    wanted = {(sealed.key[cup.id], cup.code) for cup in cups}
    assert {(pot, code) for pot, codes in fills(page).items() for code in codes} == wanted


def test_cups_of_a_spare_seat_are_held_back(client, bar, play):
    assert held_back(client.get(bar).text) == set(serving(play, 7).codes)


def test_a_taken_spare_seat_is_poured_for(client, bench, bar, play):
    seating.take_seat(bench, play.made.code, 7, "5eed", "")
    page = client.get(bar).text
    assert held_back(page) == set()
    assert (7, serving(play, 7).codes) in trays(page)


def test_trays_go_to_their_seats_left_to_right(client, bar, play):
    page = client.get(f"{bar}?round=2").text
    assert trays(page) == [(seat, serving(play, seat, 2).codes) for seat in range(1, 7)]


@pytest.mark.parametrize("number", ["0", "4", "99"])
def test_a_round_that_is_not_there_shows_the_first(client, bar, number):
    assert "Pour round 1" in client.get(f"{bar}?round={number}").text


@pytest.mark.parametrize("number", ["x", "1.5", "9" * 5000])
def test_a_round_that_is_no_number_is_not_understood(client, bar, number):
    assert client.get(f"{bar}?round={number}").status_code == 422


def test_a_pot_is_ticked_and_unticked(client, bar, play):
    for done, poured in (("1", {"A1"}), ("1", {"A1"}), ("0", set())):
        answer = client.post(f"{bar}/poured", {"slot": "A1", "done": done, "round": "1"})
        assert (answer.status_code, answer.headers["location"]) == (303, f"{bar}?round=1")
        assert play.record.poured == poured


def test_a_tray_is_ticked_and_unticked(client, bar, play):
    one = serving(play).id
    for done, served in (("1", {one}), ("0", set())):
        client.post(f"{bar}/served", {"serving": str(one), "done": done, "round": "1"})
        assert play.record.served == served


def test_a_script_gets_the_round_back(client, bar):
    form = {"slot": "A1", "done": "1", "round": "1"}
    answer = client.post(f"{bar}/poured", form, script=True)
    assert answer.text.startswith('<section id="round"')
    assert "✓ poured (undo)" in answer.text


@pytest.mark.parametrize("number", ["", "x", "²", "9" * 5000])
def test_a_tick_counts_whatever_round_the_form_names(client, bar, play, number):
    form = {"slot": "A1", "done": "1", "round": number}
    assert client.post(f"{bar}/poured", form).status_code == 303
    assert play.record.poured == {"A1"}


@pytest.mark.parametrize("path", ["served", "settled", "void"])
@pytest.mark.parametrize("named", ["", "x", NOWHERE])
def test_a_serving_that_is_not_there_cannot_be_touched(client, bar, play, path, named):
    form = {"serving": named, "reason": "spilt", "done": "1"}
    assert client.post(f"{bar}/{path}", form).status_code == 404
    assert play.record.version == 0


@pytest.mark.parametrize("path", ["poured", "brews"])
@pytest.mark.parametrize("slot", ["", "A99", "<b>"])
def test_a_pot_that_is_not_there_cannot_be_touched(client, bar, play, path, slot):
    assert client.post(f"{bar}/{path}", {"slot": slot, "done": "1"}).status_code == 404
    assert play.record.version == 0


def test_a_pourer_of_one_round_sees_that_round_alone(client, second, play):
    pages = [client.get(f"{second}?round={number}").text for number in (1, 2, 3)]
    assert [re.search(r"Pour round (\d)", page)[1] for page in pages] == ["2", "2", "2"]
    cups = {cup.code: one.round for one in play.made.sealed.servings for cup in one.cups}
    assert {cups[code] for codes in fills(pages[0]).values() for code in codes} == {2}


def test_a_pourer_of_one_round_touches_that_round_alone(client, second, play):
    one = {"serving": str(serving(play).id), "done": "1", "reason": "spilt"}
    for path in ("served", "settled", "void"):
        assert client.post(f"{second}/{path}", one).status_code == 404
    for path in ("poured", "brews"):
        assert client.post(f"{second}/{path}", {"slot": "A1", "done": "1"}).status_code == 404
    assert play.record.version == 0


def test_a_calling_seat_is_seen_and_put_right(client, bench, bar, play):
    confirm_codes(bench, play.made.tokens[3], serving(play, 3).id, differ=True)
    assert "Seat 3 calls:" in client.get(bar).text
    form = {"serving": str(serving(play, 3).id), "round": "1"}
    for _ in "12":
        assert client.post(f"{bar}/settled", form).status_code == 303
    assert "calls:" not in client.get(bar).text


def test_a_spilt_serving_gets_its_spare(client, bar, play):
    form = {"serving": str(serving(play).id), "reason": "spilt", "round": "1"}
    page = client.post(f"{bar}/void", form, script=True).text
    assert (1, serving(play, 7).codes) in trays(page)
    assert "fresh serving" in page
    assert held_back(page) == set()


def test_a_spilt_spare_stays_with_the_seat_it_was_poured_for(client, bench, make_tasting):
    played = Play(bench, make_tasting(assessors="2", rounds="1", spare_seats="2"))
    first = pouring.void_serving(bench, played.bar, serving(played).id, "spilt")
    pouring.void_serving(bench, played.bar, first, "spilt again")
    shown = trays(client.get(f"/pour/{played.made.pourer}").text)
    spares = [(1, serving(played, number).codes) for number in (3, 4)]
    assert [one for one in shown if one[0] == 1] == [(1, serving(played).codes), *spares]


def test_a_double_tap_lends_one_spare(client, bar, play):
    form = {"serving": str(serving(play).id), "reason": "spilt"}
    for _ in "12":
        client.post(f"{bar}/void", form)
    assert (len(play.record.voids), play.record.version) == (1, 2)


def test_without_a_spare_the_serving_is_only_void(client, bar, play):
    for seat in (1, 2):
        form = {"serving": str(serving(play, seat).id), "reason": "spilt", "round": "1"}
        page = client.post(f"{bar}/void", form, script=True).text
    assert (page.count("fresh serving"), play.place(2).current.round) == (1, 2)


def test_a_void_without_a_reason_is_asked_for_again_at_its_tray(client, bar, play):
    one = serving(play, 2).id
    answer = client.post(f"{bar}/void", {"serving": str(one), "reason": " ", "round": "1"})
    assert answer.status_code == 422
    assert f'id="wrong-{one}">Say what happened' in answer.text
    assert answer.text.count("<details open>") == 1


def test_an_answered_serving_is_left_to_the_leader(client, bar, play):
    one = serving(play).id
    play.answer(1)
    answer = client.post(f"{bar}/void", {"serving": str(one), "reason": "spilt", "round": "1"})
    assert answer.status_code == 409
    assert "tell the leader" in answer.text
    assert "Pour round 1" in answer.text


def test_after_closing_nothing_more_is_poured(client, bench, bar, play):
    close_tasting(bench, play.made.id, "late", "absent")
    page = client.get(bar).text
    assert "nothing more is poured" in page
    assert f'action="{bar}/poured"' not in page
    answer = client.post(f"{bar}/poured", {"slot": "A1", "done": "1", "round": "1"})
    assert (answer.status_code, "that cannot be done now" in answer.text) == (409, True)


def test_a_brew_is_noted_and_superseded(client, bar, play):
    for tds in ("1.30", "1.40 1.41"):
        form = {"slot": "A1", "tds": tds, "temperature_c": "58", "round": "1"}
        assert client.post(f"{bar}/brews", form).status_code == 303
    assert play.record.brews["A1"].tds == ("1.40", "1.41")


@pytest.mark.parametrize("script", [False, True])
def test_nonsense_readings_have_their_words_beside_them(client, bar, play, script):
    form = {"slot": "B1", "tds": "strong", "temperature_c": "58", "note": "slow", "round": "1"}
    answer = client.post(f"{bar}/brews", form, script=script)
    assert answer.status_code == 422
    assert re.search(r'id="tds-error" role="alert">\w', answer.text)
    for name in ("tds", "temperature_c", "note"):
        assert re.search(rf'id="{name}"[^>]*value="{form[name]}"', answer.text)
    assert play.record.brews == {}


def test_no_answer_reaches_the_bar(client, bench, make_tasting):
    played = Play(bench, make_tasting())
    before = client.get(f"/pour/{played.made.pourer}").text
    for right in (True, False):
        played.answer(1, right=right)
    played.contest(2)
    assert client.get(f"/pour/{played.made.pourer}").text == before


def test_the_question_of_the_leader_is_not_on_the_bar(client, bar, plan_form):
    page = client.get(bar).text
    assert plan_form()["question"] not in page


def test_the_page_warns_of_heat_and_of_eyes(client, bar):
    # 65 °C: IARC Monographs volume 116 (2016), very hot beverages.
    page = client.get(bar).text
    assert "65 °C or below" in page
    assert "Keep it out of the tasters’ sight" in page


def test_the_bar_asks_the_database_as_often_for_thirty_seats_as_for_three(
    client, make_tasting, count_queries
):
    made = [make_tasting(assessors=number, rounds="1", spare_seats="0") for number in ("3", "30")]
    for one in made:  # whatever is asked once is asked here
        client.get(f"/pour/{one.pourer}")
    few, many = (count_queries(lambda one=one: client.get(f"/pour/{one.pourer}")) for one in made)
    assert few == many > 0


@pytest.mark.parametrize(("open_cups", "marks"), [("A", "“A”"), ("AB", "“not A”")])
def test_open_cups_are_set_out_before_the_first_codes(client, make_tasting, open_cups, marks):
    made = make_tasting(method="a-not-a", rounds="2", open_cups=open_cups)
    first, second = (client.get(f"/pour/{made.pourer}?round={number}").text for number in (1, 2))
    fill = client.get(f"/pour/{made.pourer}/paper/fill").text
    assert marks in first
    assert "Before round 1, openly:" in first
    assert "openly" not in second
    assert fill.count("Before round 1, openly:") == 1
