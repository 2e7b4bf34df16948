"""Score sheets on paper: every kind of scale, codes alone, each seat's own order."""

import re

import pytest

from server.sheets.starters import PURPOSES
from tests.scored_seats import EVERY_KIND, seal_table
from tests.table_forms import find_table


@pytest.fixture
def made(make_table):
    return make_table(bowls="2")


@pytest.fixture
def url(made):
    return f"/tastings/{made.id}/paper/scores"


def test_there_is_a_sheet_for_every_seat(leader, made, url):
    assert leader.get(url).text.count('class="sheet score"') == len(made.sealed.seats)


def test_a_seat_reads_its_codes_in_its_own_order(leader, made, url):
    page = leader.get(f"{url}?seat=2").text
    codes = re.findall(r'<strong class="large">(\d{3})</strong>', page)
    assert codes == list(dict.fromkeys(find_table(made.sealed, 2).codes))


def test_a_sheet_says_nothing_of_samples_or_of_the_question(leader, made, url):
    page = leader.get(url).text
    labels = [one.label for one in made.sealed.samples]
    assert [one for one in (*labels, "Is the new batch like the last?") if one in page] == []


def test_a_word_of_ones_own_has_a_line_for_every_code(leader, bench, account):
    table = seal_table(bench, account.id, EVERY_KIND)
    page = leader.get(f"/tastings/{table.id}/paper/scores?seat=1").text
    codes = len(table.spread(1).codes)
    assert [page.count(f"Your own word {number}") for number in (1, 2, 3)] == [codes, codes, 0]
    assert page.count('class="rule-line"') == codes * (2 + 2)  # sweet hot and cool, two words


def test_the_first_sip_waits_on_paper_too(leader, url):
    assert "no sip until the check bowl is at 65 °C or below" in leader.get(url).text


@pytest.mark.parametrize("starter", PURPOSES)
def test_every_starter_is_printed(leader, make_table, starter):
    made = make_table(sheet=f"starter:{starter}", assessors="2", spare_seats="0")
    page = leader.get(f"/tastings/{made.id}/paper/scores").text
    assert page.count('class="sheet score"') == 2


def test_a_seat_that_is_not_there_has_no_sheet(leader, url):
    assert leader.get(f"{url}?seat=99").status_code == 404


def test_a_triad_has_no_score_sheets(leader, home):
    assert leader.get(f"{home}/paper/scores").status_code == 404


def test_nobody_else_prints_them(stranger, url):
    assert stranger.get(url).status_code == 404


def test_the_way_to_the_sheets_is_among_what_to_print(leader, made, url):
    assert f'href="{url}"' in leader.get(f"/tastings/{made.id}/paper").text
