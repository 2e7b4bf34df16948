import re
from collections.abc import Callable

from server.storage import queries
from server.tastings.closing import abandon_tasting

KEY = "5eed" * 10


def take(client, made, seat=2, **more):
    return client.post(f"/join/{made.code}", {"seat": str(seat), "claim_key": KEY} | more)


def test_the_short_code_is_asked_for(client):
    assert 'name="code"' in client.get("/join").text


def test_a_short_code_leads_to_its_seats(client, sealed_tasting):
    answer = client.post("/join", {"code": sealed_tasting.code})
    assert (answer.status_code, answer.headers["location"]) == (303, f"/join/{sealed_tasting.code}")


def test_a_short_code_may_be_typed_small_and_with_blanks(client, sealed_tasting):
    code = sealed_tasting.code.lower()
    answer = client.post("/join", {"code": f" {code[:3]} {code[3:]} "})
    assert answer.headers["location"] == f"/join/{sealed_tasting.code}"


def test_no_code_at_all_is_asked_for_again(client):
    answer = client.post("/join", {"code": "  "})
    assert (answer.status_code, "Type the code first." in answer.text) == (422, True)


def test_an_unknown_code_keeps_what_was_typed(client):
    answer = client.post("/join", {"code": "ABC234"})
    assert (answer.status_code, 'value="ABC234"' in answer.text) == (404, True)


def test_markup_typed_as_a_code_comes_back_as_text(client):
    answer = client.post("/join", {"code": '"><b>../x'})
    assert (answer.status_code, "<b>" in answer.text) == (404, False)


def test_an_unknown_code_in_the_address_asks_for_another(client):
    answer = client.get("/join/ABC234")
    assert (answer.status_code, 'action="/join"' in answer.text) == (404, True)


def test_a_draft_has_no_seats_to_take(client, bench, account, plan_input):
    from server.tastings.drafts import create_draft

    tasting_id = create_draft(bench, account.id, plan_input())
    with bench.reading() as db:
        code = queries.find_tasting(db, tasting_id).join_code
    assert client.get(f"/join/{code}").status_code == 404


def test_every_free_seat_can_be_chosen(client, sealed_tasting):
    page = client.get(f"/join/{sealed_tasting.code}").text
    assert (page.count('name="seat"'), "disabled" in page) == (7, False)


def test_the_page_says_what_is_stored(client, sealed_tasting):
    assert "What is stored, and who sees it" in client.get(f"/join/{sealed_tasting.code}").text


def test_taking_a_seat_leads_to_its_own_link(client, sealed_tasting):
    answer = take(client, sealed_tasting, 2)
    assert answer.headers["location"] == f"/seat/{sealed_tasting.tokens[2]}"


def test_a_seat_is_taken_with_a_script_running_too(client, sealed_tasting):
    answer = client.post(f"/join/{sealed_tasting.code}", {"seat": "2"}, script=True)
    assert answer.headers["hx-redirect"] == f"/seat/{sealed_tasting.tokens[2]}"


def test_a_taken_seat_is_shown_as_taken(client, sealed_tasting):
    take(client, sealed_tasting, 2)
    page = client.get(f"/join/{sealed_tasting.code}").text
    assert re.findall(r'value="(\d+)"\s*disabled', page) == ["2"]


def test_a_double_tap_takes_one_seat(client, bench, sealed_tasting):
    take(client, sealed_tasting, 2)
    again = take(client, sealed_tasting, 2)
    with bench.reading() as db:
        taken = queries.load_record(db, sealed_tasting.id).seats_taken
    assert (again.headers["location"], taken) == (f"/seat/{sealed_tasting.tokens[2]}", {2})


def test_the_same_form_for_another_seat_still_takes_one(client, sealed_tasting):
    take(client, sealed_tasting, 2)
    again = take(client, sealed_tasting, 3)
    assert again.headers["location"] == f"/seat/{sealed_tasting.tokens[2]}"


def test_two_people_cannot_take_one_seat(open_browser, sealed_tasting):
    take(open_browser(), sealed_tasting, 2)
    late = take(open_browser(), sealed_tasting, 2, claim_key="beef", name="Ona")
    assert late.status_code == 409
    assert "Somebody has just taken this seat" in late.text
    assert 'value="Ona"' in late.text


def test_a_seat_has_to_be_chosen(client, sealed_tasting):
    answer = client.post(f"/join/{sealed_tasting.code}", {"name": "Ona"})
    assert (answer.status_code, 'value="Ona"' in answer.text) == (422, True)


def test_a_seat_that_does_not_exist_cannot_be_taken(client, sealed_tasting):
    assert take(client, sealed_tasting, 99).status_code == 404


def test_a_name_too_long_comes_back_to_be_shortened(client, sealed_tasting):
    answer = take(client, sealed_tasting, name="o" * 41)
    assert (answer.status_code, "Keep it to 40 characters." in answer.text) == (422, True)


def test_only_the_leader_sees_a_name(client, bench, sealed_tasting):
    take(client, sealed_tasting, name="Ona \x00 P.")
    with bench.reading() as db:
        assert queries.list_labels(db, sealed_tasting.id) == {2: "Ona P."}
    assert "Ona" not in client.get(f"/join/{sealed_tasting.code}").text


def test_no_seat_can_be_taken_when_the_tasting_is_over(client, bench, sealed_tasting):
    abandon_tasting(bench, sealed_tasting.id, "the kettle broke")
    assert client.get(f"/join/{sealed_tasting.code}").status_code == 410
    assert take(client, sealed_tasting).status_code == 409


def test_seats_of_an_unknown_tasting_cannot_be_taken(client):
    assert client.post("/join/ABC234", {"seat": "1"}).status_code == 404


def test_nothing_about_the_samples_is_shown(client, sealed_tasting, plan_form: Callable[..., dict]):
    page = client.get(f"/join/{sealed_tasting.code}").text
    hidden = ("question", "sample_a", "sample_b", "difference")
    assert not [name for name in hidden if plan_form()[name] in page]
