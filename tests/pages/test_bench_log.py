"""The bench log: what goes on, what was kept, and whose it is."""

import re

import pytest

from server.tastings import recipes_kept, specimens
from server.tastings.brew_readings import note_readings
from tests.brewing_bench import begin, draft_with_recipe, make_recipe

# A mass balance, worked by hand: 260 g of 1.40 % hold 3.64 g of solids, 18.2 % of 20 g.
DRIP = {"dose_g": "20", "beverage_g": "260", "tds": "1.39 1.40 1.41", "keep": "1"}


@pytest.fixture
def keep(bench, account, clock):
    """Keep a brew a minute later; the recipe's title can be changed."""

    def keep_one(title="Barley", **more):
        clock.advance(minutes=1)
        brew_id = begin(bench, account.id, recipe=make_recipe(title=title), **more)
        note_readings(bench, account.id, brew_id, DRIP)
        return brew_id

    return keep_one


def test_an_empty_log_says_how_it_is_filled(leader):
    page = leader.get("/bench").text
    assert "No brew is kept yet." in page
    for path in ("/recipes", "/specimens", "/bench/chart", "/benchmark"):
        assert f'href="{path}"' in page


def test_a_kept_brew_stands_with_strength_and_yield(leader, keep):
    brew_id = keep()
    page = leader.get("/bench").text
    assert f'href="/brews/{brew_id}"' in page
    assert re.search(
        r"1\.40 %TDS · 260 g of beverage · extraction yield 18\.2 % ± 0\.\d, from the weighed", page
    )


def test_brews_stand_by_recipe_the_newest_first(leader, keep):
    first, other, second = keep("Barley"), keep("Rye"), keep("Barley")
    page = leader.get("/bench").text
    assert re.findall(r"<h3>(\w+)", page) == ["Barley", "Rye"]
    assert re.findall(r'href="/brews/([\w-]+)"', page) == [str(second), str(first), str(other)]


def test_a_brew_is_begun_from_a_recipe_and_a_piece(leader, bench, account):
    recipe = recipes_kept.keep_recipe(bench, account.id, make_recipe())
    form = {"label": "cloth 2", "part": "cloth filter", "state": "washed"}
    piece = specimens.add_specimen(bench, account.id, form)
    page = leader.get("/bench").text
    assert f'value="{recipe}"' in page
    assert f'value="{piece}"' in page
    answer = leader.post("/brews", {"recipe_id": str(recipe), "specimen_id": str(piece)})
    assert 'value="cloth 2" selected' in leader.get(answer.headers["location"]).text


def test_a_brew_that_goes_on_is_opened_from_the_log(leader, bench, account):
    brew_id = begin(bench, account.id)
    page = leader.get("/bench").text
    assert "Going on" in page
    assert f'href="/brews/{brew_id}"' in page


def test_a_trial_brew_names_the_tasting_and_the_sample(leader, bench, account, keep, plan_input):
    draft = draft_with_recipe(bench, account.id, plan_input())
    keep(tasting_id=draft, level="B")
    assert re.search(r"Tasting \w+, trial of B", leader.get("/bench").text)


def test_nobody_sees_the_log_of_another_leader(client, stranger, keep):
    keep()
    assert client.get("/bench").headers["location"].startswith("/sign-in")
    assert "Barley" not in stranger.get("/bench").text


def test_the_log_asks_for_as_much_however_many_brews_there_are(leader, keep, count_queries):
    keep()
    before = count_queries(lambda: leader.get("/bench"))
    for number in range(6):
        keep(f"Rye {number}")
    assert count_queries(lambda: leader.get("/bench")) == before


def test_the_bench_is_found_from_every_page_of_a_leader(leader):
    assert '<a href="/bench">Bench</a>' in leader.get("/").text
