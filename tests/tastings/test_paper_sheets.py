"""Score sheets typed in from paper: kept, locked once, and said to come from paper."""

import pytest

from server.reports.amendments import amend_table
from server.reports.scored import analyse_table
from server.storage import queries
from server.tastings import paper_sheets
from server.tastings.answering import NotYet, Outcome
from server.tastings.closing import close_tasting
from server.tastings.refusals import Invalid, NotFound, Refusal
from server.tastings.scoring_drafts import Draft, read_draft, save_values
from server.tastings.scoring_words import choose_words
from tests.scored_seats import EVERY_KIND, ScoredTable, seal_table, write_paper


@pytest.fixture
def table(bench, account) -> ScoredTable:
    return seal_table(bench, account.id, bowls=2)


def keep(table: ScoredTable, form, sitting: int = 1) -> None:
    paper_sheets.keep_sheet(table.bench, table.tokens[1], sitting, form)


def lock(table: ScoredTable, sitting: int = 1, **form: str) -> Outcome:
    return paper_sheets.lock_sheet(table.bench, table.tokens[1], sitting, form, f"key {sitting}")


def read(table: ScoredTable, number: int = 0) -> Draft:
    place = table.place(1)
    with table.bench.reading() as db:
        row = queries.find_draft(db, place.seat.id, table.servings(1)[number].id)
    return read_draft(row.body) if row else Draft()


def find_answer(table: ScoredTable, number: int = 0):
    return table.place(1).record.answers[table.servings(1)[number].id]


def name_sweet(table: ScoredTable, part: str = ".mm") -> str:
    return f"v.sweet.{table.spread(1).codes[0]}.0.hot{part}"


def test_a_line_is_typed_in_millimetres_of_the_printed_one(table):
    keep(table, {name_sweet(table): "74,5"})
    assert [(one.attribute, one.value) for one in read(table).answer.values] == [("sweet", 497)]


def test_nobody_knows_when_a_mark_on_paper_was_made(table, clock):
    keep(table, {name_sweet(table): "75"})
    clock.advance(minutes=40)
    keep(table, {name_sweet(table).replace("hot", "cool"): "30"})
    assert [one.minutes for one in read(table).answer.values] == [None, None]


def test_a_typing_error_is_no_second_thought(table):
    keep(table, {name_sweet(table): "7"})
    keep(table, {name_sweet(table): "70"})
    assert read(table).answer.earlier == ()


def test_what_was_tapped_before_the_paper_is_kept_as_what_it_replaced(table):
    table.sit(1)
    save_values(
        table.bench, table.tokens[1], table.servings(1)[0].id, {name_sweet(table, ""): "620"}
    )
    keep(table, {name_sweet(table): "75"})
    assert [one.value for one in read(table).answer.earlier] == [620]


def test_what_cannot_be_is_told_and_the_rest_is_kept(table):
    wrong = name_sweet(table).replace("hot", "cool")
    with pytest.raises(Invalid) as refusal:
        keep(table, {name_sweet(table): "75", wrong: "151"})
    assert list(refusal.value.messages) == [wrong]
    assert [one.value for one in read(table).answer.values] == [500]


def test_a_sip_that_is_held_is_held_on_paper_too(table):
    table.step("poured")
    with pytest.raises(Invalid) as refusal:
        keep(table, {name_sweet(table): "75"})
    assert list(refusal.value.messages) == [name_sweet(table, "")]
    assert read(table).answer.values == ()
    table.step("sip")
    keep(table, {name_sweet(table): "75"})
    assert [one.value for one in read(table).answer.values] == [500]


def test_no_sheet_is_locked_with_gaps_before_the_first_sip(table):
    keep(table, {name_sweet(table): "75"})
    table.step("poured")
    with pytest.raises(Invalid, match="Nobody sips yet"):
        lock(table, empty_too="on")
    table.step("sip")
    assert lock(table, empty_too="on") == Outcome.ACCEPTED


def test_a_whole_sheet_is_locked_once_and_said_to_come_from_paper(table):
    keep(table, write_paper(table, 1))
    assert lock(table) == Outcome.ACCEPTED
    assert lock(table) == Outcome.REPEATED
    found = find_answer(table)
    # 4 codes: sweet hot and cool, a fault of each of 2 bowls, a comment
    assert (found.source, len(found.answer["values"])) == ("paper", 4 * (2 + 2 + 1))
    assert table.place(1).record.contests == {}


def test_every_kind_of_scale_is_typed_in_from_paper(bench, account):
    table = seal_table(bench, account.id, EVERY_KIND)
    with pytest.raises(Refusal, match="own come first"):
        keep(table, {})
    choose_words(bench, table.tokens[1], {"word-1": "wet hay"})
    keep(table, write_paper(table, 1))
    lock(table)
    said = {one["attribute"] for one in find_answer(table).answer["values"]}
    assert said == {"own-1", *(one.name for one in EVERY_KIND.attributes)}
    assert find_answer(table).answer["words"] == ["wet hay"]


def test_what_paper_leaves_empty_stays_missing_once_somebody_says_so(table):
    keep(table, write_paper(table, 1, fault=None))
    with pytest.raises(Invalid) as refusal:
        lock(table)
    assert list(refusal.value.messages) == ["empty_too"]
    assert lock(table, empty_too="on") == Outcome.ACCEPTED
    assert {one["attribute"] for one in find_answer(table).answer["values"]} == {"sweet", "note"}


def test_a_sheet_of_which_nothing_is_typed_in_is_not_locked(table):
    with pytest.raises(Invalid):
        lock(table, empty_too="on")


def test_somebody_sat_where_a_sheet_was_filled(table):
    assert table.place(1).record.seats_taken == set()
    for text in ("75", "76"):
        keep(table, {name_sweet(table): text})
    assert table.place(1).record.seats_taken == {1}
    assert sum(one.kind == "seat_taken" for one in table.place(1).events) == 1


def test_warm_up_cups_before_a_table_count_as_drunk(bench, account):
    table = seal_table(bench, account.id, warm_up="A")
    keep(table, write_paper(table, 1))
    assert lock(table) == Outcome.ACCEPTED
    warm_up, scored = (find_answer(table, number) for number in (0, 1))
    assert (warm_up.answer["values"], warm_up.source) == ([], "paper")
    assert scored.answer["values"]


def test_sittings_are_locked_in_their_order(bench, account):
    table = seal_table(bench, account.id, sittings=2)
    keep(table, write_paper(table, 1, sitting=2), sitting=2)
    with pytest.raises(NotYet):
        lock(table, sitting=2)
    keep(table, write_paper(table, 1))
    lock(table)
    assert lock(table, sitting=2) == Outcome.ACCEPTED


def test_nothing_is_typed_into_a_locked_sheet_or_after_closing(table):
    keep(table, write_paper(table, 1))
    name = name_sweet(table)
    lock(table)
    with pytest.raises(Refusal, match="locked"):
        keep(table, {name: "1"})
    close_tasting(table.bench, table.id, "the shop opens", "absent")
    with pytest.raises(Refusal, match="over"):
        paper_sheets.keep_sheet(table.bench, table.tokens[2], 1, {})


def test_a_sheet_that_is_not_there_is_not_found(table, sealed_tasting):
    for token, sitting in ((table.tokens[1], 2), ("nobody", 1), (sealed_tasting.tokens[1], 1)):
        with pytest.raises(NotFound):
            paper_sheets.keep_sheet(table.bench, token, sitting, {})


def test_the_finding_says_how_many_came_in_on_paper_and_what_is_missing(table):
    for seat in (1, 2):
        form = write_paper(table, seat, **({"fault": None} if seat == 1 else {}))
        token = table.tokens[seat]
        paper_sheets.keep_sheet(table.bench, token, 1, form)
        paper_sheets.lock_sheet(table.bench, token, 1, {"empty_too": "on"}, "k")
    close_tasting(table.bench, table.id, "the shop opens", "absent")
    found = analyse_table(table.sealed, table.place(1).events)
    assert "2 answers came in on paper." in amend_table(found.changes, ())
    assert found.missing.required == 4 * 2
