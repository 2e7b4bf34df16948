"""The pages of ladders: begun, read and gone on with by their leader alone."""

from uuid import UUID, uuid4

import pytest

from tests.pages.test_soak import GIVEN
from tests.tastings.test_laddering import play

TITLE = "Does the clip give anything off?"


@pytest.fixture
def first(leader):
    return leader.post("/soak/plan", GIVEN).headers["location"].split("/")[2]


@pytest.fixture
def ladder(leader, first):
    form = {"title": TITLE, "kind": "dose", "tasting": first, "parts": "1"}
    return leader.post("/ladders", form).headers["location"]


def test_without_a_draft_it_says_how_to_begin(leader):
    page = leader.get("/ladders").text
    assert "Plan the first step as a tasting like any other" in page


def test_a_ladder_is_listed_and_shown(leader, ladder):
    assert TITLE in leader.get("/ladders").text
    page = leader.get(ladder).text
    assert "1 part" in page
    assert "Not unsealed yet" in page


def test_a_refused_form_keeps_what_was_typed(leader, first):
    form = {"title": TITLE, "kind": "dose", "tasting": first, "parts": "many"}
    answer = leader.post("/ladders", form)
    assert answer.status_code == 422
    assert f'value="{TITLE}"' in answer.text
    assert "Number of parts: a whole number" in answer.text


def test_a_next_step_is_a_draft_to_be_looked_at(leader, ladder):
    drafted = leader.post(f"{ladder}/next", {"parts": "4"})
    assert drafted.status_code == 303
    assert leader.get(drafted.headers["location"]).status_code == 200
    assert "4 parts" in leader.get(ladder).text


def test_a_refused_step_says_why(leader, ladder):
    answer = leader.post(f"{ladder}/next", {"parts": "1"})
    assert answer.status_code == 422
    assert "This ladder has that step already." in answer.text


def test_an_unknown_ladder_is_not_found(leader):
    assert leader.get(f"/ladders/{uuid4()}").status_code == 404
    assert leader.post(f"/ladders/{uuid4()}/next", {"parts": "1"}).status_code == 404


def test_nobody_else_sees_a_ladder(client, stranger, ladder):
    assert stranger.get(ladder).status_code == 404
    assert TITLE not in stranger.get("/ladders").text
    assert client.get(ladder).status_code in (303, 401)


def test_two_unsealed_steps_have_a_picture(leader, bench, ladder, first):
    assert leader.get(f"{ladder}/steps.svg").status_code == 404
    second = leader.post(f"{ladder}/next", {"parts": "4"}).headers["location"].rsplit("/", 1)[1]
    for tasting_id, right in ((UUID(first), 9), (UUID(second), 18)):
        play(bench, tasting_id, right)
    drawn = leader.get(f"{ladder}/steps.svg")
    assert drawn.headers["content-type"].startswith("image/svg+xml")
    page = leader.get(ladder).text
    assert "1 part: 50% (26% to 74%)" in page
    assert "It is a lead and no finding" in page  # no brew of it was read
    assert f'href="{ladder}"' in leader.get(f"/tastings/{first}/finding").text
