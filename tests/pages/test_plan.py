import re
from html import unescape

import pytest

from server.storage.tables import Tasting

NUMBERS = [
    "assessors", "size_percent", "rounds", "spare_seats", "alpha",
    "cup_ml", "pot_ml", "loss_ml", "tds_limit", "temperature_limit",
]  # fmt: skip


def state(bench, tasting_id):
    with bench.reading() as db:
        found = db.get(Tasting, tasting_id)
    return found and found.state


def message_beside(page, name):
    found = re.search(rf'<span class="error" id="{name}-error"([^>]*)>([^<]*)</span>', page)
    return "" if "hidden" in found[1] else unescape(found[2])


def value_of(page, name):
    return unescape(re.search(rf'<input id="{name}"[^>]*value="([^"]*)"', page)[1])


def test_an_empty_plan_shows_the_defaults_and_what_follows(leader):
    page = leader.get("/tastings/new").text
    assert (value_of(page, "rounds"), value_of(page, "question")) == ("3", "")
    assert "Right answers needed" in page
    assert (value_of(page, "pot_ml"), value_of(page, "loss_ml")) == ("500", "30")


def test_a_draft_says_how_much_of_a_pot_fills_no_cup(leader, plan_form):
    page = keep(leader, plan_form(pot_ml="500", loss_ml="30"))
    assert "40 mL, 500 mL (30 mL of it fill no cup)" in page
    assert "of it fill no cup" not in keep(leader, plan_form(loss_ml="0"))


def test_a_plan_is_kept_as_a_draft(leader, plan_form):
    answer = leader.post("/tastings/new", plan_form())
    assert (answer.status_code, answer.headers["location"][:10]) == (303, "/tastings/")
    page = leader.get(answer.headers["location"]).text
    assert "Seal this plan" in page
    assert plan_form()["question"] in page


def test_a_script_is_led_to_the_draft_too(leader, plan_form):
    answer = leader.post("/tastings/new", plan_form(), script=True)
    assert (answer.status_code, "HX-Redirect" in answer.headers) == (204, True)


@pytest.mark.parametrize("name", [*NUMBERS, "question", "sample_a", "sample_b", "difference"])
def test_a_bad_field_has_its_words_beside_it_and_all_stays_typed(leader, plan_form, name):
    typed = "<x" * 200
    answer = leader.post("/tastings/new", plan_form(**{name: typed}))
    assert answer.status_code == 422
    assert message_beside(answer.text, name)
    assert value_of(answer.text, name) == typed
    others = [one for one in plan_form() if one not in (name, "pourer", "swallow")]
    assert all(value_of(answer.text, one) == plan_form()[one] for one in others)


def test_whoever_pours_has_to_be_chosen(leader, plan_form):
    answer = leader.post("/tastings/new", plan_form(pourer=""))
    assert message_beside(answer.text, "pourer") == "Choose who pours."


def test_a_choice_stays_chosen(leader, plan_form):
    page = leader.post("/tastings/new", plan_form(pourer="relay", question="", swallow="")).text
    assert re.findall(r'name="pourer" value="(\w+)" checked', page) == ["relay"]
    assert 'name="swallow" value="on" checked' not in page


def test_a_message_among_the_defaults_opens_them(leader, plan_form):
    assert '<details class="card" open>' in leader.post("/tastings/new", plan_form(alpha="9")).text
    shut = leader.post("/tastings/new", plan_form(question="")).text
    assert '<details class="card">' in shut


def test_a_pot_too_small_has_its_words_beside_it(leader, plan_form):
    answer = leader.post("/tastings/new", plan_form(pot_ml="100", cup_ml="150"))
    assert answer.status_code == 422
    assert message_beside(answer.text, "pot_ml").startswith("A pot has to fill its cups")


def test_a_method_nobody_knows_is_refused(leader, plan_form):
    assert leader.post("/tastings/new", plan_form(method="sniff")).status_code == 422


def test_a_form_of_nothing_is_asked_for_again(leader):
    assert leader.post("/tastings/new", {}).status_code == 422


def test_the_preview_follows_what_is_typed(leader, plan_form):
    answer = leader.post("/plans/preview", plan_form(assessors="8"), script=True)
    assert answer.text.startswith('<aside id="preview"')
    assert ">24<" in answer.text
    assert ">13<" in answer.text  # of 24: ISO 4120:2021 table A.1, from memory


# Seen in a browser: an answer on its way when the next change came put the new one out of
# its place, and the page kept what was true before.
def test_a_newer_preview_calls_off_the_one_on_its_way(leader):
    assert 'hx-sync="this:replace"' in leader.get("/tastings/new").text


def test_the_preview_needs_no_words(leader):
    form = {"assessors": "6", "size_percent": "50"}
    assert ">10<" in leader.post("/plans/preview", form).text


@pytest.mark.parametrize("typed", [{"assessors": "x"}, {"size_percent": ""}, {"pot_ml": "1"}])
def test_the_preview_says_what_is_wrong(leader, plan_form, typed):
    answer = leader.post("/plans/preview", plan_form(**typed))
    assert (answer.status_code, 'class="error"' in answer.text) == (200, True)


@pytest.mark.parametrize(
    "typed",
    [
        {"size_percent": "1"},
        {"size_percent": "99", "assessors": "60", "rounds": "12", "relief": "spit"},
        {"alpha": "0.000001", "size_percent": "1"},
        {"assessors": "1", "rounds": "1", "spare_seats": "0"},
        {"cup_ml": "200", "pot_ml": "200", "relief": "sips"},
        {"pots": "blend", "cup_ml": "200", "pot_ml": "200", "relief": "sips"},
    ],
)
def test_a_plan_at_the_edge_is_shown_and_kept(leader, plan_form, typed):
    assert "facts" in leader.post("/plans/preview", plan_form(**typed)).text
    answer = leader.post("/tastings/new", plan_form(**typed))
    assert leader.get(answer.headers["location"]).status_code == 200


def test_more_than_a_days_caffeine_is_cautioned(leader, plan_form):
    # 400 mg a day: EFSA Journal 13(5):4102, 2015; 433 mg from 95 mg in 237 mL (from memory).
    page = leader.post("/plans/preview", plan_form(rounds="12", cup_ml="30")).text
    assert "up to 433 mg" in page
    assert "More than 400 mg of caffeine" in page


def test_a_draft_is_changed(leader, draft, plan_form):
    url = f"/tastings/{draft}/plan"
    assert value_of(leader.get(url).text, "size_percent") == "50"
    assert leader.post(url, plan_form(size_percent="33.25")).status_code == 303
    assert value_of(leader.get(url).text, "size_percent") == "33.25"


def test_a_bad_change_keeps_the_draft_as_it_was(leader, draft, plan_form):
    url = f"/tastings/{draft}/plan"
    answer = leader.post(url, plan_form(rounds="x"))
    assert (answer.status_code, f'action="{url}"' in answer.text) == (422, True)
    assert value_of(leader.get(url).text, "rounds") == "3"


def test_a_sealed_plan_cannot_be_changed(leader, home, plan_form, play):
    assert leader.get(f"{home}/plan").headers["location"] == home
    assert leader.post(f"{home}/plan", plan_form(rounds="4")).status_code == 409
    assert play.bar.layout.plan.rounds == 3


def test_sealing_is_done_once(leader, bench, draft):
    seal = f"/tastings/{draft}/seal"
    first = leader.post(seal), leader.get(f"/tastings/{draft}").text
    again = leader.post(seal), leader.get(f"/tastings/{draft}").text
    assert first[0].status_code == again[0].status_code == 303
    assert first[1] == again[1]
    assert state(bench, draft) == "sealed"


def test_a_draft_is_deleted(leader, bench, draft):
    answer = leader.post(f"/tastings/{draft}/delete")
    assert (answer.headers["location"], state(bench, draft)) == ("/", None)
    assert leader.post(f"/tastings/{draft}/delete").status_code == 404


def test_a_sealed_tasting_is_not_deleted(leader, bench, home, play):
    assert leader.post(f"{home}/delete").status_code == 409
    assert state(bench, play.made.id) == "sealed"


ALONE = {"pourer": "alone", "sittings": "", "pots": "usual"}


def keep(leader, form):
    answer = leader.post("/tastings/new", form)
    assert answer.status_code == 303
    return leader.get(answer.headers["location"]).text


def test_a_plan_alone_is_kept_with_its_sittings(leader, plan_form):
    page = keep(leader, plan_form(**ALONE, assessors="x"))
    assert "6 × 3, one seat" in page
    assert "none: you would know of each that it comes" in page


def test_a_plan_alone_has_no_d_prime_unless_it_has_a_direction(leader, plan_form):
    assert (
        "#dprime" not in re.search(r"Size that matters</dt>.*", keep(leader, plan_form(**ALONE)))[0]
    )
    page = keep(leader, plan_form(**ALONE, attribute="bitter", more="B"))
    assert "#dprime" in re.search(r"Size that matters</dt>.*", page)[0]
    assert "sample B should have more: “bitter”" in page


def test_the_preview_alone_counts_sittings(leader, plan_form):
    page = leader.post("/plans/preview", plan_form(**ALONE)).text
    assert "6 of 3 servings, on up to 6 days" in page
    assert "minutes" in page


@pytest.mark.parametrize(
    ("typed", "name"),
    [
        ({"sittings": "x"}, "sittings"),
        ({"attribute": "bitter"}, "more"),
        ({"more": "A"}, "attribute"),
    ],
)
def test_a_bad_field_alone_has_its_words_beside_it(leader, plan_form, typed, name):
    answer = leader.post("/tastings/new", plan_form(**ALONE | typed))
    assert (answer.status_code, bool(message_beside(answer.text, name))) == (422, True)
    assert '<details class="card">' in answer.text  # nothing of it is folded away


def test_a_plan_alone_comes_back_as_it_was_typed(leader, plan_form):
    answer = leader.post("/tastings/new", plan_form(**ALONE, attribute="bitter", more="B"))
    page = leader.get(f"{answer.headers['location']}/plan").text
    assert (value_of(page, "sittings"), value_of(page, "attribute")) == ("6", "bitter")
    assert 'name="pourer" value="alone" checked' in page


def test_a_look_made_with_other_cups_is_dropped_with_its_method(leader, bench, draft, plan_form):
    leader.post(f"/tastings/{draft}/look/draw")
    leader.post(f"/tastings/{draft}/plan", plan_form(rounds="4"))
    with bench.reading() as db:
        assert db.get(Tasting, draft).plan["look_check"]
    leader.post(f"/tastings/{draft}/plan", plan_form(method="2-afc", attribute="bitter", more="A"))
    with bench.reading() as db:
        assert db.get(Tasting, draft).plan["look_check"] is None


def test_a_panel_may_be_asked_a_directional_pair(leader, plan_form):
    page = keep(leader, plan_form(method="2-afc", attribute="bitter", more="A"))
    assert "sample A should have more: “bitter”" in page
    assert "Try it with six pairs" in page


def test_over_the_guides_one_of_four_things_is_asked_for_and_recorded(leader, plan_form):
    much = {"rounds": "6"}  # 18 cups of 40 mL
    refused = leader.post("/tastings/new", plan_form(**much))
    assert refused.status_code == 422
    assert "EFSA 2015" in message_beside(refused.text, "relief")
    kept = leader.post("/tastings/new", plan_form(**much, relief="sips"))
    assert "small sips" in leader.get(kept.headers["location"]).text


def test_the_preview_says_that_something_is_asked_for(leader, plan_form):
    page = leader.post("/plans/preview", plan_form(rounds="6")).text
    assert 'href="#relief"' in page
    assert (
        "Chosen against it"
        in leader.post("/plans/preview", plan_form(rounds="6", relief="decaf")).text
    )
