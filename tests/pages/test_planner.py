import re
from html import unescape

import pytest

from server.tastings.wishing import empty_wish

PAGE = "/tastings/new/planner"


def value_of(page, name):
    return unescape(re.search(rf'<input id="{name}"[^>]*value="([^"]*)"', page)[1])


def test_the_planner_opens_with_an_answer_to_its_defaults(leader):
    page = leader.get(PAGE).text
    assert 'action="/tastings/new/planner"' in page
    assert "Fill in its plan" in page
    assert PAGE in leader.get("/").text


def test_answers_are_kept_and_answered_without_a_script(leader):
    form = empty_wish() | {"difference": "age of the <filter>", "known": "direction"}
    page = leader.post(PAGE, form).text
    assert value_of(page, "difference") == "age of the <filter>"
    assert re.findall(r'name="known" value="(\w+)" checked', page) == ["direction"]
    assert "Take a 2-AFC test" in page or "Take a 3-AFC test" in page


def test_a_script_gets_the_proposal_alone(leader):
    answer = leader.post("/plans/proposal", empty_wish(), script=True)
    assert answer.text.startswith('<aside id="proposal"')


@pytest.mark.parametrize("path", [PAGE, "/tastings/new/filled"])
def test_an_answer_that_cannot_be_taken_has_its_words_beside_it(leader, path):
    answer = leader.post(path, empty_wish() | {"assessors": "many"})
    assert answer.status_code == 422
    assert 'id="assessors-error" role="alert"' in answer.text


# Seen in a browser: an element that swapped itself out took the next change, not yet sent, along.
@pytest.mark.parametrize(("path", "root"), [(PAGE, "proposal"), (PAGE, "contenders"),
                                            ("/tastings/new", "preview")])  # fmt: skip
def test_what_waits_for_changes_stays_while_its_content_is_replaced(leader, path, root):
    assert f'hx-select="#{root} > *" hx-swap="innerHTML"' in leader.get(path).text


def test_a_proposal_that_cannot_be_made_says_what_is_wrong(leader):
    answer = leader.post("/plans/proposal", empty_wish() | {"days": "0"})
    assert (answer.status_code, 'class="error"' in answer.text) == (200, True)


def test_the_proposed_plan_is_filled_in(leader):
    form = empty_wish() | {"difference": "filter", "assessors": "9", "method": "triangle"}
    page = leader.post("/tastings/new/filled", form).text
    assert 'action="/tastings/new"' in page
    assert (value_of(page, "difference"), value_of(page, "assessors")) == ("filter", "9")
    assert re.findall(r'name="method" value="([\w-]+)" checked', page) == ["triangle"]
    assert "Filled in from your answers" in page


@pytest.mark.parametrize("aim", ["control", "order"])
def test_what_is_scored_leads_to_a_scored_table(leader, aim):
    page = leader.post("/plans/proposal", empty_wish() | {"aim": aim}).text
    link = re.search(r'href="(/tastings/new/table[^"]*)"', page)[1]
    assert leader.get(link).status_code == 200


def test_the_planner_asks_the_database_only_who_is_there(leader, count_queries):
    signed_in = count_queries(lambda: leader.get("/tastings/new"))
    assert count_queries(lambda: leader.get(PAGE)) == signed_in
    assert count_queries(lambda: leader.post("/plans/proposal", empty_wish())) == signed_in


def test_all_methods_that_suit_stand_side_by_side(leader):
    page = leader.post("/plans/contenders", empty_wish() | {"known": "direction"}).text
    assert page.startswith('<section id="contenders"')
    for title in ("Triangle test", "Duo-trio test", "2-AFC test", "3-AFC test"):
        assert title in page
    assert page.count("proposed") == 1
    # 95 mg in 237 mL (from memory); 200 and 400 mg: EFSA Journal 13(5):4102, 2015.
    assert "over 400" in page
    assert "EFSA 2015" in page


def test_more_than_one_answer_is_missing_and_nothing_stands_side_by_side(leader):
    page = leader.post("/plans/contenders", empty_wish() | {"days": "", "rounds": "x"}).text
    assert "<table" not in page


def test_the_picture_of_the_page_is_there_and_told_as_a_table(leader):
    page = leader.get(PAGE).text
    address = unescape(re.search(r'<img src="(/plans/power[^"]*)"', page)[1])
    answer = leader.get(address)
    assert (answer.status_code, answer.headers["content-type"]) == (200, "image/svg+xml")
    assert "The numbers of the picture" in page


@pytest.mark.parametrize(
    "asked", ["n=0&d=1&m=triangle", "n=18&d=99&m=triangle", "n=18&d=nan&m=triangle", "n=9&d=1&m=x"]
)
def test_a_picture_of_nothing_is_not_there(leader, asked):
    assert leader.get(f"/plans/power.svg?{asked}").status_code == 404


KIT = {"kit_cups": "80", "kit_pots": "8", "kit_flasks": "0", "kit_hands": "1", "kit_wait_min": "15"}


def test_what_is_at_hand_is_asked_once_and_kept(leader):
    leader.post(PAGE, empty_wish() | KIT)
    page = leader.get(PAGE).text
    assert (value_of(page, "kit_cups"), value_of(page, "kit_pots")) == ("80", "8")
    assert "At the bench" in page
    assert "At the bench" in leader.get("/tastings/new").text


def test_what_is_at_hand_is_forgotten_when_its_fields_are_emptied(leader):
    leader.post(PAGE, empty_wish() | KIT)
    leader.post(PAGE, {"aim": "apart"})  # a form that did not ask
    assert value_of(leader.get(PAGE).text, "kit_cups") == "80"
    leader.post(PAGE, empty_wish() | KIT | {"kit_cups": "", "kit_pots": ""})
    assert value_of(leader.get(PAGE).text, "kit_cups") == ""


def test_a_preview_keeps_nothing(leader):
    leader.post("/plans/proposal", empty_wish() | KIT)
    assert value_of(leader.get(PAGE).text, "kit_cups") == ""


def test_a_plan_whose_cups_would_wait_is_refused_with_what_helps(leader, plan_form):
    leader.post("/tastings/new/filled", empty_wish() | KIT | {"method": "triangle"})
    answer = leader.post("/tastings/new", plan_form(assessors="24"))
    assert answer.status_code == 422
    said = re.search(r'id="waiting-error" role="alert">([^<]*)<', answer.text)[1]
    assert "It would work with 2 people who pour" in said
    assert leader.post("/tastings/new", plan_form(assessors="6")).status_code == 303


def test_what_is_at_hand_and_cannot_be_read_is_not_kept(leader):
    answer = leader.post(PAGE, empty_wish() | KIT | {"kit_pots": "some"})
    assert (answer.status_code, 'id="kit_pots-error" role="alert"' in answer.text) == (422, True)
    assert value_of(leader.get(PAGE).text, "kit_cups") == ""
