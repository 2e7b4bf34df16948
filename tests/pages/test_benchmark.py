"""Recipes beside the house reference, as their leader sees them."""

import re

import pytest

from server.reports import benchmark_words as words
from server.tastings import benchmarking, recipes_kept
from tests.benchmarked import CONE, HOUSE, brew, draw_both, keep_both


@pytest.fixture
def kept(bench, account):
    return keep_both(bench, account.id)


@pytest.fixture
def taste(bench, account, plan_input):
    """Play a test of the house reference and the other recipe to its end."""

    def play(right=18, **changed):
        played = draw_both(bench, account.id, plan_input(**changed))
        played.fill(right)
        played.unseal()

    return play


def test_without_a_recipe_the_page_says_where_to_begin(leader):
    answer = leader.get("/benchmark")
    assert answer.status_code == 200
    assert "No recipe is kept yet." in answer.text


def test_without_a_house_reference_the_page_says_how_to_mark_one(leader, bench, account):
    recipes_kept.keep_recipe(bench, account.id, CONE)
    page = leader.get("/benchmark").text
    assert "No recipe is marked as the house reference yet." in page
    assert "Is it worth it?" not in page


@pytest.mark.usefixtures("kept")
def test_brews_stand_in_a_row_with_their_limits_and_their_form(leader, bench, account):
    brew(bench, account.id, HOUSE, ["1.30", "1.32"])
    brew(bench, account.id, CONE, ["1.40", "1.42", "1.41"])
    page = leader.get("/benchmark").text
    for said in ("1.31 ± 0.0", "1.30 to 1.32", "from the weighed beverage", "3:00", "stronger by"):
        assert said in page
    assert page.index("Flat bed, house") < page.index("Cone, finer")


@pytest.mark.usefixtures("kept")
def test_a_finding_is_quoted_with_the_share_that_noticed(leader, taste):
    taste()
    page = leader.get("/benchmark").text
    assert "/finding" in page
    assert "noticed (guessing model)" in page
    assert "two-sided 95% limits" in page
    assert words.WORTH in page


@pytest.mark.usefixtures("kept")
def test_older_tastings_that_are_not_read_are_counted(leader, taste, monkeypatch):
    monkeypatch.setattr(benchmarking, "MOST", 1)
    for right in (18, 9):
        taste(right)
    assert "1 older tasting is not read here." in leader.get("/benchmark").text


@pytest.mark.usefixtures("kept")
def test_another_leader_sees_none_of_it(stranger, bench, account):
    brew(bench, account.id, CONE, ["1.40"])
    page = stranger.get("/benchmark").text
    assert "Cone, finer" not in page


def test_nobody_sees_it_without_signing_in(client):
    answer = client.get("/benchmark")
    assert (answer.status_code, answer.headers["location"][:9]) == (303, "/sign-in?")


@pytest.mark.usefixtures("kept")
def test_the_page_asks_for_as_much_however_much_there_is(
    leader, bench, account, taste, count_queries
):
    taste()
    brew(bench, account.id, CONE, ["1.40"])
    before = count_queries(lambda: leader.get("/benchmark"))
    taste(right=9)
    brew(bench, account.id, CONE, ["1.41", "1.42", "1.43"])
    recipes_kept.keep_recipe(bench, account.id, CONE.model_copy(update={"title": "Cone, coarser"}))
    assert count_queries(lambda: leader.get("/benchmark")) == before


def find_action(page):
    return re.search(r'action="(/benchmark/[^"]+/plan)"', page)[1]


@pytest.mark.usefixtures("kept")
def test_a_test_against_the_house_reference_is_planned_with_both_recipes(leader):
    answer = leader.post(find_action(leader.get("/benchmark").text))
    assert answer.status_code == 303
    plan = leader.get(answer.headers["location"])
    assert "Flat bed, house, version 1 (house reference)" in plan.text
    draft = answer.headers["location"].removesuffix("/plan")
    page = leader.get(f"{draft}/bench").text
    assert page.count(" selected>") == 2
    assert "no recipe</option>" in page


@pytest.mark.usefixtures("kept")
def test_the_house_reference_is_not_held_against_itself(leader, bench, account):
    house = next(one for one in recipes_kept.list_recipes(bench, account.id) if one.house)
    assert leader.post(f"/benchmark/{house.id}/plan").status_code == 409


def test_without_a_house_reference_nothing_is_planned(leader, bench, account):
    cone = recipes_kept.keep_recipe(bench, account.id, CONE)
    assert leader.post(f"/benchmark/{cone}/plan").status_code == 409


@pytest.mark.usefixtures("kept")
def test_another_leader_plans_nothing_with_these_recipes(leader, stranger):
    action = find_action(leader.get("/benchmark").text)
    assert stranger.post(action).status_code == 404
