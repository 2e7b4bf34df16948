"""Pieces of a part, page by page."""

from uuid import UUID

import pytest

from server.brewing.brewed import PartState
from server.tastings import specimens

SIEVE = {"label": "sieve 1", "part": "steel sieve", "state": "new", "note": "smells of nothing"}


@pytest.fixture
def kept(bench, account):
    return specimens.add_specimen(bench, account.id, SIEVE)


def test_a_piece_is_written_down_and_listed(leader):
    answer = leader.post("/specimens", SIEVE)
    assert (answer.status_code, answer.headers["location"]) == (303, "/specimens")
    assert "sieve 1" in leader.get("/specimens").text


def test_the_same_tap_twice_writes_one_piece_down(leader, bench, account):
    for _ in range(2):
        assert leader.post("/specimens", SIEVE).status_code == 303
    assert len(specimens.list_specimens(bench, account.id)) == 1


def test_every_state_is_offered_with_what_it_means(leader):
    page = leader.get("/specimens").text
    assert [f'value="{state}"' in page for state in PartState] == [True] * len(PartState)


def test_a_refused_form_keeps_what_was_typed(leader):
    answer = leader.post("/specimens", SIEVE | {"label": "", "brews_before": "many"})
    assert answer.status_code == 422
    for words in ('value="steel sieve"', "smells of nothing", 'value="many"', "0 to 100000"):
        assert words in answer.text
    assert 'value="new" checked' in answer.text


@pytest.mark.usefixtures("kept")
def test_a_label_that_is_taken_is_refused(leader):
    answer = leader.post("/specimens", SIEVE | {"part": "cloth"})
    assert answer.status_code == 422
    assert specimens.MESSAGES["taken"] in answer.text


def test_a_change_of_state_shows_with_its_day(leader, kept):
    for _ in range(2):
        answer = leader.post(f"/specimens/{kept}", {"state": "washed", "note": "boiled twice"})
        assert answer.status_code == 303
    page = leader.get(f"/specimens/{kept}").text
    assert page.count("2031-05-14: new → washed") == 1
    assert "boiled twice" in page


def test_a_state_that_there_is_not_is_refused(leader, kept):
    answer = leader.post(f"/specimens/{kept}", {"state": "shiny", "note": "polished"})
    assert answer.status_code == 422
    assert "polished" in answer.text


def test_a_piece_is_put_away_and_taken_back(leader, kept):
    leader.post(f"/specimens/{kept}/retire", {"retired": "1"})
    assert "put away" in leader.get("/specimens").text
    leader.post(f"/specimens/{kept}/retire", {"retired": "0"})
    assert "put away" not in leader.get("/specimens").text


@pytest.mark.parametrize("path", ["/specimens", "/specimens/{id}"])
def test_nobody_sees_pieces_without_signing_in(client, kept, path):
    answer = client.get(path.format(id=kept))
    assert answer.status_code == 303
    assert answer.headers["location"].startswith("/sign-in?")


@pytest.mark.parametrize("path", ["", "/retire"])
def test_the_pieces_of_another_leader_are_not_there(stranger, kept, path):
    form = {"state": "used", "retired": "1"}
    assert stranger.post(f"/specimens/{kept}{path}", form).status_code == 404
    assert stranger.get(f"/specimens/{kept}").status_code == 404
    assert "sieve 1" not in stranger.get("/specimens").text


def test_an_unknown_piece_is_not_found(leader):
    assert leader.get(f"/specimens/{UUID(int=7)}").status_code == 404
    assert leader.post(f"/specimens/{UUID(int=7)}", {"state": "new"}).status_code == 404


@pytest.mark.usefixtures("kept")
def test_the_list_asks_for_as_much_however_many_pieces_there_are(
    leader, bench, account, count_queries
):
    before = count_queries(lambda: leader.get("/specimens"))
    for number in range(2, 9):
        specimens.add_specimen(bench, account.id, SIEVE | {"label": f"sieve {number}"})
    assert count_queries(lambda: leader.get("/specimens")) == before
