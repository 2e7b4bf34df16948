"""The page of a sealed scored table: how far everybody is, what is poured, how it ends."""

import pytest

from server.blinding.events import State
from server.tastings.progress import find_led
from tests.table_forms import answer_with_nothing, begin, lock

WANTED = "Sitting 1"


@pytest.fixture
def made(make_table):
    return make_table(assessors="3", warm_up="A", bowls="2")


@pytest.fixture
def shared(make_table):
    return make_table(style="shared", bowls="3")


@pytest.fixture
def url(made):
    return f"/tastings/{made.id}"


def test_the_board_has_a_column_a_sitting_and_none_for_warm_up_cups(leader, url):
    page = leader.get(url).text
    assert page.count("Sitting 1") == 1
    assert "Round 2" not in page


def test_the_board_counts_values_and_never_shows_one(leader, bench, made, url):
    begin(bench, made, 2, 5)
    page = leader.get(url).text
    assert "5 of " in page
    assert ">500<" not in page


def test_a_locked_sheet_is_answered_with_its_values(leader, bench, made, url):
    lock(bench, made, 1, 4)
    page = leader.get(url).text
    assert "answered" in page
    assert "4 of " in page


def test_the_board_comes_again_although_no_event_happened(leader, bench, made, url):
    before = leader.get(f"{url}/progress").text
    begin(bench, made, 2, 5)
    assert leader.get(f"{url}/progress").text != before


def test_warm_up_cups_are_not_missing_at_the_end(leader, bench, made, url, account):
    for seat in (1, 2, 3):
        lock(bench, made, seat, 1)
    leader.post(f"{url}/close", {"pourer": "absent", "reason": ""})
    assert find_led(bench, account.id, made.id).state == State.CLOSED


def test_closing_with_sheets_missing_needs_a_reason(leader, url):
    assert leader.post(f"{url}/close", {"pourer": "absent"}).status_code == 422


def test_a_closed_table_is_unsealed(leader, bench, made, url, account):
    leader.post(f"{url}/close", {"pourer": "absent", "reason": "the shop opens"})
    leader.post(f"{url}/unseal")
    assert find_led(bench, account.id, made.id).record.seal_matches is True


def test_the_board_asks_the_database_as_often_for_two_sheets_as_for_none(
    leader, bench, made, url, count_queries
):
    none = count_queries(lambda: leader.get(url))
    for seat in (1, 2):
        begin(bench, made, seat, 3)
    assert count_queries(lambda: leader.get(url)) == none


@pytest.mark.parametrize("page", ["/paper/mats", "/paper/run?start=09:00", "/look"])
def test_a_table_has_none_of_what_belongs_to_triads(leader, url, page):
    assert leader.get(url + page).status_code == 404


@pytest.mark.parametrize("page", ["", "/links", "/paper", "/paper/seats", "/paper/seal", "/brews"])
def test_a_table_has_the_other_pages(leader, url, page):
    assert leader.get(url + page).status_code == 200


def test_whoever_pours_reads_code_and_bowl_of_every_cup(client, made):
    page = client.get(f"/pour/{made.pourer}?round=2").text
    cup = made.sealed.servings[-1].cups[0]
    assert f"{cup.code} bowl {cup.bowl}" in page


def test_a_tray_names_bowls_side_by_side_once(client, made):
    serving = next(one for one in made.sealed.servings if one.round == 2)
    page = client.get(f"/pour/{made.pourer}?round=2").text
    assert " – ".join(dict.fromkeys(serving.codes)) in page


def test_a_shared_bowl_is_filled_once_at_its_place(client, shared):
    page = client.get(f"/pour/{shared.pourer}").text
    cup = shared.sealed.servings[0].cups[0]
    assert page.count(f"{cup.code} bowl {cup.bowl}<") == 1
    assert "place 1" in page


def test_a_shared_table_is_set_out_in_a_ring(client, shared):
    assert "Set out around the table" in client.get(f"/pour/{shared.pourer}").text


@pytest.mark.parametrize("paper", ["fill", "trays"])
def test_whoever_pours_prints_lists_of_a_table(client, made, shared, paper):
    for one in (made, shared):
        assert client.get(f"/pour/{one.pourer}/paper/{paper}").status_code == 200


def test_a_pot_of_a_table_is_ticked(client, made, bench, account):
    slot = made.sealed.slots[0].name
    client.post(f"/pour/{made.pourer}/poured", {"slot": slot, "done": "1", "round": "1"})
    assert find_led(bench, account.id, made.id).record.poured == {slot}


def test_a_warm_up_cup_that_was_drunk_stands_in_for_no_sheet(leader, bench, made, url):
    warm_up = next(one for one in made.sealed.servings if one.round == 1 and one.seat == 1)
    answer_with_nothing(bench, made, warm_up)
    assert '<strong class="number">0</strong> of 3 answers' in leader.get(url).text


@pytest.fixture
def unsealed(leader, url):
    leader.post(f"{url}/close", {"pourer": "absent", "reason": "the shop opens"})
    leader.post(f"{url}/unseal")
    return url


def test_a_table_is_planned_again_in_its_own_form(leader, unsealed):
    answer = leader.get(f"{unsealed}/again")
    assert answer.headers["location"] == f"{unsealed}/plan/table"


@pytest.mark.parametrize("page", ["", "/key", "/brews", "/clock"])
def test_an_unsealed_table_has_its_pages(leader, unsealed, page):
    assert leader.get(unsealed + page).status_code == 200


def test_an_early_look_at_the_key_of_a_table_is_recorded_and_shown(leader, url):
    leader.post(f"{url}/key", {"who": "away", "reason": "a cup was spilt"})
    assert leader.get(f"{url}/key").status_code == 200
