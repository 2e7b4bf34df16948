"""The bowl clock behind its two doors."""

import pytest

from server.tastings.clocking import Pace, read_clock


@pytest.fixture
def made(make_table):
    return make_table(style="shared", assessors="3")


@pytest.fixture
def doors(made, leader, client):
    """The leader's device and the pourer's, each with the clock's address."""
    return [(leader, f"/tastings/{made.id}/clock"), (client, f"/pour/{made.pourer}/clock")]


@pytest.fixture
def bowls(bench, made):
    return [one.label for one in read_clock(bench, made.id, made.sealed, 1, Pace()).bowls]


def test_both_doors_lead_to_the_clock(doors, bowls):
    for device, url in doors:
        assert f'Pour <strong class="number">{bowls[0]}</strong>' in device.get(url).text


def test_the_way_to_the_clock_is_on_both_pages(leader, client, made):
    assert f'href="/tastings/{made.id}/clock"' in leader.get(f"/tastings/{made.id}").text
    assert f'href="/pour/{made.pourer}/clock"' in client.get(f"/pour/{made.pourer}").text


def test_a_step_at_one_door_is_seen_at_the_other(doors, bowls):
    (leader, one), (client, other) = doors
    leader.post(one, {"step": "poured", "bowl": bowls[0]})
    assert f'Pour <strong class="number">{bowls[1]}</strong>' in client.get(other).text


def test_a_step_leads_back_to_the_same_pace(doors, bowls):
    device, url = doors[0]
    form = {"step": "poured", "bowl": bowls[0], "gap": "15", "wait": "180"}
    answer = device.post(url, form)
    assert answer.headers["location"] == f"{url}?sitting=1&gap=15&wait=180"


def test_a_repeated_tap_changes_nothing(doors, bowls):
    device, url = doors[0]
    for _ in range(2):
        assert device.post(url, {"step": "poured", "bowl": bowls[0]}).status_code == 303


def test_a_bowl_out_of_turn_is_refused_with_words(doors, bowls):
    device, url = doors[0]
    answer = device.post(url, {"step": "poured", "bowl": bowls[1]})
    assert answer.status_code == 422
    assert "in the same order" in answer.text


def test_a_bad_reading_is_kept_and_refused(doors, bowls):
    device, url = doors[1]
    for bowl in bowls:
        device.post(url, {"step": "poured", "bowl": bowl})
    answer = device.post(url, {"celsius": "warm"})
    assert answer.status_code == 422
    assert 'value="warm"' in answer.text


def test_the_first_sip_is_called_when_the_check_bowl_is_cool_enough(doors, bowls):
    device, url = doors[1]
    for bowl in bowls:
        device.post(url, {"step": "poured", "bowl": bowl})
    device.post(url, {"celsius": "66"})
    assert "still too hot" in device.get(url).text
    device.post(url, {"celsius": "64.5"})
    assert "Sip now." in device.get(url).text


def test_bowls_not_broken_yet_are_called_after_the_first_sip_too(doors, bowls):
    device, url = doors[0]
    for bowl in bowls:
        device.post(url, {"step": "poured", "bowl": bowl})
    device.post(url, {"celsius": "64"})
    assert f'Break <strong class="number">{bowls[0]}</strong>' in device.get(url).text


def test_a_script_gets_the_clock_again_only_if_something_happened(doors, bowls):
    device, url = doors[0]
    assert device.get(f"{url}?v=0", script=True).status_code == 204
    device.post(url, {"step": "poured", "bowl": bowls[0]})
    assert device.get(f"{url}?v=0", script=True).text.startswith('<section id="clock"')


def test_without_a_script_the_page_comes_again_by_itself(doors):
    device, url = doors[0]
    assert '<noscript><meta http-equiv="refresh"' in device.get(url).text


def test_a_sitting_that_is_not_there_is_not_found(doors):
    for device, url in doors:
        assert device.get(f"{url}?sitting=2").status_code == 404
        assert device.post(url, {"sitting": "x"}).status_code == 404


def test_a_triad_has_no_clock(leader, play, client):
    assert leader.get(f"/tastings/{play.made.id}/clock").status_code == 404
    assert client.get(f"/pour/{play.made.pourer}/clock").status_code == 404


def test_nobody_else_opens_the_clock(stranger, client, made):
    assert stranger.get(f"/tastings/{made.id}/clock").status_code == 404
    assert client.get("/pour/nobody/clock").status_code == 404


def test_the_clock_says_nothing_of_samples(doors):
    for device, url in doors:
        assert "batch" not in device.get(url).text
