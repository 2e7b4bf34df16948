"""The look-only check and the room's checklist on the leader's pages."""

import re

import pytest

from server.blinding.plans import Plan
from server.storage import tables
from server.tastings.drafts import create_draft


@pytest.fixture
def draft(bench, account, plan_input):
    return create_draft(bench, account.id, plan_input())


def odd_cups(bench, draft):
    with bench.reading() as db:
        return Plan.model_validate(db.get_one(tables.Tasting, draft).plan).look_check.odd


def test_a_draft_offers_to_look_first(leader, draft):
    assert f"/tastings/{draft}/look" in leader.get(f"/tastings/{draft}").text


def test_a_cue_found_by_eye_is_named_before_sealing(leader, bench, draft):
    leader.post(f"/tastings/{draft}/look/draw")
    picks = {f"look{at}": str(place) for at, place in enumerate(odd_cups(bench, draft), 1)}
    assert leader.post(f"/tastings/{draft}/look", picks | {"cue": "foam"}).status_code == 303
    assert "Mend the cue" in leader.get(f"/tastings/{draft}/look").text
    assert "6 of 6 odd cups were found" in leader.get(f"/tastings/{draft}").text


def test_pairs_are_looked_at_as_pairs(leader, bench, account, plan_input):
    # All six of six: 1 of 64 by guessing; five of six: 7 of 64, no cue yet (by counting).
    draft = create_draft(
        bench, account.id, plan_input(method="2-afc", attribute="bitter", more="B")
    )
    url = f"/tastings/{draft}/look"
    leader.post(f"{url}/draw")
    wanted = odd_cups(bench, draft)
    rows = re.findall(r"<td>([AB]) – ([AB])</td>", leader.get(url).text)
    assert [row.index("B") + 1 for row in rows] == list(wanted)
    picks = {f"look{at}": str(place) for at, place in enumerate(wanted, 1)}
    leader.post(url, picks | {"look1": str(3 - wanted[0])})
    assert "By looking alone 5 of 6 cups were found." in leader.get(url).text
    assert "Mend the cue" not in leader.get(url).text


def test_a_missing_pick_is_asked_for_and_the_others_stay(leader, draft):
    leader.post(f"/tastings/{draft}/look/draw")
    answer = leader.post(f"/tastings/{draft}/look", {"look1": "2", "cue": "a chip"})
    assert answer.status_code == 422
    assert "Pick one cup of every row" in answer.text
    assert re.search(r'name="look1" value="2" checked', answer.text)
    assert 'value="a chip"' in answer.text


def test_only_the_leader_may_look(client, draft):
    for answer in (client.get(f"/tastings/{draft}/look"), client.post(f"/tastings/{draft}/look")):
        assert answer.headers["location"].startswith("/sign-in")


def test_a_tick_in_the_room_shows(leader, sealed_tasting):
    home = f"/tastings/{sealed_tasting.id}"
    leader.post(f"{home}/checks", {"item": "silent", "done": "1"})
    assert leader.get(home).text.count('aria-pressed="true"') == 1


def test_a_seat_is_struck_off_from_the_table(leader, sealed_tasting):
    home = f"/tastings/{sealed_tasting.id}"
    leader.post(f"{home}/strike", {"strike_seat": "6", "strike_reason": "has a cold"})
    page = leader.get(home).text
    assert page.count("mark-struck") == 3
    assert "0 of 15 answers" in re.sub(r"<[^>]+>", "", page)


def test_a_seat_that_is_not_there_has_its_words_beside_it(leader, sealed_tasting):
    form = {"strike_seat": "40", "strike_reason": "has a cold"}
    answer = leader.post(f"/tastings/{sealed_tasting.id}/strike", form)
    assert answer.status_code == 422
    assert "not a spare one" in answer.text
    assert 'value="has a cold"' in answer.text


def test_a_pourer_who_tastes_elsewhere_is_struck_off_in_the_round_they_pour(leader, sealed_tasting):
    home = f"/tastings/{sealed_tasting.id}"
    assert leader.post(f"{home}/pourers", {"rounds": "2", "seat": "3"}).status_code == 303
    assert leader.get(home).text.count("mark-struck") == 1
