"""The chart of brews: of a tasting, of a draft's trials, of the bench log. Numbers are invented."""

import re

import pytest

from server.brewing.brewed import read_brewed
from server.tastings.brew_keeping import change_brew
from server.tastings.pouring import note_brew
from server.tastings.recipes_kept import keep_recipe
from tests.brewing_bench import begin, draft_with_recipe, make_recipe, seal_with_recipe

WEIGHED = {"dose_g": "20", "water_g": "320", "beverage_g": "279", "tds": ["1.31", "1.32", "1.31"]}
QUICK = {"temperature_c": "58", "fill_g": "40", "time": "", "note": ""}


@pytest.fixture
def keep(bench, account):
    """Keep a brew with readings."""

    def keep_one(**more):
        brew_id = begin(bench, account.id, **more)
        brewed = read_brewed(WEIGHED)
        change_brew(bench, account.id, brew_id, lambda _recipe, _before: brewed, keep=True)
        return brew_id

    return keep_one


def test_a_bench_without_brews_says_what_a_chart_needs(leader):
    page = leader.get("/bench/chart")
    assert page.status_code == 200
    assert "Nothing can be drawn yet" in page.text
    assert leader.get("/bench/chart.svg").status_code == 404


def test_kept_brews_of_the_bench_are_drawn_in_words_too(leader, keep):
    keep()
    page = leader.get("/bench/chart").text
    assert "1 at 1.31 %TDS and 18.3 %" in page
    assert leader.get("/bench/chart.svg").headers["content-type"] == "image/svg+xml"


def test_trial_brews_of_a_draft_are_drawn_by_sample(leader, bench, account, plan_input, keep):
    draft = draft_with_recipe(bench, account.id, plan_input())
    keep(tasting_id=draft, level="B")
    assert "1 of 1 brew on the chart" in leader.get(f"/tastings/{draft}/chart").text


def test_brews_of_slots_are_drawn_by_the_sealed_recipe(leader, bench, account, plan_input, keep):
    tasting_id, _ = seal_with_recipe(bench, account.id, plan_input())
    keep(tasting_id=tasting_id, slot="A1")
    page = leader.get(f"/tastings/{tasting_id}/chart").text
    assert "A1 at 1.31 %TDS" in page
    assert leader.get(f"/tastings/{tasting_id}/chart.svg").status_code == 200


def test_without_a_recipe_the_brewer_is_asked_for(leader, play, home):
    note_brew(play.bench, play.made.id, range(1, 9), {"slot": "A1", "tds": "1.31", **QUICK})
    assert "choose it below" in leader.get(f"{home}/chart").text
    asked = leader.get(f"{home}/chart?how=immersion").text
    assert "choose it below" not in asked
    assert "Without a place on the chart: A1" in asked


def test_a_region_of_ones_own_is_drawn_with_its_ends(leader, keep):
    keep()
    mine = "region=mine&strength_low=1,2&strength_high=1.5&extraction_low=17&extraction_high=23"
    page = leader.get(f"/bench/chart?{mine}&own_name=Our+Monday")
    assert page.status_code == 200
    assert "Our Monday: 1.2 to 1.5 %TDS" in page.text
    assert "not a grade" in page.text


def test_a_region_that_cannot_be_keeps_what_was_typed(leader):
    typed = "region=mine&strength_low=much&strength_high=1.5&extraction_low=17&extraction_high=23"
    page = leader.get(f"/bench/chart?{typed}")
    assert page.status_code == 422
    assert 'value="much"' in page.text
    assert "a number from 0 to 30 %TDS" in page.text
    upside = "region=mine&strength_low=2&strength_high=1&extraction_low=17&extraction_high=23"
    assert "lies below its high end" in leader.get(f"/bench/chart?{upside}").text


def test_no_region_draws_none(leader, keep):
    keep()
    assert "Classic box:" not in leader.get("/bench/chart?region=none").text


def test_the_brews_of_one_recipe_are_drawn_alone(leader, stranger, bench, account, keep):
    fine = keep_recipe(bench, account.id, make_recipe(title="Finer"))
    keep(recipe=make_recipe(title="Finer"))
    keep(recipe=make_recipe(title="Coarser"))
    address = f"/bench/chart?recipe={fine}"
    page = leader.get(address).text
    assert "1 of 1 brew on the chart" in page
    assert f'name="recipe" value="{fine}"' in page
    assert leader.get(f"/bench/chart.svg?recipe={fine}").status_code == 200
    assert stranger.get(address).status_code == 404
    assert leader.get("/bench/chart?recipe=none").status_code in (404, 422)


def test_another_leader_sees_no_brew_of_it(stranger, keep, home):
    keep()
    assert "Nothing can be drawn yet" in stranger.get("/bench/chart").text
    assert stranger.get(f"{home}/chart").status_code == 404
    assert stranger.get(f"{home}/chart.svg").status_code == 404


def test_the_pages_ask_for_the_same_whatever_was_brewed(leader, keep, count_queries):
    keep()
    few = count_queries(lambda: leader.get("/bench/chart"))
    for _ in range(4):
        keep()
    assert count_queries(lambda: leader.get("/bench/chart")) == few


def test_every_brew_of_the_chart_is_listed_with_its_limits_and_form(leader, keep):
    keep()
    page = leader.get("/bench/chart").text
    assert '<th scope="row">1</th>' in page
    assert re.search(r"1\.31 ± 0\.0\d", page)
    assert re.search(r"18\.3 % ± 0\.\d, from the weighed beverage", page)
