import re
import xml.etree.ElementTree as ET

import pytest

from server.app import create_app
from server.settings import Settings
from server.tastings.handing_out import find_links


def links(page):
    return re.findall(r'class="mono" href="([^"]+)"', page)


def test_every_seat_and_whoever_pours_have_a_full_address(leader, home, play):
    found = links(leader.get(f"{home}/links").text)
    words = [f"/seat/{play.made.tokens[number]}" for number in range(1, 8)]
    assert found == ["http://bench.test" + one for one in (f"/pour/{play.made.pourer}", *words)]


def test_the_short_code_and_its_address_are_shown(leader, home, play):
    page = leader.get(f"{home}/links").text
    assert f"http://bench.test/join/{play.made.code}" in page


def test_addresses_are_those_the_server_was_told(leader, home, play):
    leader.app.state.base_url = "https://tea.example/bar"
    page = leader.get(f"{home}/links").text
    assert links(page)[0] == f"https://tea.example/bar/pour/{play.made.pourer}"


def test_settings_bring_the_address_to_the_pages(bench):
    app = create_app(Settings("none: the bench has one", "https://tea.example"), bench)
    assert app.state.base_url == "https://tea.example"


@pytest.mark.parametrize("name", ["join", "seat/1", "seat/7", "pour/1"])
def test_every_link_has_a_qr_code(leader, home, name):
    answer = leader.get(f"{home}/links/{name}.svg")
    assert answer.headers["content-type"] == "image/svg+xml"
    assert ET.fromstring(answer.content).tag.endswith("svg")


def test_qr_codes_differ_from_seat_to_seat(leader, home):
    pictures = {leader.get(f"{home}/links/seat/{number}.svg").content for number in (1, 2, 3)}
    assert len(pictures) == 3


@pytest.mark.parametrize("name", ["seat/8", "seat/0", "pour/2", "guest/1", "seat/one", "seat/-1"])
def test_a_link_that_is_not_there_has_no_qr_code(leader, home, name):
    assert leader.get(f"{home}/links/{name}.svg").status_code == 404


def test_a_further_pourer_gets_a_link_for_some_rounds(leader, home):
    answer = leader.post(f"{home}/pourers", {"rounds": "1, 2"})
    assert (answer.status_code, answer.headers["location"]) == (303, f"{home}/links")
    assert "Pours round 1, 2" in leader.get(f"{home}/links").text


def test_a_double_tap_makes_one_link(leader, bench, home, play):
    for _ in "12":
        leader.post(f"{home}/pourers", {"rounds": "1"})
    assert len(find_links(bench, play.made.id).pourers) == 2


@pytest.mark.parametrize("typed", ["", "4", '"><b>', "1-3"])
def test_rounds_that_cannot_be_read_are_asked_for_again(leader, home, typed):
    answer = leader.post(f"{home}/pourers", {"rounds": typed})
    assert answer.status_code == 422
    assert 'id="rounds-error" role="alert">Name rounds from 1 to 3' in answer.text
    assert "<b>" not in answer.text


def test_what_was_typed_for_rounds_stays(leader, home):
    page = leader.post(f"{home}/pourers", {"rounds": "9"}).text
    assert re.search(r'id="rounds"[^>]*value="9"', page)
