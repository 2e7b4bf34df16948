"""The pages of recipes: kept, changed, copied, handed on as cards, printed."""

import re
from uuid import UUID, uuid4

import pytest

from server.brewing.recipe import read_recipe
from server.tastings import brew_sheets, recipes_kept
from server.tastings.recipe_cards import export_recipe
from server.tastings.recipe_typing import write_recipe_form
from tests.brewing_bench import make_recipe

BARLEY = make_recipe()
FORM = {
    "title": "Roasted rye",
    "dose_g": "20,5",
    "water_g": "340",
    "water_c": "200 F",
    "how": "percolation",
    "kind_0": "pour",
    "at_0": "0:00",
    "scale_0": "60",
    "kind_1": "end",
    "at_1": "3:10",
    "kind_2": "",
    "at_2": "",
}


@pytest.fixture
def kept(bench, account):
    return recipes_kept.keep_recipe(bench, account.id, BARLEY)


@pytest.fixture
def read(bench, account):
    """Return the recipe that an answer leads to."""

    def find(answer):
        recipe_id = UUID(answer.headers["location"].rpartition("/")[2])
        return recipes_kept.get_recipe(bench, account.id, recipe_id).recipe

    return find


def find_fields(page):
    """Return the form of a page as a browser would send it."""
    fields = {
        found[1]: found[2]
        for found in re.finditer(r'<input id="\w+" name="(\w+)" type="\w+" value="([^"]*)"', page)
    }
    for name, options in re.findall(r'<select id="(\w+)"[^>]*>(.*?)</select>', page, re.DOTALL):
        chosen = re.search(r'value="([^"]*)" selected', options)
        fields[name] = chosen[1] if chosen else re.findall(r'value="([^"]*)"', options)[0]
    note = re.search(r"<textarea[^>]*>([^<]*)<", page)
    return fields | ({"note": note[1]} if note else {})


def error_of(page, name):
    found = re.search(rf'id="{name}-error" role="alert">([^<]*)<', page)
    return found[1] if found else None


def test_a_recipe_is_written_down(leader, read):
    recipe = read(leader.post("/recipes/new", FORM))
    assert (str(recipe.dose_g), str(recipe.water_c)) == ("20.5", "93.3")
    assert [(one.kind.value, one.at_s) for one in recipe.steps] == [("pour", 0), ("end", 190)]


def test_sending_a_new_recipe_twice_keeps_one(leader, bench, account):
    for _ in range(2):
        assert leader.post("/recipes/new", FORM).status_code == 303
    assert len(recipes_kept.list_recipes(bench, account.id)) == 1


def test_the_list_says_dose_water_and_ratio_water_in(leader, kept):
    page = leader.get("/recipes").text
    assert f'href="/recipes/{kept}"' in page
    # 20 g : 320 g is 1:16.00 and 62.5 g to a litre: common practice, no source.
    assert "1:16.00 · 62.5 g of coffee to a litre, water in" in page


def test_a_recipe_can_be_brewed_at_once(leader, kept):
    page = leader.get(f"/recipes/{kept}").text
    assert (
        f'<form method="post" action="/brews"><input type="hidden" name="recipe_id" value="{kept}">'
        in page
    )
    answer = leader.post("/brews", {"recipe_id": str(kept)})
    assert answer.headers["location"].startswith("/brews/")


@pytest.mark.parametrize(
    ("change", "field", "said"),
    [
        ({"title": " "}, "title", "Give the recipe a title."),
        ({"title": "x" * 121}, "title", "Up to 120 characters."),
        ({"dose_g": ""}, "dose_g", "Give the dose"),
        ({"dose_g": "a spoon"}, "dose_g", "Dose: a number from 0.5 to 2000 g with 2 decimals"),
        ({"water_g": ""}, "water_g", "only an espresso may leave it open"),
        ({"water_g": "20"}, "water_g", "Less water than coffee cannot be"),
        ({"beverage_g": "341"}, "beverage_g", "More beverage than water cannot be"),
        ({"water_c": "101"}, "water_c", "Water temperature: a number from 0 to 100 °C"),
        ({"shots": "1.5"}, "shots", "Shots: a whole number from 1 to 12"),
        ({"colour_scale": "short"}, "colour", "Give the number that was read as well."),
        ({"coffee_roasted": "2031-02-30"}, "coffee_roasted", "Give a day such as 2026-03-31"),
        ({"how": "magic"}, "how", "Choose one of these."),
        ({"hardness_unit": "mg/L HCO3"}, "hardness_unit", "Choose one of these."),
        ({"at_0": "soon"}, "at_0", "Give minutes and seconds"),
        ({"at_0": ""}, "at_0", "Give its time."),
        ({"at_2": "1:00"}, "kind_2", "Choose what is done"),
        ({"kind_2": "stir", "at_2": "4:00"}, "at_1", "The end comes last"),
        ({"kind_2": "pour", "at_2": "1:00", "scale_2": "9"}, "scale_2", "it cannot fall"),
        ({"scale_0": "-1"}, "scale_0", "Scale: a number from 0 to 20000 g"),
        ({"says_0": "x" * 301}, "says_0", "Up to 300 characters."),
        ({"note": "x" * 1001}, "note", "Up to 1000 characters."),
    ],
)
def test_what_cannot_be_taken_is_said_beside_it(leader, change, field, said):
    answer = leader.post("/recipes/new", FORM | change)
    assert answer.status_code == 422
    assert said in (error_of(answer.text, field) or "")
    assert 'value="Roasted rye"' in answer.text or "title" in change


def test_a_refused_form_keeps_all_that_was_typed(leader):
    typed = FORM | {"dose_g": "much", "hardness": "9", "hardness_unit": "°dH", "note": "Mind\nit"}
    page = leader.post("/recipes/new", typed).text
    sent = find_fields(page)
    assert {name: sent[name] for name in typed} == typed


def test_a_step_put_in_at_the_end_goes_to_the_place_of_its_time(leader, read):
    more = {"kind_2": "stir", "at_2": "0:30", "says_2": "gently"}
    recipe = read(leader.post("/recipes/new", FORM | more))
    assert [one.kind.value for one in recipe.steps] == ["pour", "stir", "end"]


def test_a_removed_step_is_gone(leader, read):
    recipe = read(leader.post("/recipes/new", FORM | {"kind_0": "drop"}))
    assert [one.kind.value for one in recipe.steps] == ["end"]


def test_one_more_row_changes_nothing_else(leader, bench, account):
    answer = leader.post("/recipes/new", FORM | {"more": "1", "dose_g": "much"})
    assert answer.status_code == 200
    sent = find_fields(answer.text)
    assert (sent["dose_g"], sent["at_1"], "kind_3" in sent, "kind_4" in sent) == (
        "much",
        "3:10",
        True,
        False,
    )
    assert recipes_kept.list_recipes(bench, account.id) == ()


def test_a_form_that_is_sent_unchanged_changes_nothing(leader, bench, account):
    full = read_recipe(
        make_recipe(
            beverage_g="280",
            single=True,
            shots=2,
            coffee={
                "name": "Rye",
                "roasted": "2031-05-01",
                "colour": {"value": "71", "of": "ground"},
            },
            water={"hardness": "4", "hardness_unit": "°dH", "alkalinity": "3", "ph": "7.1"},
            grinder={"name": "mill", "setting": "12", "median_um": "700"},
            note="Mind the\nlid",
        ).model_dump(mode="json")
    )
    recipe_id = recipes_kept.keep_recipe(bench, account.id, full)
    page = leader.get(f"/recipes/{recipe_id}/change").text
    fields = find_fields(page) | {"single": "on"}
    assert 'name="single" value="on" checked' in page
    assert leader.post(f"/recipes/{recipe_id}/change", fields).headers["location"] == (
        f"/recipes/{recipe_id}"
    )
    assert recipes_kept.get_recipe(bench, account.id, recipe_id).recipe == full


def test_changing_what_was_brewed_leads_to_the_next_version(leader, bench, account, kept):
    brew_sheets.begin_brew(bench, account.id, recipe_id=kept)
    form = write_recipe_form(BARLEY) | {"dose_g": "21"}
    home = leader.post(f"/recipes/{kept}/change", form).headers["location"]
    assert "version 2" in leader.get(home).text
    again = leader.post(f"/recipes/{kept}/change", form)
    assert (again.status_code, again.headers["location"]) == (303, home)
    assert len(recipes_kept.list_recipes(bench, account.id)) == 2


def test_an_older_version_is_not_changed_any_more(leader, bench, account, kept):
    brew_sheets.begin_brew(bench, account.id, recipe_id=kept)
    form = write_recipe_form(BARLEY)
    leader.post(f"/recipes/{kept}/change", form | {"dose_g": "21"})
    answer = leader.post(f"/recipes/{kept}/change", form | {"dose_g": "22"})
    assert answer.status_code == 409
    assert "There is a newer version" in answer.text


def test_an_espresso_may_leave_its_water_open(leader, read):
    form = FORM | {"how": "espresso", "water_g": "", "beverage_g": "41", "scale_0": ""}
    recipe = read(leader.post("/recipes/new", form))
    assert recipe.water_g is None


def test_hard_water_is_told_in_its_own_unit_and_as_lime(leader):
    form = FORM | {"hardness": "4", "hardness_unit": "°dH"}
    home = leader.post("/recipes/new", form).headers["location"]
    # 1 °dH is 17.8 mg/L CaCO3, by its definition of 10 mg/L of CaO.
    assert "hardness 4 °dH (71 mg/L CaCO3)" in leader.get(home).text


def test_pours_that_do_not_add_up_to_the_water_are_remarked_on(leader):
    home = leader.post("/recipes/new", FORM).headers["location"]
    assert "The last pour ends at 60 g on the scale" in leader.get(home).text


def test_a_starter_is_copied_once(leader):
    homes = {leader.post("/recipes/starters/bowl").headers["location"] for _ in range(2)}
    assert len(homes) == 1
    assert "Break the crust" in leader.get(homes.pop()).text
    assert leader.post("/recipes/starters/teapot").status_code == 404


def test_a_new_recipe_can_begin_like_another(leader, kept):
    sent = find_fields(leader.get(f"/recipes/new?like={kept}").text)
    assert sent["title"] == BARLEY.title
    assert leader.get(f"/recipes/new?like={uuid4()}").status_code == 404


def test_a_recipe_is_taken_out_and_brought_in_as_a_card(leader, stranger, kept):
    answer = leader.get(f"/recipes/{kept}/recipe.json")
    assert answer.content == export_recipe(BARLEY)
    assert "Roasted-barley-flat-bed-1.json" in answer.headers["content-disposition"]
    files = {"file": ("mine.json", answer.content, "application/json")}
    there = stranger.post("/recipes/import", files=files).headers["location"]
    assert BARLEY.title in stranger.get(there).text


@pytest.mark.parametrize("text", [b"", b"not JSON", b'{"format": "oddcup sheet"}'])
def test_a_file_that_is_no_card_is_refused_beside_it(leader, bench, account, text):
    answer = leader.post("/recipes/import", files={"file": ("x.json", text, "application/json")})
    assert answer.status_code == 422
    assert error_of(answer.text, "file")
    assert recipes_kept.list_recipes(bench, account.id) == ()


def test_a_form_without_a_file_is_refused(leader):
    assert leader.post("/recipes/import", {}).status_code == 422


def test_the_house_reference_is_marked_and_unmarked(leader, kept):
    leader.post(f"/recipes/{kept}/house", {"house": "1"})
    assert "version 1 · house reference" in leader.get("/recipes").text
    leader.post(f"/recipes/{kept}/house", {"house": "0"})
    assert "· house reference" not in leader.get("/recipes").text


def test_deleting_twice_is_deleting_once(leader, kept):
    for _ in range(2):
        assert leader.post(f"/recipes/{kept}/delete").status_code == 303
    assert leader.get(f"/recipes/{kept}").status_code == 404


def test_the_printed_recipe_has_room_for_what_happens(leader, kept):
    page = leader.get(f"/recipes/{kept}/paper").text
    assert "Pour to 320 g, in circles" in page
    assert "Happened at" in page
    assert "65 °C" in page


def test_words_of_a_recipe_are_no_markup(leader):
    home = leader.post("/recipes/new", FORM | {"title": "<b>x</b>"}).headers["location"]
    assert "<b>x" not in leader.get(home).text


@pytest.mark.parametrize("page", ["", "/change", "/paper", "/recipe.json"])
def test_nobody_opens_the_recipes_of_others(leader, stranger, client, kept, page):
    url = f"/recipes/{kept}{page}"
    assert leader.get(url).status_code == 200
    assert stranger.get(url).status_code == 404
    assert leader.get(f"/recipes/{uuid4()}{page}").status_code == 404
    assert client.get(url).headers["location"].startswith("/sign-in")


def test_nobody_changes_the_recipes_of_others(leader, stranger, kept):
    for path, form in (("change", FORM), ("house", {"house": "1"})):
        assert stranger.post(f"/recipes/{kept}/{path}", form).status_code == 404
    stranger.post(f"/recipes/{kept}/delete")
    assert BARLEY.title in leader.get(f"/recipes/{kept}").text


@pytest.mark.usefixtures("kept")
def test_a_long_list_asks_the_database_as_often_as_a_short_one(leader, count_queries):
    few = count_queries(lambda: leader.get("/recipes"))
    for name in ("filter", "bowl"):
        leader.post(f"/recipes/starters/{name}")
    assert count_queries(lambda: leader.get("/recipes")) == few
