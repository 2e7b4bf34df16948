"""From a finding the next tasting opens in one tap."""

import re
from dataclasses import replace
from uuid import UUID

import pytest

from server.blinding.seal import read_sealed
from server.storage.key import read_sealed_text
from server.tastings import sealing
from server.tastings.soaking import fill_soak_plan
from tests.pages.test_soak import GIVEN
from tests.playing import Play
from tests.playing_alone import PlayAlone
from tests.tastings.test_laddering import play as play_soak
from tests.tastings.test_soaking import soak

SOAKED_AGAIN = fill_soak_plan(soak())


@pytest.fixture
def found(bench, make_tasting):
    play = Play(bench, make_tasting(assessors="3", rounds="1"))
    play.fill(right=2)
    play.unseal()
    return play


def test_the_finding_leads_to_the_next_plan(leader, found):
    home = f"/tastings/{found.made.id}"
    assert f'href="{home}/again"' in leader.get(f"{home}/finding").text
    page = leader.get(f"{home}/again").text
    assert "with what was weakest mended" in page
    assert 'value="Does the fresh cartridge change our green tea?"' in page


def test_a_sealed_tasting_has_no_next_plan(leader, sealed_tasting):
    assert leader.get(f"/tastings/{sealed_tasting.id}/again").status_code == 403


def test_only_its_leader_plans_again(client, found):
    answer = client.get(f"/tastings/{found.made.id}/again")
    assert answer.headers["location"].startswith("/sign-in")


@pytest.fixture
def done(alone):
    for sitting in (1, 2):
        alone.sit(sitting, right=2)
    alone.close()
    alone.unseal()
    return f"/tastings/{alone.made.id}"


def test_more_of_the_same_becomes_a_draft_that_names_the_first_seal(leader, alone, done):
    assert f'action="{done}/more"' in leader.get(f"{done}/finding").text
    answer = leader.post(f"{done}/more")
    assert answer.status_code == 303
    page = leader.get(answer.headers["location"]).text
    assert "Further servings of a tasting whose result you know already" in page
    assert alone.made.seal[:4] in page


def test_a_second_tap_finds_the_draft_that_is_there(leader, done):
    first, second = (leader.post(f"{done}/more").headers["location"] for _ in "12")
    assert first == second


def test_changing_such_a_draft_does_not_cut_it_off_from_the_first(leader, done, plan_form):
    draft = leader.post(f"{done}/more").headers["location"]
    form = plan_form(pourer="alone", sittings="1", pots="usual")
    assert leader.post(f"{draft}/plan", form).status_code == 303
    page = leader.get(draft).text
    assert "1 × 3, one seat" in page
    assert "Further servings" in page


def test_the_first_finding_stays_as_it_was_and_the_second_is_exploratory(
    leader, bench, done, alone
):
    before = leader.get(f"{done}/finding").text
    more = UUID(leader.post(f"{done}/more").headers["location"].split("/")[-1])
    sealing.seal_tasting(bench, more)
    with bench.reading() as db:
        text = read_sealed_text(db, more)
    second = PlayAlone(bench, replace(alone.made, id=more, sealed=read_sealed(text)))
    for sitting in (1, 2):
        second.sit(sitting, right=3)
    second.close()
    second.unseal()
    assert (
        "Exploratory only: it was planned when the result"
        in leader.get(f"/tastings/{more}/finding").text
    )
    assert leader.get(f"{done}/finding").text == before


def test_what_is_sealed_or_was_poured_by_others_is_not_extended(leader, alone, found):
    assert leader.post(f"/tastings/{alone.made.id}/more").status_code == 409
    assert leader.post(f"/tastings/{found.made.id}/more").status_code == 404
    assert "/more" not in leader.get(f"/tastings/{found.made.id}/finding").text


def test_only_its_leader_tastes_more(stranger, client, done):
    assert stranger.post(f"{done}/more").status_code == 404
    assert client.post(f"{done}/more").headers["location"].startswith("/sign-in")


def test_a_soak_planned_again_is_soaked_as_before(leader, bench):
    home = leader.post("/soak/plan", GIVEN).headers["location"].removesuffix("/plan")
    first = UUID(home.rsplit("/", 1)[1])
    play_soak(bench, first, 9)
    page = leader.get(f"{home}/again").text
    form = dict(re.findall(r'name="(\w+)"[^>]*value="([^"]*)"', page))
    assert form["again"] == str(first)
    given = SOAKED_AGAIN | {"again": form["again"]}
    again = leader.post("/tastings/new", given).headers["location"]
    assert "2 pieces" in leader.get(f"{again}/paper/soak").text


@pytest.mark.parametrize("again", ["", "nobody", str(UUID(int=9))])
def test_a_plan_of_nothing_earlier_has_no_bench(leader, again):
    location = leader.post("/tastings/new", SOAKED_AGAIN | {"again": again}).headers["location"]
    assert leader.get(f"{location}/paper/soak").status_code == 404
