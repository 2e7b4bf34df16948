"""The sheets of a tasting alone: marks in an order that says nothing, the run, the strips."""

import re

import pytest

from tests.playing_alone import PlayAlone


@pytest.fixture
def home(alone):
    return f"/tastings/{alone.made.id}/paper"


@pytest.fixture
def page(leader, home):
    answer = leader.get(f"{home}/alone")
    assert answer.status_code == 200
    return answer.text


def marks(page):
    sheets = re.findall(r'<ul class="marks">(.*?)</ul>', page)
    return [re.findall(r"<li>(\w+)</li>", sheet) for sheet in sheets]


def test_every_cup_of_a_sitting_has_a_mark_of_its_sample(page, alone):
    poured = [[s[0] for one in alone.servings(n) for s in one.pours] for n in (1, 2)]
    assert marks(page) == [sorted(mine) for mine in poured]


def test_marks_name_the_pot_where_a_sample_has_several(leader, bench, make_tasting):
    play = PlayAlone(bench, make_tasting(pourer="alone", sittings="1", pots="separate"))
    found = marks(leader.get(f"/tastings/{play.made.id}/paper/alone").text)
    assert found == [sorted(slot for one in play.servings(1) for slot in one.pours)]
    assert {"A1", "A2"} <= set(found[0])


def test_what_to_pour_is_counted_for_every_serving(page, alone):
    first = alone.servings(1)[0]
    letters = [slot[0] for slot in first.pours]
    assert f"Serving 1: {letters.count('A')} × A, {letters.count('B')} × B" in page


def test_every_serving_has_a_strip_with_its_codes_left_to_right(page, alone):
    found = re.findall(r'<p class="strip-cup"><strong>(\d+)</strong>', page)
    assert found == [code for one in alone.made.sealed.servings for code in one.codes]


def test_the_sheets_do_not_change_with_what_was_shuffled_or_answered(leader, home, alone, page):
    alone.sit(1, right=2)
    assert leader.get(f"{home}/alone").text == page


def test_the_run_says_how_long_a_sitting_takes_and_what_to_mind(page):
    assert "about 46 minutes" in page
    assert "65 °C" in page


def test_the_list_of_sheets_is_that_of_one_person(leader, home):
    page = leader.get(home).text
    assert f'href="{home}/alone"' in page
    assert not re.findall("/mats|/seats|/run|from the pourer", page)


@pytest.mark.parametrize("name", ["mats", "seats", "run"])
def test_sheets_of_a_table_are_not_printed_alone(leader, home, name):
    assert leader.get(f"{home}/{name}").status_code == 404


def test_a_table_has_no_sheets_of_one_person(leader, play):
    assert leader.get(f"/tastings/{play.made.id}/paper/alone").status_code == 404


def test_only_its_leader_prints_them(stranger, client, home):
    assert stranger.get(f"{home}/alone").status_code == 404
    assert client.get(f"{home}/alone").headers["location"].startswith("/sign-in")
