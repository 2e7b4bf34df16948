import re

import pytest

from server.reports.brewed_notes import read_note
from server.tastings.journal import AT_THE_TABLE, open_journal
from tests.brewing_bench import seal_with_recipe

GOOD = {"slot": "B1", "tds": "1,31 1.33", "temperature_c": "58", "time": "09:40", "note": "slow"}
NOTHING = {"tds": [], "temperature_c": None, "fill_g": None, "time": None, "note": ""}


def test_an_empty_register_says_what_it_leaves_open(leader, home):
    page = leader.get(f"{home}/brews").text
    assert "No brew is noted yet." in page
    assert page.count(" · round ") == 12


def test_a_brew_is_noted(leader, home, play):
    answer = leader.post(f"{home}/brews", GOOD)
    assert (answer.status_code, answer.headers["location"]) == (303, f"{home}/brews")
    assert play.record.brews["B1"].tds == ("1.31", "1.33")


def test_the_match_of_noted_brews_is_shown(leader, home):
    leader.post(f"{home}/brews", GOOD)
    leader.post(f"{home}/brews", GOOD | {"slot": "A1", "tds": "1.30"})
    page = leader.get(f"{home}/brews").text
    assert "largest difference in a round 0.02 %TDS, limit 0.05" in page
    assert page.count("matched") >= 2


@pytest.mark.parametrize(("name", "typed"), [("tds", "strong"), ("temperature_c", "101")])
def test_nonsense_has_its_words_beside_it_and_all_stays_typed(leader, home, play, name, typed):
    answer = leader.post(f"{home}/brews", GOOD | {name: typed})
    assert answer.status_code == 422
    assert re.search(rf'id="{name}-error" role="alert">\w', answer.text)
    for one, value in (GOOD | {name: typed}).items():
        if one != "slot":
            assert re.search(rf'id="{one}"[^>]*value="{re.escape(value)}"', answer.text)
    assert '<option value="B1" selected>' in answer.text
    assert play.record.brews == {}


@pytest.mark.parametrize("slot", ["", "A99", "<b>"])
def test_a_brew_of_no_slot_is_not_noted(leader, home, slot):
    assert leader.post(f"{home}/brews", GOOD | {"slot": slot}).status_code == 404


def test_a_double_tap_leaves_one_brew(leader, home, play):
    for _ in "12":
        leader.post(f"{home}/brews", GOOD)
    assert list(play.record.brews) == ["B1"]


def test_no_brew_is_noted_after_unsealing(leader, home, play):
    play.unseal()
    assert leader.post(f"{home}/brews", GOOD).status_code == 409
    assert "<form class" not in leader.get(f"{home}/brews").text


def test_a_script_gets_the_register_alone(leader, home):
    assert leader.get(f"{home}/brews", script=True).text.startswith('<section id="brews"')


def test_the_form_goes_on_to_the_next_brew_that_is_not_noted(leader, home):
    leader.post(f"{home}/brews", {"slot": "A1", "tds": "1.3"})
    chosen = re.findall(r'<option value="(\w+)" selected', leader.get(f"{home}/brews").text)
    assert chosen == ["A2"]


def test_a_strength_is_shown_to_the_decimals_that_differences_are_taken_of(leader, home):
    for slot, tds in (("A1", "1.30 1.31"), ("B1", "1.45 1.46")):
        leader.post(f"{home}/brews", {"slot": slot, "tds": tds})
    page = leader.get(f"{home}/brews").text
    assert ">1.305<" in page
    assert ">1.455<" in page
    assert "0.15 %TDS apart" in page


def test_a_register_that_is_full_still_opens(leader, home, play):
    for slot in play.made.sealed.slots:
        leader.post(f"{home}/brews", {"slot": slot.name, "tds": "1.3"})
    assert leader.get(f"{home}/brews").text.count("noted</option>") == 12


def test_the_register_of_a_table_names_the_two_samples_farthest_apart(leader, make_table):
    made = make_table(style="shared", assessors="3")
    home = f"/tastings/{made.id}/brews"
    for slot in made.sealed.slots:
        tds = "1.42" if slot.sample == "C" else "1.30"
        leader.post(home, {"slot": slot.name, "tds": tds})
    page = leader.get(home).text
    assert "0.12 %TDS (A and C), limit 0.05" in page


def test_dose_beverage_and_how_it_was_read_are_noted_beside_the_strength(leader, home, play):
    more = {"dose_g": "20", "beverage_g": "260", "sample_c": "22,5", "filtered": "no"}
    leader.post(f"{home}/brews", GOOD | more)
    read = read_note(play.record.brews["B1"])
    assert (read.dose_g, read.beverage_g, read.filtered) == (20, 260, False)


def test_what_the_short_form_does_not_ask_for_stays_as_it_was_noted(leader, home, play, bench):
    with open_journal(bench, play.made.id, AT_THE_TABLE) as journal:
        journal.append("brewed", **NOTHING, slot="B1", brew={"ended_s": 175, "dose_g": "20"})
    leader.post(f"{home}/brews", GOOD)
    read = read_note(play.record.brews["B1"])
    assert (read.ended_s, read.dose_g, len(read.tds)) == (175, None, 2)


@pytest.mark.parametrize(
    ("typed", "field"),
    [
        ({"water_g": "250", "beverage_g": "260"}, "beverage_g"),
        ({"dose_g": "a spoon"}, "dose_g"),
        ({"sample_c": "101"}, "sample_c"),
        ({"filtered": "perhaps"}, "filtered"),
        ({"zero": "milk"}, "zero"),
    ],
)
def test_what_cannot_be_of_a_brew_is_refused_and_stays_typed(leader, home, play, typed, field):
    answer = leader.post(f"{home}/brews", GOOD | typed)
    assert answer.status_code == 422
    assert re.search(rf'id="{field}-error" role="alert">\w', answer.text)
    assert 'value="1,31 1.33"' in answer.text
    assert play.record.brews == {}


def test_a_slipped_point_of_a_sample_with_a_recipe_is_asked_about(
    leader, bench, account, plan_input
):
    tasting_id, _ = seal_with_recipe(bench, account.id, plan_input())
    page, slip = f"/tastings/{tasting_id}/brews", {"slot": "A1", "tds": "13.6"}
    answer = leader.post(page, slip)
    assert answer.status_code == 422
    assert "1.36?" in answer.text
    assert leader.post(page, slip | {"sure": "on"}).status_code == 303


def test_a_slot_of_no_other_sample_is_refused_beside_its_field(leader, home, play):
    answer = leader.post(f"{home}/brews", GOOD | {"same_as": "B2"})
    assert answer.status_code == 422
    assert re.search(r'id="same_as-error" role="alert">Choose a brew slot', answer.text)
    assert '<option value="B2" selected>B2</option>' in answer.text
    assert play.record.brews == {}


def test_a_form_sent_whole_by_a_browser_is_shown_again_with_what_is_open(leader, home):
    empty = dict.fromkeys(("dose_g", "water_g", "beverage_g", "sample_c", "filtered", "zero"), "")
    answer = leader.post(f"{home}/brews", GOOD | empty | {"tds": "strong", "same_as": ""})
    assert answer.status_code == 422
    assert "<details><summary>Dose" in answer.text
    answer = leader.post(f"{home}/brews", GOOD | empty | {"tds": "strong", "dose_g": "20"})
    assert "<details open><summary>Dose" in answer.text
