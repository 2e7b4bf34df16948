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
