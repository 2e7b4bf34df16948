"""The pages of a scored table at its seat."""

import re

import pytest

from server.sheets.starters import get_starter
from server.tastings.closing import close_tasting
from tests.scored_seats import EVERY_KIND, ScoredTable, seal_table


@pytest.fixture
def table(bench, account) -> ScoredTable:
    made = seal_table(bench, account.id, bowls=2)
    made.sit(1)
    return made


@pytest.fixture
def home(table) -> str:
    return f"/seat/{table.tokens[1]}"


def find_sheet(page: str) -> str:
    return page.partition('<div id="ahead"')[0]


def name_first(table: ScoredTable) -> str:
    return f"v.sweet.{table.spread(1).codes[0]}.0.hot"


def test_a_table_is_scored_from_its_instructions_to_its_lock(client, bench, account):
    table = seal_table(bench, account.id, EVERY_KIND, warm_up="A")
    home = f"/seat/{table.tokens[1]}"
    assert "Tap the line where it belongs" in client.get(home).text
    client.post(f"{home}/start")
    assert "Words of your own" in client.get(home).text
    client.post(f"{home}/words", {"word-1": "wet hay"})
    for number, wanted in enumerate(("A cup to warm up", "wet hay")):
        it = {"serving": str(table.servings(1)[number].id)}
        client.post(f"{home}/codes", it | {"verdict": "yes"})
        assert wanted in find_sheet(client.get(home).text)
        form = table.fill(1) if number else it
        assert client.post(f"{home}/answer", form | {"client_key": f"k{number}"}).status_code == 303
    assert "Thank you, that was all" in client.get(home).text


def test_the_open_control_is_named_before_the_codes(client, bench, account):
    sheet = get_starter("difference-from-control").sheet
    plan = {"serves": "difference-from-control", "reference": "A", "warm_up": "A"}
    table = seal_table(bench, account.id, sheet, **plan)
    home = f"/seat/{table.tokens[1]}"
    assert "How far is every code from the open control?" in client.get(home).text
    table.sit(1)
    page = find_sheet(client.get(home).text)
    assert '<h1 tabindex="-1" autofocus>The open control</h1>' in page
    assert "A cup to warm up" not in page


def test_a_ranking_says_that_all_codes_come_into_one_order(client, bench, account):
    table = seal_table(bench, account.id, get_starter("ranking").sheet, serves="ranking")
    page = client.get(f"/seat/{table.tokens[1]}").text
    assert "Put all codes in one order." in page
    assert "Score every code on its own" not in page
    assert "Tap the line where it belongs" not in page


def test_nothing_on_a_new_sheet_is_chosen(client, bench, account):
    table = seal_table(bench, account.id, EVERY_KIND)
    client.post(f"/seat/{table.tokens[1]}/start")
    client.post(f"/seat/{table.tokens[1]}/words")
    table.sit(1)
    page = find_sheet(client.get(f"/seat/{table.tokens[1]}").text)
    assert page.count('class="line-mark"') == 8
    assert not re.search(r"\bchecked\b|\bselected\b|class=\"line-mark\"[^>]*value=\"\d", page)


def test_a_value_kept_without_a_script_stands_on_the_sheet_again(client, table, home):
    name = name_first(table)
    form = {"serving": str(table.servings(1)[0].id), name: "640"}
    assert client.post(f"{home}/values", form).status_code == 303
    assert re.search(f'name="{name}" value="640"', client.get(home).text)


def test_without_a_script_a_line_may_be_typed_in_millimetres(client, table, home):
    name = name_first(table)
    form = {"serving": str(table.servings(1)[0].id), name: "640"}
    assert client.post(f"{home}/values", form | {f"{name}.mm": "74.5"}).status_code == 303
    page = client.get(home).text
    assert f'name="{name}" value="497"' in page
    assert f'name="{name}.mm" value=""' in page
    refused = client.post(f"{home}/values", form | {f"{name}.mm": "151"})
    assert refused.status_code == 422
    assert f'name="{name}.mm" value="151"' in refused.text


def test_without_a_script_what_is_missing_is_told_before_the_lock(client, table, home):
    form = table.fill(1, note=None)
    form.pop(name_first(table))
    assert client.post(f"{home}/finish", form).status_code == 303
    page = find_sheet(client.get(home).text)
    assert "Still missing" in page
    assert "Lock my table" not in page
    client.post(f"{home}/finish", table.fill(1, note=None))
    review = find_sheet(client.get(home).text)
    carried = dict(re.findall(r'type="hidden" name="([^"]+)" value="([^"]*)"', review))
    assert client.post(f"{home}/answer", carried).status_code == 303
    assert "Thank you, that was all" in client.get(home).text


def test_a_lock_with_gaps_shows_them_beside_what_was_typed(client, table, home):
    missing = name_first(table)
    form = {name: text for name, text in table.fill(1).items() if name != missing}
    answer = client.post(f"{home}/answer", form)
    assert answer.status_code == 422
    assert "1 value is missing or cannot be" in answer.text
    assert answer.text.count("Nothing is said here yet.") == 1
    assert find_sheet(answer.text).count('value="620"') == 7


def test_a_lock_tapped_twice_is_one_answer(client, table, home):
    form = table.fill(1) | {"client_key": "k"}
    for _ in range(2):
        assert client.post(f"{home}/answer", form).status_code == 303
    assert len(table.place(1).record.answers) == 1
    assert table.place(1).record.contests == {}


def test_a_script_hears_what_another_device_said_since(client, table, home, clock):
    it = {"serving": str(table.servings(1)[0].id)}
    since = client.post(f"{home}/values", it, script=True).json()["at"]
    clock.advance(minutes=1)
    client.post(f"{home}/values", it | {name_first(table): "640"})
    told = client.post(f"{home}/values", it | {"since": since}, script=True).json()
    assert told["fresh"] == {name_first(table): {name_first(table): "640"}}
    assert (told["open"], told["held"], told["problems"]) == (True, False, {})


def test_a_script_hears_what_cannot_be_in_the_readers_language(client, table, home):
    form = {"serving": str(table.servings(1)[0].id), name_first(table): "7000"}
    german = {"Accept-Language": "de"}
    told = client.post(f"{home}/values", form, script=True, headers=german).json()
    assert list(told["problems"]) == [name_first(table)]
    assert "Linie" in told["problems"][name_first(table)]


def test_hot_passes_are_closed_until_the_first_sip_is_free(client, table, home):
    it = {"serving": str(table.servings(1)[0].id)}
    for step, held in (("poured", True), ("sip", False)):
        table.step(step)
        page = find_sheet(client.get(home).text)
        assert ("Do not sip yet" in page) is held
        assert ('data-pass="hot" disabled' in page) is held
        assert client.post(f"{home}/values", it, script=True).json()["held"] is held


def test_a_value_sent_before_the_first_sip_is_refused_and_stays_on_the_page(client, table, home):
    table.step("poured")
    name = name_first(table)
    form = {"serving": str(table.servings(1)[0].id), name: "640"}
    answer = client.post(f"{home}/values", form)
    assert answer.status_code == 422
    assert "Nobody sips yet" in answer.text
    carried = dict(re.findall(r'name="([^"]+)" value="([^"]*)" data-held', answer.text))
    assert carried == {name: "640"}
    table.step("sip")
    assert client.post(f"{home}/values", form | carried).status_code == 303
    assert f'name="{name}" value="640"' in client.get(home).text


def test_a_script_hears_which_values_wait_for_the_first_sip(client, table, home):
    table.step("poured")
    form = {"serving": str(table.servings(1)[0].id), name_first(table): "640"}
    german = {"Accept-Language": "de"}
    answer = client.post(f"{home}/values", form, script=True, headers=german)
    told = answer.json()
    assert (answer.status_code, told["taken"], told["held"]) == (422, True, True)
    assert told["waiting"] == [name_first(table)]
    assert told["problems"][name_first(table)].startswith("Noch trinkt niemand")
    table.step("sip")
    answer = client.post(f"{home}/values", form, script=True)
    assert (answer.status_code, answer.json()["waiting"]) == (200, [])


def test_a_lock_before_the_first_sip_is_refused_with_the_values_on_the_page(client, table, home):
    table.step("poured")
    form = table.fill(1) | {"client_key": "k"}
    answer = client.post(f"{home}/answer", form)
    assert answer.status_code == 422
    assert find_sheet(answer.text).count('value="620" data-held') == 8
    table.step("sip")
    assert client.post(f"{home}/answer", form).status_code == 303


def test_a_script_hears_that_the_table_is_locked(client, table, home):
    it = {"serving": str(table.servings(1)[0].id)}
    table.lock(1, table.fill(1))
    assert client.post(f"{home}/values", it, script=True).json()["open"] is False


@pytest.mark.parametrize("path", ["words", "values", "finish"])
def test_a_link_that_opens_no_seat_is_told_so(client, path):
    assert client.post(f"/seat/nobody/{path}", {"serving": "x"}).status_code == 404


@pytest.mark.parametrize("path", ["values", "finish"])
def test_a_form_of_another_seat_changes_nothing(client, table, home, path):
    form = {"serving": str(table.servings(2)[0].id)}
    assert client.post(f"{home}/{path}", form).status_code == 404
    assert client.post(f"{home}/{path}", form, script=True).status_code == 404


@pytest.mark.parametrize("path", ["words", "values", "finish"])
def test_where_one_cup_is_picked_there_is_no_sheet(client, sealed_tasting, path):
    form = {"serving": str(sealed_tasting.servings(1)[0].id)}
    answer = client.post(f"/seat/{sealed_tasting.tokens[1]}/{path}", form)
    assert answer.status_code == 409


def test_a_ballot_is_not_taken_where_a_table_is_scored(client, table, home):
    form = {"serving": str(table.servings(1)[0].id), "pick": "1"}
    assert client.post(f"{home}/draft", form).status_code == 409


def test_a_word_too_long_keeps_what_was_typed(client, bench, account):
    table = seal_table(bench, account.id, EVERY_KIND)
    home = f"/seat/{table.tokens[1]}"
    client.post(f"{home}/start")
    answer = client.post(f"{home}/words", {"word-1": "h" * 41, "word-2": "hay"})
    assert answer.status_code == 422
    assert "Keep a word to 40 characters." in answer.text
    assert 'value="hay"' in answer.text


def test_a_seat_that_closed_unlocked_may_still_send_its_table(client, table, home):
    client.post(f"{home}/values", table.fill(1))
    close_tasting(table.bench, table.id, "the shop opens", "absent")
    page = client.get(home).text
    assert "Send it as late" in page
    carried = dict(re.findall(r'type="hidden" name="([^"]+)" value="([^"]*)"', page))
    client.post(f"{home}/answer", carried)
    assert len(table.place(1).record.late) == 1


def test_a_sheet_of_twelve_lines_for_eight_codes_weighs_less_than_150_kb(client, bench, account):
    sweet = EVERY_KIND.attributes[0].model_copy(update={"passes": ()})
    many = [sweet.model_copy(update={"name": f"a{n}", "label": f"Sweet {n}"}) for n in range(12)]
    sheet = EVERY_KIND.model_copy(update={"attributes": tuple(many), "own_words": 0})
    table = seal_table(bench, account.id, sheet, duplicates=("A", "B", "C", "D"))
    for sat in (False, True):
        if sat:
            table.sit(1)
        page = client.get(f"/seat/{table.tokens[1]}")
        assert page.text.count('class="line-mark"') == 12 * 8
        assert len(page.content) < 150_000


def test_opening_a_sheet_asks_the_database_as_often_for_many_codes_as_for_few(
    client, bench, account, count_queries
):
    counts = []
    for twins in ((), ("A", "B", "C", "D")):
        table = seal_table(bench, account.id, duplicates=twins)
        table.sit(1)
        counts.append(count_queries(lambda t=table: client.get(f"/seat/{t.tokens[1]}")))
    assert counts[0] == counts[1]
