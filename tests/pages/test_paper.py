import re
from itertools import chain

import pytest

from server.tastings import pouring
from server.tastings.striking import strike_off

LEADERS = ["", "/mats", "/mats?round=2", "/seats", "/seal", "/run?start=09:30"]
POURERS = ["/fill", "/trays"]


@pytest.fixture
def paper(home):
    return f"{home}/paper"


@pytest.fixture
def pour(play):
    return f"/pour/{play.made.pourer}/paper"


def sheet(text, number):
    """The part of a page between one sheet and the next."""
    return re.split(r'class="sheet', text)[number]


def find_slots(text):
    """Names of brew slots on the sheets of a page."""
    return re.findall(r"\b[ABC][1-9]\b", text.partition("<main")[2])


def codes_of(text):
    return re.findall(r"<(?:strong|span)[^>]*>(\d{3})</", text)


@pytest.mark.parametrize("path", LEADERS)
def test_a_leader_gets_every_sheet(leader, paper, path):
    assert leader.get(paper + path).status_code == 200


@pytest.mark.parametrize("path", LEADERS)
def test_a_sheet_is_for_those_who_are_signed_in(client, paper, path):
    assert client.get(paper + path).headers["location"].startswith("/sign-in")


@pytest.mark.parametrize("path", LEADERS)
def test_another_leader_gets_no_sheet(stranger, paper, path):
    assert stranger.get(paper + path).status_code == 404


@pytest.mark.parametrize("path", LEADERS)
def test_a_draft_has_nothing_to_print(leader, draft, path):
    assert leader.get(f"/tastings/{draft}/paper{path}").status_code == 404


@pytest.mark.parametrize("path", LEADERS)
def test_no_leaders_sheet_tells_what_is_asked_or_compared(leader, paper, plan_form, path):
    page = leader.get(paper + path).text
    hidden = ("question", "sample_a", "sample_b", "difference")
    assert not [name for name in hidden if plan_form()[name] in page]


@pytest.mark.parametrize("path", LEADERS)
def test_no_leaders_sheet_opens_the_pourers_link(leader, paper, play, path):
    assert play.made.pourer not in leader.get(paper + path).text


@pytest.mark.parametrize("path", ["/mats", "/seats", "/seal"])
def test_no_brew_slot_stands_on_what_an_assessor_may_see(leader, paper, path):
    assert not find_slots(leader.get(paper + path).text)


def test_every_seat_and_round_has_one_mat(leader, paper):
    assert leader.get(paper + "/mats").text.count('class="sheet mat"') == 7 * 3


def test_the_mats_of_one_round_can_be_had_alone(leader, paper):
    page = leader.get(paper + "/mats?round=2").text
    assert (page.count("<strong>Round 2</strong>"), page.count("<strong>Round ")) == (7, 7)


def test_a_mat_has_the_codes_from_left_to_right(leader, paper, play):
    serving = play.made.servings(3)[1]
    text = sheet(leader.get(paper + "/mats?round=2").text, 3)
    assert tuple(codes_of(text)) == serving.codes


def test_a_mat_bears_the_short_seal(leader, paper, play):
    seal = play.made.seal
    short = " ".join(seal[at : at + 4] for at in range(0, 16, 4))
    assert short in sheet(leader.get(paper + "/mats").text, 1)


def test_only_the_mats_of_spare_seats_are_marked_so(leader, paper):
    page = leader.get(paper + "/mats?round=1").text
    assert [number for number in range(1, 8) if "Spare" in sheet(page, number)] == [7]


def test_what_is_struck_off_needs_no_mat(leader, home, paper):
    leader.post(f"{home}/strike", {"strike_seat": "2", "strike_reason": "did not come"})
    assert leader.get(paper + "/mats?round=1").text.count('class="sheet mat"') == 6


@pytest.mark.parametrize("number", ["0", "4", "-1"])
def test_there_are_no_mats_of_a_round_that_is_not_planned(leader, paper, number):
    assert leader.get(f"{paper}/mats?round={number}").status_code == 404


def test_a_round_that_is_no_number_is_not_understood(leader, paper):
    assert leader.get(paper + "/mats?round=two").status_code == 422


def test_every_seat_card_has_its_own_code(leader, paper, home):
    page = leader.get(paper + "/seats").text
    cards = re.findall(r'src="(.+?\.svg)" alt="QR code of seat (\d+)"', page)
    assert cards == [(f"{home}/links/seat/{number}.svg", str(number)) for number in range(1, 8)]


def test_the_picture_on_a_seat_card_is_there(leader, home):
    assert leader.get(f"{home}/links/seat/7.svg").headers["content-type"] == "image/svg+xml"


def test_a_seat_card_has_the_short_code_for_those_without_a_camera(leader, paper, play):
    page = leader.get(paper + "/seats").text
    assert page.count(f">{play.made.code}</strong>") == 7


def test_the_whole_seal_is_on_the_seal_card_in_groups_of_four(leader, paper, play):
    groups = re.findall(r"(?:[0-9a-f]{4} ){15}[0-9a-f]{4}", leader.get(paper + "/seal").text)
    assert [one.replace(" ", "") for one in groups] == [play.made.seal]


@pytest.mark.parametrize("words", ["Date and time", "Place", "Witness’s signature"])
def test_the_seal_card_has_room_for_a_witness(leader, paper, words):
    assert f"<dt>{words}</dt><dd></dd>" in leader.get(paper + "/seal").text


def test_the_run_card_begins_when_it_is_told(leader, paper):
    page = leader.get(paper + "/run?start=23:15").text
    assert re.findall(r">(\d\d:\d\d)", page)[:1] == ["23:15"]
    assert "00:17 +1 d" in page


def test_the_run_card_begins_anew_on_another_day(leader, make_tasting):
    made = make_tasting(relief="days", days="2")  # of 3 rounds two are on the first day
    page = leader.get(f"/tastings/{made.id}/paper/run?start=09:30").text
    assert "Round 1 · day 1" in page
    assert "Round 2<" in page
    assert "Round 3 · day 2" in page
    assert page.count("Kettle on") == 3
    assert page.count("Read out the short seal") == page.count("Close, once every") == 1
    assert page.count("it goes on another day") == 1


def test_the_run_card_serves_no_seat_that_was_struck_off(leader, paper, play):
    before = leader.get(paper + "/run?start=09:30").text
    strike_off(play.bench, play.made.id, "6", "has a cold")
    after = leader.get(paper + "/run?start=09:30").text
    assert ("Serve 6 seats" in before, "Serve 5 seats" in after) == (True, True)


def test_the_run_card_brews_in_the_order_in_which_the_pourer_pours(leader, paper, play):
    page = leader.get(paper + "/run?start=09:30").text
    slots = list(chain.from_iterable(play.bar.slots(number) for number in (1, 2, 3)))
    assert re.findall(r"Brew (\w+)", page) == [slot.name for slot in slots]
    assert re.findall(r"Release (\w+) if", page) == [slot.name for slot in slots]


def test_the_run_card_and_the_fill_list_do_name_slots(leader, client, paper, pour):
    pages = leader.get(paper + "/run?start=09:30").text, client.get(pour + "/fill").text
    assert all(find_slots(page) for page in pages)


def test_every_brew_of_a_blend_has_its_line(leader, make_tasting):
    made = make_tasting(pots="blend", rounds="1")
    page = leader.get(f"/tastings/{made.id}/paper/run?start=09:30").text
    assert re.findall(r"Brew (\w+), brew (\d)", page)[:4] == [
        ("A1", "1"), ("B1", "1"), ("A1", "2"), ("B1", "2"),
    ]  # fmt: skip
    assert "Blend the brews" in page
    assert re.findall(r"Release (\w+) if", page) == ["A1", "B1"]


def test_a_control_round_is_printed_like_any_other(leader, client, make_tasting):
    made = make_tasting(null_control="on")
    home, pour = f"/tastings/{made.id}/paper", f"/pour/{made.pourer}/paper"
    assert leader.get(f"{home}/mats").text.count('class="sheet mat"') == 7 * 4
    assert "Round 4" in leader.get(f"{home}/run?start=09:30").text
    assert [client.get(pour + path).text.count("round 4") for path in POURERS] == [1, 1]


@pytest.mark.parametrize("pourer", ["taster", "present", "absent", "relay"])
def test_the_run_card_says_what_whoever_pours_does(leader, make_tasting, pourer):
    made = make_tasting(pourer=pourer)
    page = leader.get(f"/tastings/{made.id}/paper/run?start=09:30").text
    assert ("leaves the room" in page, "knows codes only" in page, "not blind" in page) == (
        pourer == "absent", pourer == "relay", pourer == "taster",
    )  # fmt: skip


@pytest.mark.parametrize("start", ["", "25:00", '"><b>'])
def test_a_start_that_is_no_clock_time_is_asked_for_again(leader, paper, start):
    answer = leader.get(paper + "/run", params={"start": start})
    assert (answer.status_code, "<b>" in answer.text) == (422, False)
    assert "Give a clock time such as 09:30." in answer.text


@pytest.mark.parametrize("path", POURERS)
def test_a_pourers_sheet_needs_the_pourers_link(client, path):
    assert client.get(f"/pour/{'0' * 40}/paper{path}").status_code == 404


@pytest.mark.parametrize("path", POURERS)
def test_a_seats_link_opens_no_pourers_sheet(client, play, path):
    assert client.get(f"/pour/{play.made.tokens[1]}/paper{path}").status_code == 404


@pytest.mark.parametrize("path", POURERS)
def test_every_sheet_of_a_pourer_warns(client, pour, path):
    page = client.get(pour + path).text
    warned = re.findall(r'class="warning">[^<]*hows which cup is which', page)
    assert len(warned) == page.count('class="sheet') == 3


def test_the_fill_list_fills_every_cup_from_its_own_pot(client, pour, play):
    page = client.get(pour + "/fill").text
    rows = re.findall(r'<th scope="row"><span class="large">(\w+)<(.*?)</tr>', page, re.DOTALL)
    found = {(slot, code) for slot, row in rows for code in codes_of(row)}
    sealed = play.made.sealed
    cups = chain.from_iterable(one.cups for one in sealed.servings)
    assert found == {(sealed.key[cup.id], cup.code) for cup in cups}


def test_the_fill_list_names_the_pot_again_when_its_cups_go_on(client, make_tasting):
    made = make_tasting(assessors="24", spare_seats="0", rounds="1", pots="blend")
    page = client.get(f"/pour/{made.pourer}/paper/fill").text
    rows = re.findall(r'<span class="large">(\w+)</span>', page)
    assert rows == ["A1"] * 3 + ["B1"] * 3


def test_the_fill_list_marks_what_is_held_back(client, pour, play):
    page = client.get(pour + "/fill").text
    marked = re.findall(r'<li class="spare">.*?<strong>(\d{3})</strong> seat 7', page)
    spare = chain.from_iterable(one.codes for one in play.made.servings(7))
    assert sorted(marked) == sorted(spare)


def test_the_tray_list_has_every_serving_from_left_to_right(client, pour, play):
    first = sheet(client.get(pour + "/trays").text, 1)
    planned = [play.made.servings(seat)[0].codes for seat in range(1, 8)]
    assert codes_of(first) == list(chain.from_iterable(planned))


def test_the_tray_list_shows_no_pot_and_no_sample(client, pour, plan_form):
    page = client.get(pour + "/trays").text
    assert not find_slots(page)
    assert plan_form()["sample_a"] not in page


def test_the_tray_list_marks_spare_servings(client, pour):
    assert client.get(pour + "/trays").text.count("spare: hold back") == 3


def test_a_void_serving_and_its_spare_are_marked_on_the_tray_list(client, bench, pour, play):
    pouring.void_serving(bench, play.bar, play.made.servings(2)[0].id, "tipped over")
    first = sheet(client.get(pour + "/trays").text, 1)
    assert [first.count(mark) for mark in ("void: do not", "in place of", "hold back")] == [1, 1, 0]


@pytest.mark.parametrize("path", POURERS)
def test_a_pourer_prints_no_round_of_somebody_else(client, bench, play, path):
    from server.storage import tables

    with bench.writing() as db:
        db.add(tables.PourerLink(token="b" * 40, tasting_id=play.made.id, rounds=[2],
                                 created_at=bench.clock()))  # fmt: skip
        db.commit()
    page = client.get(f"/pour/{'b' * 40}/paper{path}").text
    others = {one.codes for one in play.made.sealed.servings if one.round != 2}
    assert "round 2" in page
    assert set(chain.from_iterable(others)) & set(codes_of(page)) == set()


def test_the_sheets_are_linked_where_they_are_needed(leader, client, home, play):
    pour = f"/pour/{play.made.pourer}"
    assert f'href="{home}/paper"' in leader.get(home).text
    assert f'href="{pour}/paper/fill"' in client.get(pour).text


def test_all_mats_ask_the_database_as_often_as_those_of_a_round(leader, paper, count_queries):
    leader.get(paper + "/mats")  # whatever is asked once is asked here
    one = count_queries(lambda: leader.get(paper + "/mats?round=1"))
    assert count_queries(lambda: leader.get(paper + "/mats")) == one
