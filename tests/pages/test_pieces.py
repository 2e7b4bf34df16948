"""Choosing the pieces of a draft's samples, page by page."""

from uuid import UUID

import pytest

from server.tastings import specimens
from server.tastings.pieces_planned import name_field
from server.tastings.pieces_used import NOT_THERE
from server.tastings.sealing import seal_tasting
from tests.conftest import look_up
from tests.playing import Play


@pytest.fixture
def cloth(bench, account):
    form = {"label": "cloth 1", "part": "cloth filter", "state": "new"}
    return specimens.add_specimen(bench, account.id, form)


@pytest.fixture
def home(draft):
    """The draft's bench, where its pieces stand."""
    return f"/tastings/{draft}/bench"


@pytest.fixture
def choose(home):
    """Where the form of the pieces goes."""
    return f"{home}/specimens"


def test_a_chosen_piece_stays_ticked_and_what_is_lacking_is_said(leader, home, choose, cloth):
    for _ in range(2):
        answer = leader.post(choose, {name_field("B", cloth): "on"})
        assert answer.headers["location"] == f"{home}#bench-pieces"
    page = leader.get(home).text
    assert f'name="{name_field("B", cloth)}" value="on" checked' in page
    assert "takes up to 6 brews of it" in page
    assert "1 fresh piece is chosen: 5 more are needed" in page


def test_without_any_piece_the_page_says_where_to_write_them_down(leader, home):
    assert 'href="/specimens"' in leader.get(home).text


def test_a_box_of_no_piece_chooses_nothing(leader, home, choose, cloth):
    leader.post(choose, {name_field("B", UUID(int=9)): "on", name_field("Z", cloth): "on"})
    assert 'value="on" checked' not in leader.get(home).text


def test_once_sealed_pieces_are_not_chosen_any_more(leader, bench, draft, choose, cloth):
    seal_tasting(bench, draft)
    assert leader.post(choose, {name_field("B", cloth): "on"}).status_code == 409


def test_another_leader_and_nobody_choose_nothing(stranger, client, choose):
    assert stranger.post(choose, {}).status_code == 404
    assert client.post(choose, {}).headers["location"].startswith("/sign-in")


def test_an_unknown_tasting_is_not_found(leader):
    assert leader.post(f"/tastings/{UUID(int=3)}/bench/specimens", {}).status_code == 404


def test_from_the_bench_to_the_finding(leader, bench, account, draft, choose, cloth):
    leader.post(choose, {name_field("B", cloth): "on"})
    leader.post(f"/tastings/{draft}/seal")
    play = Play(bench, look_up(bench, draft, ""))
    slots = [slot.name for slot in play.made.sealed.slots if slot.sample == "B"]
    for slot in slots:
        form = {"slot": slot, "specimen": "cloth 1", "tds": "", "time": "", "note": ""}
        assert leader.post(f"/tastings/{draft}/brews", form).status_code == 303
    assert specimens.get_specimen(bench, account.id, cloth).brews == len(slots) == 6
    play.fill(right=11)
    play.unseal()
    page = leader.get(f"/tastings/{draft}/finding").text
    assert "was tested as new, but 5 of its 6 brews were made with a piece that had made" in page
    assert "0: first brew of a new piece" in page


def test_a_piece_of_the_other_sample_cannot_be_noted(leader, draft, choose, cloth):
    leader.post(choose, {name_field("B", cloth): "on"})
    leader.post(f"/tastings/{draft}/seal")
    form = {"slot": "A1", "specimen": "cloth 1", "tds": "", "time": "", "note": ""}
    answer = leader.post(f"/tastings/{draft}/brews", form)
    assert answer.status_code == 422
    assert NOT_THERE in answer.text
