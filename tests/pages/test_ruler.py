"""The leader's ruler, and what a finding reads off it."""

from datetime import timedelta

import pytest

from tests.playing import Play


@pytest.fixture
def taste(bench, make_tasting, clock):
    """Plan, play and unseal a test of 6 people and 3 rounds."""

    def play(right, **changed):
        clock.now += timedelta(hours=1)
        played = Play(bench, make_tasting(**changed))
        played.fill(right)
        played.unseal()
        return played

    return play


def test_without_a_dilution_the_ruler_says_how_to_make_one(leader):
    page = leader.get("/ruler")
    assert page.status_code == 200
    assert "The first mark" in page.text
    assert leader.get("/ruler.svg").status_code == 404


def test_the_ruler_shows_its_dilutions_and_their_picture(leader, taste):
    taste(12, dilution_percent="10")
    taste(18, dilution_percent="20")
    page = leader.get("/ruler").text
    assert "12 of 18" in page
    assert "fits the dilutions" in page
    assert leader.get("/ruler.svg").headers["content-type"] == "image/svg+xml"


def test_a_dilution_that_makes_no_mark_says_why(leader, taste):
    taste(18, dilution_percent="10", pots="single", pot_ml="2000")
    assert "no: like cups came from one pot" in leader.get("/ruler").text


def test_all_right_answers_draw_no_line(leader, taste):
    taste(18, dilution_percent="10")
    assert "No line can be drawn yet" in leader.get("/ruler").text


def test_another_leader_has_a_ruler_of_their_own(stranger, taste):
    taste(12, dilution_percent="10")
    assert "The first mark" in stranger.get("/ruler").text


def test_nobody_sees_a_ruler_without_signing_in(open_browser):
    assert "/sign-in" in open_browser().get("/ruler").headers.get("location", "")


def test_a_finding_says_how_much_added_water_is_as_noticeable(leader, taste):
    water, test = taste(12, dilution_percent="10"), taste(11)
    page = leader.get(f"/tastings/{test.made.id}/finding").text
    assert "Measured in added water" in page
    assert water.made.seal in page
    own = leader.get(f"/tastings/{water.made.id}/finding").text
    assert "Measured in added water" not in own
