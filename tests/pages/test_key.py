import re

import pytest

LOOK = {"who": "present", "reason": "a guest is ill"}


def shown(page):
    """Codes with the brew slot beside them."""
    return dict(re.findall(r"(\d{3}) = ([AB]\d+)", page))


def test_the_key_stays_shut_until_a_look_is_recorded(leader, home):
    page = leader.get(f"{home}/key").text
    assert shown(page) == {}
    assert "recorded for ever" in page


def test_a_recorded_look_shows_the_whole_key(leader, home, play):
    assert leader.post(f"{home}/key", LOOK).headers["location"] == f"{home}/key"
    sealed = play.made.sealed
    cups = [cup for serving in sealed.servings for cup in serving.cups]
    assert shown(leader.get(f"{home}/key").text) == {cup.code: sealed.key[cup.id] for cup in cups}


def test_a_look_is_on_record_before_the_key_is_seen(leader, home, play):
    leader.post(f"{home}/key", LOOK)
    look = play.record.looks[0]
    assert (look.who, look.reason, look.before_closing) == ("present", "a guest is ill", True)


def test_a_double_tap_is_one_look(leader, home, play):
    for _ in "12":
        leader.post(f"{home}/key", LOOK)
    assert play.record.version == 1


@pytest.mark.parametrize(
    ("typed", "beside"), [({"who": ""}, "who"), ({"who": "me"}, "who"), ({"reason": " "}, "reason")]
)
def test_a_look_without_who_or_why_shows_nothing(leader, home, play, typed, beside):
    answer = leader.post(f"{home}/key", LOOK | typed)
    assert answer.status_code == 422
    assert f'id="{beside}-error" role="alert"' in answer.text
    assert (shown(answer.text), play.record.looks) == ({}, [])


def test_what_was_typed_for_a_look_stays(leader, home):
    page = leader.post(f"{home}/key", LOOK | {"who": ""}).text
    assert 'value="a guest is ill"' in page
    page = leader.post(f"{home}/key", LOOK | {"reason": ""}).text
    assert re.findall(r'name="who" value="(\w+)" checked', page) == ["present"]


def test_the_key_lies_open_after_unsealing(leader, home, play):
    play.unseal()
    assert len(shown(leader.get(f"{home}/key").text)) > 0


def test_a_look_after_unsealing_is_refused(leader, home, play):
    play.unseal()
    assert leader.post(f"{home}/key", LOOK).status_code == 409


def test_a_script_gets_the_form_alone(leader, home):
    assert leader.get(f"{home}/key", script=True).text.startswith('<section id="key"')
