"""From a finding the next tasting opens in one tap."""

import pytest

from tests.playing import Play


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
