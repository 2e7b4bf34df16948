"""Words of one's own: once, before the first cup."""

import pytest

from server.blinding.events import Kind
from server.tastings.refusals import Invalid, NotFound, Refusal
from server.tastings.scoring_words import choose_words
from server.tastings.seat_view import find_seat_view
from server.tastings.seating import read_instructions
from server.tastings.steps import StepKind
from tests.scored_seats import EVERY_KIND, ScoredTable, seal_table


@pytest.fixture
def table(bench, account) -> ScoredTable:
    made = seal_table(bench, account.id, EVERY_KIND)
    read_instructions(bench, made.tokens[1])
    return made


def choose(table: ScoredTable, *words: str) -> None:
    form = {f"word-{number}": word for number, word in enumerate(words, 1)}
    choose_words(table.bench, table.tokens[1], form)


def test_words_are_asked_for_before_the_codes(table):
    assert find_seat_view(table.bench, table.tokens[1]).kind == StepKind.WORDS
    choose(table, "wet  hay", "")
    assert find_seat_view(table.bench, table.tokens[1]).kind == StepKind.CODES


def test_words_stand_at_the_end_of_the_seats_own_sheet(table):
    choose(table, "wet hay")
    assert table.spread(1).sheet.attributes[-1].label == "wet hay"
    assert table.spread(2).words == ()


def test_no_word_is_an_answer_too(table):
    choose(table)
    assert table.place(1).record.words == {1: ()}


def test_words_are_chosen_once(table):
    choose(table, "wet hay")
    choose(table, "dry hay")
    events = [one for one in table.place(1).events if one.kind == Kind.WORDS_CHOSEN]
    assert [one.body["words"] for one in events] == [["wet hay"]]


def test_a_word_that_is_there_twice_is_told_beside_its_field(table):
    with pytest.raises(Invalid) as refusal:
        choose(table, "hay", "Hay")
    assert list(refusal.value.messages) == ["word-2"]


def test_only_a_seat_of_a_scored_table_has_words(bench, sealed_tasting):
    with pytest.raises(Refusal):
        choose_words(bench, sealed_tasting.tokens[1], {})
    with pytest.raises(NotFound):
        choose_words(bench, "nobody", {})
