"""The whole table of a seat locks at once; required values must be there."""

import pytest

from server.tastings.answering import Outcome
from server.tastings.closing import close_tasting
from server.tastings.refusals import Invalid
from server.tastings.scoring_drafts import save_values
from server.tastings.seat_view import find_seat_view
from server.tastings.steps import StepKind
from tests.scored_seats import EVERY_KIND, ScoredTable, seal_table


@pytest.fixture
def table(bench, account) -> ScoredTable:
    made = seal_table(bench, account.id, bowls=2)
    made.sit(1)
    return made


def find_answer(table: ScoredTable):
    with table.bench.reading():
        return table.place(1).record.answers[table.servings(1)[0].id].answer


def test_a_whole_table_is_one_answer(table):
    assert table.lock(1, table.fill(1)) == Outcome.ACCEPTED
    # 4 codes: sweet hot and cool, a fault of each of 2 bowls, a comment
    assert len(find_answer(table)["values"]) == 4 * (2 + 2 + 1)
    assert find_seat_view(table.bench, table.tokens[1]).kind == StepKind.DONE


def test_every_kind_of_scale_can_be_locked(bench, account):
    table = seal_table(bench, account.id, EVERY_KIND)
    table.sit(1)
    assert table.lock(1, table.fill(1)) == Outcome.ACCEPTED
    assert {one["attribute"] for one in find_answer(table)["values"]} == {
        one.name for one in EVERY_KIND.attributes
    }


def test_what_is_required_and_missing_stands_in_the_way_and_the_rest_is_kept(table):
    with pytest.raises(Invalid) as refusal:
        table.lock(1, table.fill(1, fault=None))
    assert {name.split(".")[1] for name in refusal.value.messages} == {"fault"}
    view = find_seat_view(table.bench, table.tokens[1])
    assert len(view.table.told) == 4 * 3


def test_what_is_not_required_may_be_missing(table):
    assert table.lock(1, table.fill(1, note=None)) == Outcome.ACCEPTED


def test_values_kept_before_are_part_of_the_answer(table):
    form = table.fill(1)
    name = next(one for one in form if one.startswith("v.sweet"))
    save_values(table.bench, table.tokens[1], table.servings(1)[0].id, {name: "100"})
    table.lock(1, form)
    assert [one["value"] for one in find_answer(table)["earlier"]] == [100]


def test_the_same_form_again_changes_nothing_even_later(table, clock):
    form = table.fill(1)
    table.lock(1, form)
    clock.advance(minutes=3)
    assert table.lock(1, form) == Outcome.REPEATED


def test_a_different_form_is_contested(table):
    form = table.fill(1)
    table.lock(1, form)
    changed = {name: "10" if name.startswith("v.sweet") else text for name, text in form.items()}
    assert table.lock(1, changed) == Outcome.CONTESTED


def test_after_closing_a_table_is_late(table):
    form = table.fill(1)
    close_tasting(table.bench, table.id, "the shop opens", "absent")
    assert table.lock(1, form) == Outcome.LATE


def test_a_warm_up_cup_is_tasted_and_nothing_is_said_of_it(bench, account):
    table = seal_table(bench, account.id, warm_up="A")
    table.sit(1)
    assert find_seat_view(bench, table.tokens[1]).kind == StepKind.WARM_UP
    assert table.lock(1, {"serving": str(table.servings(1)[0].id)}) == Outcome.ACCEPTED
    assert find_seat_view(bench, table.tokens[1]).kind == StepKind.CODES
