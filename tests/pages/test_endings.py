import re
from uuid import UUID

import pytest

from server.tastings.closing import abandon_tasting
from server.tastings.seating import take_seat


def message_beside(page, name):
    found = re.search(rf'id="{name}-error" role="alert">([^<]*)<', page)
    return found and found[1]


def test_a_whole_tasting_is_closed_and_unsealed(leader, home, play):
    play.fill(right=10)
    answer = leader.post(f"{home}/close", {"pourer": "absent"})
    assert (answer.status_code, answer.headers["location"]) == (303, home)
    assert leader.post(f"{home}/unseal").headers["location"] == home
    assert play.record.state == "unsealed"


def test_closing_with_answers_missing_needs_a_reason(leader, home, play):
    answer = leader.post(f"{home}/close", {"pourer": "relay"})
    assert answer.status_code == 422
    assert message_beside(answer.text, "reason").startswith("Answers are missing")
    assert re.findall(r'name="pourer" value="(\w+)" checked', answer.text) == ["relay"]
    assert play.record.state == "sealed"


@pytest.mark.parametrize("pourer", ["", "nobody"])
def test_closing_asks_who_poured_and_keeps_the_reason(leader, home, pourer):
    answer = leader.post(f"{home}/close", {"pourer": pourer, "reason": "a guest is <ill>"})
    assert (answer.status_code, bool(message_beside(answer.text, "pourer"))) == (422, True)
    assert 'value="a guest is &lt;ill&gt;"' in answer.text


def test_a_double_tap_on_closing_closes_once(leader, home, play):
    form = {"pourer": "absent", "reason": "late"}
    answers = [leader.post(f"{home}/close", form) for _ in "12"]
    assert [one.status_code for one in answers] == [303, 303]
    assert play.record.version == 1


def test_a_double_tap_on_unsealing_unseals_once(leader, home, play):
    play.close()
    answers = [leader.post(f"{home}/unseal") for _ in "12"]
    assert [one.status_code for one in answers] == [303, 303]
    assert play.record.version == 2


def test_a_tasting_that_still_runs_is_not_unsealed(leader, home, play):
    assert leader.post(f"{home}/unseal").status_code == 409
    assert play.record.state == "sealed"


def test_a_tasting_is_given_up_with_a_reason(leader, home, play):
    answer = leader.post(f"{home}/abandon", {"abandon_reason": " "})
    assert (answer.status_code, bool(message_beside(answer.text, "abandon_reason"))) == (422, True)
    assert leader.post(f"{home}/abandon", {"abandon_reason": "no water"}).status_code == 303
    assert play.record.state == "abandoned"


def test_a_double_tap_on_giving_up_gives_up_once(leader, home, play):
    for _ in "12":
        assert leader.post(f"{home}/abandon", {"abandon_reason": "no water"}).status_code == 303
    assert play.record.version == 1


def test_a_tasting_given_up_is_not_closed(leader, bench, home, play):
    abandon_tasting(bench, play.made.id, "no water")
    form = {"pourer": "absent", "reason": "late"}
    assert leader.post(f"{home}/close", form).status_code == 409


def test_a_tasting_given_up_may_be_unsealed(leader, bench, home, play):
    abandon_tasting(bench, play.made.id, "no water")
    leader.post(f"{home}/unseal")
    assert "✔ The seal holds." in leader.get(home).text


@pytest.mark.parametrize("choice", ["1", "2", "void"])
def test_a_contest_is_settled(leader, home, play, choice):
    serving = play.contest(1)
    answer = leader.post(f"{home}/contests/{serving}", {"choice": choice})
    assert (answer.status_code, play.record.open_contests) == (303, [])


def test_a_contest_needs_one_of_its_answers(leader, home, play):
    serving = play.contest(1)
    answer = leader.post(f"{home}/contests/{serving}", {"choice": "7"})
    assert (answer.status_code, play.record.open_contests) == (422, [serving])


def test_a_contest_stays_as_it_is_after_unsealing(leader, home, play):
    serving = play.contest(1)
    play.unseal()
    assert leader.post(f"{home}/contests/{serving}", {"choice": "1"}).status_code == 409


@pytest.mark.parametrize("serving", ["x", str(UUID(int=1, version=4))])
def test_a_contest_about_nothing_is_not_there(leader, home, serving):
    assert leader.post(f"{home}/contests/{serving}", {"choice": "1"}).status_code == 404


VOID = {"void_seat": "1", "void_round": "2", "void_reason": "swapped with seat 2"}


def test_a_place_is_voided(leader, home, play):
    assert leader.post(f"{home}/void", VOID).status_code == 303
    assert list(play.record.voids) == [play.made.servings(1)[1].id]


@pytest.mark.parametrize(
    ("typed", "beside"),
    [
        ({"void_seat": "9"}, "void_seat"),
        ({"void_round": ""}, "void_seat"),
        ({"void_reason": " "}, "void_reason"),
    ],
)
def test_a_place_that_cannot_be_voided_is_asked_for_again(leader, home, play, typed, beside):
    answer = leader.post(f"{home}/void", VOID | typed)
    assert (answer.status_code, bool(message_beside(answer.text, beside))) == (422, True)
    assert '<details class="card" open>' in answer.text
    assert play.record.voids == {}


def test_a_double_tap_voids_once(leader, home, play):
    for _ in "12":
        leader.post(f"{home}/void", VOID)
    assert play.record.version == 1


def test_a_script_gets_the_table_alone(leader, home):
    answer = leader.post(f"{home}/close", {}, script=True)
    assert (answer.status_code, answer.text.startswith('<section id="table"')) == (422, True)


def test_a_script_is_led_on_after_closing(leader, home):
    answer = leader.post(f"{home}/close", {"pourer": "absent", "reason": "late"}, script=True)
    assert (answer.status_code, answer.headers["HX-Redirect"]) == (204, home)


def test_what_somebody_called_themselves_is_forgotten(leader, bench, home, play):
    take_seat(bench, play.made.code, 2, "5eed", "Ona")
    assert "Ona" in leader.get(home).text
    for _ in "12":
        assert leader.post(f"{home}/seats/2/forget").status_code == 303
    assert "Ona" not in leader.get(home).text


@pytest.mark.parametrize("number", ["1", "99", "x"])
def test_nobody_is_forgotten_at_a_seat_without_a_name(leader, home, number):
    assert leader.post(f"{home}/seats/{number}/forget").status_code == 404
