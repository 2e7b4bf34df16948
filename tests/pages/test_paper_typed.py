"""The list of paper sheets to type in: a link each, and how far each of them is."""

import re

import pytest

from server.blinding.events import Kind
from server.tastings import paper_sheets
from server.tastings.closing import close_tasting
from server.tastings.journal import AT_THE_TABLE, open_journal
from tests.scored_seats import ScoredTable, seal_table, write_paper


@pytest.fixture
def table(bench, account) -> ScoredTable:
    return seal_table(bench, account.id, sittings=2)


@pytest.fixture
def url(table) -> str:
    return f"/tastings/{table.id}/paper/typed"


def find_links(page: str) -> list[str]:
    return re.findall(r'href="(/seat/\w+/paper/\d)"', page)


def test_every_sheet_of_every_seat_and_sitting_has_a_link_that_opens_it(leader, table, url):
    links = find_links(leader.get(url).text)
    assert len(set(links)) == len(table.tokens) * 2
    assert {leader.get(one).status_code for one in links} == {200}


def test_it_says_how_far_a_sheet_is_and_from_where_it_was_locked(leader, table, url):
    token, form = table.tokens[1], write_paper(table, 1)
    paper_sheets.keep_sheet(table.bench, token, 1, dict(list(form.items())[:5]))
    page = leader.get(url).text
    assert re.search(r"[1-5] of \d+ values", page)
    paper_sheets.keep_sheet(table.bench, token, 1, form)
    paper_sheets.lock_sheet(table.bench, token, 1, {}, "k")
    table.sit(2)
    table.lock(2, table.fill(2))
    page = leader.get(url).text
    assert (page.count("locked from paper"), page.count("locked on a device")) == (1, 1)
    assert f"/seat/{token}/paper/1" not in find_links(page)


def test_a_spare_sheet_stands_for_one_that_was_spilt(leader, table, url):
    spilt = table.servings(1)[0]
    spare = next(one for one in table.servings(max(table.tokens)) if one.sitting == 1)
    with open_journal(table.bench, table.id, AT_THE_TABLE) as journal:
        journal.append(
            Kind.VOIDED, serving=str(spilt.id), reason="spilt", replacement=str(spare.id)
        )
    page = leader.get(url).text
    assert len(find_links(page)) == len(table.tokens) * 2 - 1
    assert ", ".join(dict.fromkeys(spilt.codes)) not in page
    assert spare.codes[0] in leader.get(f"/seat/{table.tokens[1]}/paper/1").text


def test_after_closing_nothing_is_left_to_type(leader, table, url):
    close_tasting(table.bench, table.id, "the shop opens", "absent")
    page = leader.get(url).text
    assert "The tasting is over" in page
    assert find_links(page) == []


def test_a_triad_has_no_sheets_to_type_in(leader, home):
    assert leader.get(f"{home}/paper/typed").status_code == 404


def test_nobody_else_sees_the_list(stranger, url):
    assert stranger.get(url).status_code == 404


def test_the_way_to_it_is_beside_what_to_print_and_on_the_table(leader, table, url):
    for page in (f"/tastings/{table.id}", f"/tastings/{table.id}/paper"):
        assert f'href="{url}"' in leader.get(page).text


def test_a_long_list_asks_the_database_as_often_as_a_short_one(
    leader, bench, account, count_queries
):
    few, many = (seal_table(bench, account.id, assessors=seats) for seats in (4, 8))
    urls = [f"/tastings/{one.id}/paper/typed" for one in (few, many)]
    for url in urls:  # a sealed layout is read once
        leader.get(url)
    assert len({count_queries(lambda url=url: leader.get(url)) for url in urls}) == 1
