"""Where nothing may be drunk, no page of a seat asks anybody to drink."""

import re

import pytest

from server.blinding.plans import Plan
from server.methods.registry import METHODS
from server.tastings.consequences import work_out
from server.tastings.declaring import NOT_SMELT
from server.tastings.plan_forms import plan_form as show_form
from server.tastings.plan_forms import seal_ready
from server.tastings.planning import read_plan
from server.tastings.refusals import Invalid

SMELT = {
    "method": "2-afc", "attribute": "foreign smell", "more": "B", "smell_only": "on",
    "contrast": "soak", "swallow": "on",
}  # fmt: skip
DRINKING = re.compile(r"Swallow|Spit out|rinse|Taste the left|next sip|Take small sips", re.I)


@pytest.fixture
def made(make_tasting):
    return make_tasting(**SMELT)


def test_a_seat_is_told_to_smell_only_and_never_to_drink(client, made):
    page = client.get(f"/seat/{made.tokens[1]}").text
    assert "Drink nothing of these cups" in page
    assert "Smell the cups from left to right" in page
    assert not DRINKING.search(page), DRINKING.search(page)


def test_a_seat_is_told_so_in_german_too(client, made):
    german = {"Accept-Language": "de"}
    page = client.get(f"/seat/{made.tokens[1]}", headers=german).text
    assert "Nur riechen." in page
    assert not re.search("Schlucken|Spucken|spülen", page)


def test_every_step_after_that_asks_for_no_sip(client, made):
    home = f"/seat/{made.tokens[1]}"
    serving = str(made.servings(1)[0].id)
    client.post(f"{home}/start", {"serving": serving})
    client.post(f"{home}/codes", {"serving": serving, "verdict": "yes"})
    form = {"serving": serving, "pick": made.servings(1)[0].codes[0], "client_key": "k"}
    client.post(f"{home}/answer", form)
    client.post(f"{home}/lock", {"serving": serving, "client_key": "k"})
    page = client.get(home).text
    assert "breathe fresh air" in page
    assert not DRINKING.search(page), DRINKING.search(page)


def test_whoever_pours_reads_that_nobody_drinks(client, made):
    assert "nobody drinks from these cups" in client.get(f"/pour/{made.pourer}").text


def test_other_seats_drink_as_they_always_did(client, sealed_tasting):
    page = client.get(f"/seat/{sealed_tasting.tokens[1]}").text
    assert "Swallow every sip." in page
    assert "Drink nothing" not in page


def test_nobody_swallows_and_no_caffeine_is_counted(plan_form):
    given = read_plan(plan_form(**SMELT))
    assert not given.swallow
    assert work_out(given).cost.caffeine_if_swallowed_mg == 0
    plan = seal_ready(given)
    assert plan.smell_only
    assert show_form(plan, {"A": "one", "B": "other"})["smell_only"] == "on"


TASTED = sorted(set(METHODS) - {"triangle", "2-afc", "3-afc", "paired-comparison"})


@pytest.mark.parametrize("method", TASTED)
def test_a_method_that_says_how_to_taste_its_cups_is_not_smelt(plan_form, method):
    given = plan_form(**SMELT | {"method": method, "rounds": "4"})
    with pytest.raises(Invalid) as refused:
        read_plan(given)
    assert refused.value.messages == {"smell_only": NOT_SMELT}


def test_plain_water_of_a_soak_holds_no_caffeine(plan_form):
    assert work_out(read_plan(plan_form(contrast="soak"))).cost.caffeine_if_swallowed_mg == 0
    assert work_out(read_plan(plan_form())).cost.caffeine_if_swallowed_mg > 0


def test_a_plan_in_which_people_drink_is_sealed_as_it_always_was(plan_form):
    sealed = seal_ready(read_plan(plan_form())).model_dump(mode="json")
    assert "smell_only" not in sealed
    assert not Plan.model_validate(sealed).smell_only


def test_the_leader_reads_so_on_the_draft(leader, plan_form):
    page = leader.post("/tastings/new", plan_form(**SMELT))
    draft = leader.get(page.headers["location"]).text
    assert "nothing is drunk" in draft
