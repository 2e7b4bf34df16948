"""The pages of a soak: typed, shown step by step, printed, and planned."""

import re

from server.tastings.soaking import empty_soak
from tests.tastings.test_soaking import TYPED

GIVEN = empty_soak() | TYPED


def test_the_form_is_for_leaders(client, leader):
    assert client.get("/soak").status_code in (303, 401)
    page = leader.get("/soak").text
    assert "Is it sold for contact with food?" in page
    assert "Drink nothing that has touched a part not sold for contact with food" in page


def test_the_steps_follow_from_what_was_typed(leader):
    page = leader.post("/soak", GIVEN).text
    assert "Heat the water to 92 °C and no hotter: the part is rated for 95 °C" in page
    assert 'value="11,5"' in page


def test_a_refused_form_keeps_what_was_typed(leader):
    answer = leader.post("/soak", GIVEN | {"soak_c": "99", "part": "my clip"})
    assert answer.status_code == 422
    assert "The part is rated for 95 °C: soak it no hotter." in answer.text
    assert 'value="my clip"' in answer.text
    assert "Step by step" not in answer.text


def test_the_sheet_prints_the_steps_and_leads_back_to_what_was_typed(leader):
    sheet = leader.get("/soak/sheet", params=GIVEN).text
    assert sheet.count('class="tick"') >= 9
    assert "A tasting result is not a compliance test." in sheet
    back = re.search(r'href="(/soak\?[^"]*)"', sheet)[1].replace("&amp;", "&")
    assert 'value="sprung clip"' in leader.get(back).text


def test_a_sheet_of_a_wrong_form_is_refused(leader):
    assert leader.get("/soak/sheet", params=GIVEN | {"parts": "0"}).status_code == 422


def test_a_soak_is_planned_with_its_test_filled_in(leader):
    planned = leader.post("/soak/plan", GIVEN)
    assert planned.status_code == 303
    page = leader.get(planned.headers["location"]).text
    assert 'value="foreign smell"' in page
    assert re.search(r'name="contrast" value="soak"\s+checked', page)
    home = planned.headers["location"].removesuffix("/plan")
    assert "step by step, to print" in leader.get(home).text
    assert "2 pieces" in leader.get(f"{home}/paper/soak").text


def test_a_wrong_soak_is_not_planned(leader):
    assert leader.post("/soak/plan", GIVEN | {"rating_c": ""}).status_code == 422


def test_a_tasting_without_a_soak_has_no_such_sheet(leader, draft):
    assert leader.get(f"/tastings/{draft}/paper/soak").status_code == 404


def test_a_sealed_soak_prints_its_steps_still(leader, bench):
    from uuid import UUID

    from server.tastings.sealing import seal_tasting

    home = leader.post("/soak/plan", GIVEN).headers["location"].removesuffix("/plan")
    seal_tasting(bench, UUID(home.rsplit("/", 1)[1]))
    assert "sprung clip" in leader.get(f"{home}/paper/soak").text
    assert "<dt>Strength</dt>" not in leader.get(f"{home}/brews").text  # plain water has none


def test_nobody_else_reads_how_a_soak_is_planned(leader, stranger):
    home = leader.post("/soak/plan", GIVEN).headers["location"].removesuffix("/plan")
    assert stranger.get(f"{home}/paper/soak").status_code == 404
