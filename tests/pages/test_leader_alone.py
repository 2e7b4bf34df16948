"""What the leader of a tasting alone sees and does: the same person as its taster."""

import re

import pytest

from tests.pages.test_endings import message_beside


@pytest.fixture
def home(alone):
    return f"/tastings/{alone.made.id}"


def test_the_table_leads_to_the_seat_and_to_nobody_who_pours(leader, home):
    page = leader.get(home).text
    assert f'href="{home}/seat"' in page
    assert f"{home}/links/seat/1.svg" in page
    assert not re.findall(rf"/pour/|mats|{home}/links\"|{home}/strike|{home}/key", page)


def test_the_seat_opens_on_this_device(leader, home, alone):
    answer = leader.get(f"{home}/seat")
    assert (answer.status_code, answer.headers["location"]) == (
        303, f"/seat/{alone.made.tokens[1]}",
    )  # fmt: skip


def test_only_the_seat_of_a_tasting_alone_is_opened_so(leader, play, stranger, client, alone):
    assert leader.get(f"/tastings/{play.made.id}/seat").status_code == 404
    mine = f"/tastings/{alone.made.id}/seat"
    assert stranger.get(mine).status_code == 404
    assert client.get(mine).headers["location"].startswith("/sign-in")


def test_the_links_page_shows_the_seat_alone(leader, home, alone):
    page = leader.get(f"{home}/links").text
    assert f"/seat/{alone.made.tokens[1]}" in page
    assert "/pour" not in page
    assert leader.post(f"{home}/pourers", {"rounds": "1"}).status_code == 404


def test_the_board_goes_by_sittings(leader, home, alone):
    alone.sit(1)
    alone.taste(2)
    page = leader.get(home).text
    assert "Your sittings" in page
    assert re.search(r">1</span></th>.*?entered", page, re.DOTALL)
    assert "not entered yet" in page


def test_the_board_names_marks_corrected_and_lost_ones(leader, home, alone):
    alone.sit(1)
    alone.turn(1, {alone.servings(1)[0].id: 0})
    page = leader.get(home).text
    assert "entered, corrected; lost in 1 serving" in page


def test_the_board_never_says_whether_answers_were_right(leader, home, alone):
    alone.sit(1, right=3)
    alone.sit(2, right=0)
    rows = re.findall(r"<tr>\s*<th scope=\"row\">.*?</tr>", leader.get(home).text, re.DOTALL)
    first, second = (re.sub(r'number">\d', "", row) for row in rows)
    assert first == second


def test_the_room_is_asked_only_what_concerns_one_person(leader, home):
    page = leader.get(home).text
    assert re.findall(r'name="item" value="(\w+)"', page) == ["roaster_off", "no_smell"]


def test_closing_asks_what_was_done_alone(leader, home, alone):
    page = leader.get(home).text
    offered = re.findall(r'name="pourer" value="(\w+)"', page)
    assert offered == ["alone", "absent", "present", "taster"]
    for sitting in (1, 2):
        alone.sit(sitting)
    assert leader.post(f"{home}/close", {"pourer": "alone"}).status_code == 303
    assert leader.post(f"{home}/unseal").headers["location"] == home
    assert alone.record.state == "unsealed"


def test_closing_early_after_a_look_under_the_cups_is_cautioned(leader, home, alone):
    alone.taste(1)
    assert "exploratory" not in leader.get(home).text
    alone.turn(1)
    assert "if you stop now, the finding will be exploratory" in leader.get(home).text


def test_closing_with_marks_missing_needs_a_reason_and_keeps_the_choice(leader, home, alone):
    alone.sit(1)
    alone.taste(2)
    answer = leader.post(f"{home}/close", {"pourer": "present"})
    assert answer.status_code == 422
    assert message_beside(answer.text, "reason").startswith("Marks are not entered yet")
    assert re.findall(r'name="pourer" value="(\w+)" checked', answer.text) == ["present"]


def test_unsealing_asks_for_marks_that_are_missing(leader, home, alone):
    alone.taste(1)
    alone.close("the kettle broke")
    assert f'href="{home}/seat"' in leader.get(home).text
    answer = leader.post(f"{home}/unseal")
    assert (answer.status_code, bool(message_beside(answer.text, "marks_gone"))) == (422, True)
    assert alone.record.state == "closed"


def test_marks_said_to_be_gone_let_the_tasting_be_unsealed_once(leader, home, alone):
    alone.taste(1)
    alone.close("the kettle broke")
    answers = [leader.post(f"{home}/unseal", {"marks_gone": "on"}) for _ in "12"]
    assert [one.status_code for one in answers] == [303, 303]
    assert len(alone.record.reveals[1]) == 1


def test_a_serving_alone_is_taken_out_by_its_number(leader, home, alone):
    alone.taste(1)
    assert 'type="hidden" name="void_seat" value="1"' in leader.get(home).text
    form = {"void_seat": "1", "void_round": "2", "void_reason": "a lid fell off"}
    assert leader.post(f"{home}/void", form).status_code == 303
    assert alone.record.voids.keys() == {alone.servings(1)[1].id}


def test_before_unsealing_there_is_no_key_to_show(leader, home, alone):
    alone.sit(1)
    page = leader.get(f"{home}/key").text
    assert "There is no key." in page
    assert "<form class" not in page
    assert leader.post(f"{home}/key", {"who": "away", "reason": "curious"}).status_code == 409
    assert alone.record.looks == []


def test_after_unsealing_the_key_is_what_the_marks_said(leader, home, alone):
    alone.taste(1)
    first = alone.servings(1)[0]
    alone.turn(1, {first.id: 0})
    alone.close("the kettle broke")
    alone.unseal()
    page = leader.get(f"{home}/key").text
    assert f"{first.codes[0]} = lost" in page
    assert f"{first.codes[1]} = {alone.under[first.id][1]}" in page
