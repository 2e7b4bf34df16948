"""Letting brews out, at the pourer's round and in the leader's register."""

import pytest

from server.tastings.pouring import note_brew

REASON = "the guests are waiting"


@pytest.fixture
def unmatched(bench, play):
    for slot, tds in (("A1", "1.30"), ("B1", "1.45")):
        form = {"slot": slot, "tds": tds, "temperature_c": "60", "fill_g": "40"}
        note_brew(bench, play.made.id, range(1, 4), form)


@pytest.fixture
def bar(play):
    return f"/pour/{play.made.pourer}"


@pytest.fixture(params=["pourer", "leader"])
def place(request, client, leader, bar, home):
    """Who releases, and where: device, page and the address of the form."""
    if request.param == "pourer":
        return client, f"{bar}?round=1", f"{bar}/release"
    return leader, f"{home}/brews", f"{home}/brews/release"


@pytest.mark.usefixtures("unmatched")
def test_every_brew_that_was_read_shows_how_it_matches_in_plain_words(place):
    device, page, _ = place
    text = device.get(page).text
    assert "Strength not matched: 0.15 %TDS apart, limit 0.05 %TDS." in text
    assert "Temperature matched: 0 °C apart, limit 2 °C." in text


@pytest.mark.usefixtures("unmatched")
def test_a_brew_is_released_with_a_reason_once_however_often_it_is_tapped(place, play):
    device, page, address = place
    form = {"slot": "A1", "round": "1", "release_reason": REASON}
    answers = [device.post(address, form) for _ in "12"]
    assert [one.status_code for one in answers] == [303, 303]
    assert (play.record.releases["A1"].reason, play.record.version) == (REASON, 3)
    assert f"Released: “{REASON}”" in device.get(page).text


@pytest.mark.usefixtures("unmatched")
def test_without_a_reason_its_field_says_so_and_the_others_stay_as_they_are(place, play):
    device, _, address = place
    answer = device.post(address, {"slot": "B1", "round": "1", "release_reason": " "})
    assert answer.status_code == 422
    assert 'id="release_reason-B1-error" role="alert">Not matched: say' in answer.text
    assert 'id="release_reason-A1-error" hidden' in answer.text
    assert play.record.releases == {}


@pytest.mark.usefixtures("unmatched")
@pytest.mark.parametrize("slot", ["", "Z1", "<b>"])
def test_no_brew_of_that_name_is_released(place, slot):
    device, _, address = place
    assert device.post(address, {"slot": slot, "release_reason": REASON}).status_code == 404


def test_an_unread_brew_is_not_released(place, play):
    device, _, address = place
    answer = device.post(address, {"slot": "A1", "release_reason": REASON})
    assert (answer.status_code, play.record.releases) == (409, {})


@pytest.mark.usefixtures("unmatched")
def test_a_brew_that_waits_is_not_ticked_and_the_page_says_what_to_do(client, bar, play):
    answer = client.post(f"{bar}/poured", {"slot": "A1", "done": "1", "round": "1"})
    assert answer.status_code == 409
    assert "Brew A1 waits: strength (0.15 %TDS apart, limit 0.05 %TDS) not matched." in answer.text
    assert play.record.poured == set()


@pytest.mark.usefixtures("unmatched")
def test_the_reason_of_one_brew_is_offered_for_the_other(client, bar):
    form = {"slot": "A1", "round": "1", "release_reason": REASON}
    client.post(f"{bar}/release", form)
    assert f'maxlength="300" autocomplete="off" value="{REASON}"' in client.get(bar).text


def test_another_leader_finds_no_register_to_release_in(stranger, home):
    assert stranger.post(f"{home}/brews/release", {"slot": "A1"}).status_code == 404


def test_nobody_releases_who_is_not_signed_in(client, home):
    assert client.post(f"{home}/brews/release", {"slot": "A1"}).status_code in (303, 401)


@pytest.mark.usefixtures("unmatched")
def test_after_closing_nothing_is_released(leader, home, play):
    play.close()
    assert leader.post(f"{home}/brews/release", {"slot": "A1"}).status_code == 409
    assert "Match and release" not in leader.get(f"{home}/brews").text


@pytest.mark.usefixtures("unmatched")
def test_a_register_asks_as_much_of_few_readings_as_of_many(
    leader, home, count_queries, bench, play
):
    few = count_queries(lambda: leader.get(f"{home}/brews"))
    for slot in play.made.sealed.slots:
        note_brew(bench, play.made.id, range(1, 9), {"slot": slot.name, "tds": "1.3"})
    assert count_queries(lambda: leader.get(f"{home}/brews")) == few


def test_somebody_alone_releases_in_the_register_before_the_cups_are_shuffled(leader, alone):
    address = f"/tastings/{alone.made.id}/brews"
    for slot, tds in (("A1", "1.30"), ("B1", "1.45")):
        leader.post(address, {"slot": slot, "tds": tds, "temperature_c": "60", "fill_g": "40"})
    assert "Strength not matched: 0.15 %TDS apart" in leader.get(address).text
    form = {"slot": "B1", "release_reason": REASON}
    assert leader.post(f"{address}/release", form).status_code == 303
    assert alone.record.releases["B1"].reason == REASON
