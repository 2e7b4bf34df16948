"""A table as its seat sees it."""

import pytest

from server.tastings.scoring_drafts import save_values
from server.tastings.seat_view import find_seat_view
from tests.scored_seats import EVERY_KIND, SHORT, ScoredTable, seal_table


@pytest.fixture
def table(bench, account) -> ScoredTable:
    made = seal_table(bench, account.id, bowls=2)
    made.sit(1)
    return made


def look(table: ScoredTable, seat: int = 1):
    return find_seat_view(table.bench, table.tokens[seat]).table


def test_a_table_goes_pass_by_pass_and_code_by_code(table):
    seen = look(table)
    assert [one.name for one in seen.passes] == ["Hot", "Cool", "The rest"]
    sweet = seen.passes[0].questions[0]
    assert [cell.code for cell in sweet.cells] == list(table.spread(1).codes)


def test_a_cup_has_a_value_of_its_own_and_a_sample_one_for_all_its_bowls(table):
    sweet, fault = look(table).passes[0].questions
    assert [one.place.bowl for one in sweet.cells[0].asked] == [0]
    assert [one.place.bowl for one in fault.cells[0].asked] == [1, 2]


def test_the_value_of_an_earlier_pass_stands_beside_the_new_one(table):
    code = table.spread(1).codes[0]
    name = f"v.sweet.{code}.0.hot"
    save_values(table.bench, table.tokens[1], table.servings(1)[0].id, {name: "700"})
    cool = look(table).passes[1].questions[0]
    assert cool.cells[0].asked[0].before == "70 / 100"


def test_sips_wait_while_the_bowl_clock_holds_them(table):
    assert not look(table).held
    table.step("poured")
    assert [one.held for one in look(table).passes] == [True, True, True]
    table.step("sip")
    assert not look(table).held


def test_seats_at_shared_bowls_start_elsewhere_on_the_same_table(bench, account):
    table = seal_table(bench, account.id, style="shared")
    orders = [look(table, seat).codes for seat in (1, 2, 3, 4)]
    assert len(set(orders)) > 1
    assert {frozenset(one) for one in orders} == {frozenset(orders[0])}


def test_words_to_tick_are_in_an_order_of_the_seats_own(bench, account):
    table = seal_table(bench, account.id, EVERY_KIND)

    def find_words(seat: int):
        rest = look(table, seat).passes[-1]
        return next(one.words for one in rest.questions if one.attribute.name == "hints")

    orders = {find_words(seat) for seat in range(1, 7)}
    assert len(orders) > 1
    assert {tuple(sorted(one)) for one in orders} == {((0, "cocoa"), (1, "lemon"), (2, "ash"))}


def test_all_that_is_asked_for_is_missing_at_first(table):
    assert len(look(table).gaps) == 4 * (2 + 2 + 1)
    assert not look(table).lockable
    assert SHORT.attributes[-1].required is False
