"""The pages on which a score sheet of paper is typed in, kept, looked over and locked."""

import re

import pytest

from server.sheets.starters import PURPOSES
from server.tastings.closing import close_tasting
from tests.scored_seats import EVERY_KIND, ScoredTable, seal_table, write_paper


@pytest.fixture
def table(bench, account) -> ScoredTable:
    return seal_table(bench, account.id, bowls=2)


@pytest.fixture
def home(table) -> str:
    return f"/seat/{table.tokens[1]}/paper/1"


def name_first(table: ScoredTable) -> str:
    return f"v.sweet.{table.spread(1).codes[0]}.0.hot.mm"


def find_answers(table: ScoredTable):
    return table.place(1).record.answers


def test_a_sheet_is_typed_in_looked_over_and_locked(client, table, home):
    assert "0 of 20 values are kept" in client.get(home).text
    kept = client.post(home, write_paper(table, 1) | {"then": "check"})
    assert (kept.status_code, kept.headers["location"]) == (303, f"{home}/check")
    assert "Nothing is missing" in client.get(f"{home}/check").text
    for _ in range(2):
        assert client.post(f"{home}/lock", {"client_key": "k"}).headers["location"] == home
    assert [one.source for one in find_answers(table).values()] == ["paper"]
    page = client.get(home).text
    assert "This table is locked" in page
    assert "<form" not in page


def test_what_was_kept_is_shown_as_it_was_typed(client, table, home):
    assert client.post(home, {name_first(table): "74,5"}).status_code == 303
    assert f'name="{name_first(table)}" value="74.5"' in client.get(home).text


def test_a_refused_sheet_keeps_what_was_typed_with_a_message_beside_it(client, table, home):
    wrong, right = name_first(table), name_first(table).replace("hot", "cool")
    answer = client.post(home, {wrong: "seven", right: "30"})
    assert answer.status_code == 422
    assert f'name="{wrong}" value="seven"' in answer.text
    assert f'name="{right}" value="30"' in answer.text
    entry = re.search(rf'<fieldset class="entry" id="{re.escape(wrong[:-3])}".*?</fieldset>',
                      answer.text, re.DOTALL)  # fmt: skip
    assert "from 0 to 150" in entry[0]
    assert answer.text.count("from 0 to 150") == 1


def test_fields_come_in_the_order_in_which_the_sheet_is_printed(client, leader, table, home):
    printed = leader.get(f"/tastings/{table.id}/paper/scores?seat=1").text
    heads = re.findall(r'<span class="large">(\d{3}|The whole table)</span>', printed)
    page = client.get(home).text
    typed = re.findall(r'<span class="code">(\d{3}|The whole table)</span>', page)
    assert typed == heads
    rows = re.findall(r'<th scope="row">(\w[^<,]*)', printed)
    assert re.findall(r'entry-name">(\w[^<,]*?)\s*[<,]', page) == [one.strip() for one in rows]


def test_nothing_on_a_new_sheet_is_typed_in(client, bench, account):
    table = seal_table(bench, account.id, EVERY_KIND)
    home = f"/seat/{table.tokens[1]}/paper/1"
    assert "at the head of the paper" in client.get(home).text
    assert client.post(f"{home}/words", {"word-1": "wet hay"}).status_code == 303
    page = client.get(home).text
    assert "wet hay" in page
    chosen = re.findall(r'<input[^>]*value="([^"]*)" checked', page)
    assert chosen
    assert set(chosen) == {""}
    assert not re.search(r"\bselected\b|inputmode=\"decimal\"[^>]*value=\"\d", page)


def test_every_value_of_every_kind_is_shown_again(client, bench, account):
    table = seal_table(bench, account.id, EVERY_KIND)
    home = f"/seat/{table.tokens[1]}/paper/1"
    client.post(f"{home}/words", {})
    form = write_paper(table, 1)
    client.post(home, form)
    page = client.get(home).text
    shown = dict(re.findall(r'name="(v[^"]+)" value="([^"]*)"(?: checked| inputmode| max)', page))
    shown |= dict.fromkeys(re.findall(r'type="checkbox" name="(v[^"]+)"[^>]* checked', page), "on")
    shown |= dict(re.findall(r'<textarea name="(v[^"]+)"[^>]*>([^<]+)<', page))
    shown |= dict(
        re.findall(r'<select name="(v[^"]+)"(?:(?!</select>).)*<option selected>(\d+)<', page)
    )
    told = {name: text for name, text in form.items() if not name.endswith(".asked")}
    assert {name: text for name, text in shown.items() if text and name in told} == told


def test_words_that_cannot_be_are_refused_beside_them(client, bench, account):
    table = seal_table(bench, account.id, EVERY_KIND)
    answer = client.post(
        f"/seat/{table.tokens[1]}/paper/1/words", {"word-1": "hay", "word-2": "Hay"}
    )
    assert answer.status_code == 422
    assert 'id="word-2-error"' in answer.text


def test_what_is_missing_is_told_before_the_lock(client, table, home):
    client.post(home, write_paper(table, 1, fault=None))
    page = client.get(f"{home}/check").text
    assert page.count("#v.fault.") == 8
    refused = client.post(f"{home}/lock", {"client_key": "k"})
    assert refused.status_code == 422
    assert 'id="empty_too-error"' in refused.text
    assert find_answers(table) == {}
    assert client.post(f"{home}/lock", {"empty_too": "on"}).status_code == 303
    assert len(find_answers(table)) == 1


def test_a_script_keeps_on_the_way_and_hears_how_much_there_is(client, table, home):
    answer = client.post(home, {name_first(table): "74"}, script=True)
    assert "1 of 20 values are kept" in answer.text
    assert "<form" not in answer.text
    refused = client.post(home, {name_first(table): "740"}, script=True)
    assert (refused.status_code, "1 value cannot be" in refused.text) == (422, True)


def test_the_sheet_of_a_later_sitting_waits(client, bench, account):
    table = seal_table(bench, account.id, sittings=2)
    home = f"/seat/{table.tokens[1]}/paper/2"
    client.post(home, write_paper(table, 1, sitting=2))
    assert "sitting before this one first" in client.get(f"{home}/check").text
    assert client.post(f"{home}/lock", {"client_key": "k"}).status_code == 409


@pytest.mark.parametrize("starter", PURPOSES)
def test_every_starter_can_be_typed_in(client, make_table, starter):
    made = make_table(sheet=f"starter:{starter}", assessors="2", spare_seats="0")
    home = f"/seat/{made.tokens[1]}/paper/1"
    page = client.get(home)
    if "at the head of the paper" in page.text:
        client.post(f"{home}/words", {})
        page = client.get(home)
    assert "of 0 values" not in page.text
    assert 'class="entry"' in page.text


def test_nothing_is_typed_in_after_closing(client, table, home):
    close_tasting(table.bench, table.id, "the shop opens", "absent")
    assert "The tasting is over" in client.get(home).text
    assert client.post(home, {name_first(table): "74"}).status_code == 409


def test_whoever_types_sees_codes_alone(client, table, home):
    page = client.get(home).text + client.get(f"{home}/check").text
    hidden = [sample.label for sample in table.sealed.samples]
    hidden += [slot.name for slot in table.sealed.slots]
    assert [one for one in hidden if re.search(rf"\b{one}\b", page)] == []


def test_a_sheet_that_is_not_there_is_not_found(client, table, sealed_tasting):
    token = table.tokens[1]
    for path in ("nobody/paper/1", f"{token}/paper/2", f"{token}/paper/x",
                 f"{sealed_tasting.tokens[1]}/paper/1"):  # fmt: skip
        assert client.get(f"/seat/{path}").status_code == 404
        assert client.post(f"/seat/{path}", {}).status_code == 404


def test_the_page_speaks_the_language_of_its_reader(client, home):
    page = client.get(home, headers={"Accept-Language": "de"}).text
    assert "Papierbogen" in page


def test_a_sheet_of_many_values_asks_the_database_as_often_as_a_short_one(
    client, bench, account, count_queries
):
    few, many = (seal_table(bench, account.id, bowls=bowls) for bowls in (1, 4))
    urls = [f"/seat/{one.tokens[1]}/paper/1" for one in (few, many)]
    for url in urls:  # a sealed layout is read once
        client.get(url)
    assert len({count_queries(lambda url=url: client.get(url)) for url in urls}) == 1
