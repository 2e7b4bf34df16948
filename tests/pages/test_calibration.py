"""The open bowl on every page and paper: named to everybody, noted by the leader, never scored."""

import re

import pytest

from server.tastings import seating
from server.tastings.progress import find_led
from tests.table_forms import TABLE, find_table, lock

BOWL = "our house filter"
NOTED = {
    "calibrated_sitting": "1",
    "calibrated_words": "thin is below 30",
    "calibrated_seat_2": "on",
}


@pytest.fixture
def made(make_table):
    return make_table(calibration=BOWL, sittings="2", assessors="3")


@pytest.fixture
def plain(make_table):
    return make_table()


@pytest.fixture
def url(made):
    return f"/tastings/{made.id}"


def read_bowl(page):
    return re.sub(r"\s+", " ", page.partition('<div id="ahead"')[0])


def test_an_open_bowl_is_planned_and_shown_with_what_it_takes(leader):
    answer = leader.post("/tastings/new/table", TABLE | {"calibration": f" {BOWL} "})
    page = leader.get(answer.headers["location"]).text
    assert f"<dt>Open bowl to calibrate on</dt><dd>{BOWL}</dd>" in page
    assert "Among them open, to calibrate on, a sitting</dt><dd>7</dd>" in page


def test_a_sample_is_no_open_bowl(leader):
    answer = leader.post("/tastings/new/table", TABLE | {"calibration": "Batch 15 as filter"})
    assert answer.status_code == 422
    assert 'value="Batch 15 as filter"' in answer.text
    assert "This names the sample “batch 15”" in answer.text


def test_the_first_screen_says_what_it_is_and_that_it_is_not_scored(client, made):
    page = read_bowl(client.get(f"/seat/{made.tokens[1]}").text)
    assert f"First an open bowl: {BOWL}" in page
    assert "nothing of it is scored" in page
    assert "It is hot as well: no sip above 65 °C." in page


def test_the_first_screen_says_it_in_german(client, made):
    german = {"Accept-Language": "de"}
    page = client.get(f"/seat/{made.tokens[1]}", headers=german).text
    assert f"Zuerst eine offene Schale: {BOWL}" in page


def test_a_later_sitting_begins_with_it_again(client, bench, made):
    home = f"/seat/{made.tokens[1]}"
    seating.read_instructions(bench, made.tokens[1])
    assert "First an open bowl" not in read_bowl(client.get(home).text)
    lock(bench, made, 1, 3)
    page = read_bowl(client.get(home).text)
    assert page.index(f"First an open bowl: {BOWL}") < page.index(
        find_table(made.sealed, 1, 2).codes[0]
    )


def test_a_table_without_one_says_nothing_of_it(client, leader, plain):
    home = f"/tastings/{plain.id}"
    pages = [client.get(f"/seat/{plain.tokens[1]}"), leader.get(home), leader.get(f"{home}/clock")]
    assert [one.url for one in pages if "open bowl" in one.text] == []


def test_the_leader_notes_it_as_done(leader, bench, account, made, url):
    assert "Note it as done for sitting 1" in leader.get(url).text
    assert leader.post(f"{url}/calibration", NOTED).status_code == 303
    page = leader.get(url).text
    assert "Sitting 1: done</strong>, seats 2. thin is below 30" in page
    assert "Change the note of sitting 1" in page
    assert len(find_led(bench, account.id, made.id).record.calibrations) == 1


def test_what_cannot_be_noted_is_told_beside_what_was_typed(leader, bench, made, url):
    lock(bench, made, 1, 3)
    answer = leader.post(f"{url}/calibration", NOTED)
    assert answer.status_code == 422
    assert "A sheet of that sitting is locked already" in answer.text
    assert 'value="thin is below 30"' in answer.text


def test_nobody_else_notes_it(stranger, client, plain, leader, url):
    assert stranger.post(f"{url}/calibration", NOTED).status_code == 404
    assert client.post(f"{url}/calibration", NOTED).status_code == 303  # to sign in
    assert leader.post(f"/tastings/{plain.id}/calibration", NOTED).status_code == 404


def test_the_bowl_clock_says_whether_it_is_noted(leader, url):
    assert "It is not noted as done yet." in leader.get(f"{url}/clock").text
    leader.post(f"{url}/calibration", NOTED)
    assert "It is noted as done." in leader.get(f"{url}/clock?v=0").text


@pytest.mark.parametrize("paper", ["", "/paper/fill", "/paper/trays"])
def test_whoever_pours_reads_what_to_set_out_openly(client, made, paper):
    page = client.get(f"/pour/{made.pourer}{paper}").text
    assert page.count(f"First, openly: “{BOWL}”.") == (2 if paper else 1)  # two sittings
    assert "4 cups of 60 mL" in page


def test_score_sheets_begin_with_it(leader, url):
    page = leader.get(f"{url}/paper/scores?seat=1").text
    assert page.count(f"First an open bowl: {BOWL}.") == 2


def test_labels_have_none_for_it(leader, url):
    assert BOWL not in leader.get(f"{url}/paper/labels").text


def test_the_finding_tells_what_was_agreed_on_and_what_was_left_out(leader, bench, made, url):
    leader.post(f"{url}/calibration", NOTED)
    for sitting in (1, 2):
        lock(bench, made, 1, 9, sitting)
    leader.post(f"{url}/close", {"pourer": "absent", "reason": "the shop opens"})
    leader.post(f"{url}/unseal")
    page = leader.get(f"{url}/finding").text
    assert "seats 2: thin is below 30" in page
    assert f"“{BOWL}”, was planned; before sitting 2 nobody noted it." in page
