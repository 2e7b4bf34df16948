"""While the bowl clock holds the first sip, values of what is sipped are not taken.

65 °C: IARC Monographs vol. 116, 2018: very hot beverages, above 65 °C (from memory).
"""

from datetime import timedelta

import pytest

from server.storage import queries
from server.tastings.answering import Outcome
from server.tastings.clocking import record_reading, record_step
from server.tastings.closing import close_tasting
from server.tastings.refusals import Invalid
from server.tastings.scoring_drafts import read_draft, save_values
from server.tastings.scoring_passes import HELD
from tests.scored_seats import SHORT, SWEET, ScoredTable, seal_table

SMELT = ("dry", "crust", "break")
NOSE = SHORT.model_copy(
    update={
        "attributes": (
            SWEET.model_copy(update={"passes": (*SMELT, "hot", "cool")}),
            *SHORT.attributes[1:],
        )
    }
)


@pytest.fixture
def table(bench, account) -> ScoredTable:
    """A table that stands there poured, and too hot."""
    made = seal_table(bench, account.id, NOSE)
    made.sit(1)
    made.step("poured")
    return made


def save(table: ScoredTable, form) -> None:
    save_values(table.bench, table.tokens[1], table.servings(1)[0].id, form)


def refuse(table: ScoredTable, form) -> dict[str, str]:
    with pytest.raises(Invalid) as refused:
        save(table, form)
    return dict(refused.value.messages)


def read(table: ScoredTable) -> dict[str, object]:
    with table.bench.reading() as db:
        row = queries.find_draft(db, table.place(1).seat.id, table.servings(1)[0].id)
    return {one.place.time: one.value for one in read_draft(row.body).answer.values} if row else {}


def name(table: ScoredTable, time: str) -> str:
    return f"v.sweet.{table.spread(1).codes[0]}.0.{time}"


@pytest.mark.parametrize("time", ["hot", "cool"])
def test_a_value_of_what_is_sipped_is_refused_beside_its_field(table, time):
    assert refuse(table, {name(table, time): "700"}) == {name(table, time): HELD}
    assert read(table) == {}


def test_a_value_of_a_question_without_a_pass_waits_as_well(table):
    note = f"v.note.{table.spread(1).codes[0]}.0."
    assert refuse(table, {note: "clean"}) == {note: HELD}


@pytest.mark.parametrize("time", SMELT)
def test_what_is_smelt_is_never_held(table, time):
    save(table, {name(table, time): "700"})
    assert read(table) == {time: 700}


def test_of_one_form_what_is_smelt_is_kept_and_what_is_sipped_is_not(table):
    form = {name(table, "dry"): "300", name(table, "hot"): "700"}
    assert list(refuse(table, form)) == [name(table, "hot")]
    assert read(table) == {"dry": 300}


def test_the_same_form_is_taken_as_soon_as_the_sip_is_free(table):
    form = {name(table, "hot"): "700"}
    refuse(table, form)
    table.step("sip")
    save(table, form)
    assert read(table) == {"hot": 700}


def test_a_reading_above_the_limit_holds_and_one_at_the_limit_frees(bench, account):
    table = seal_table(bench, account.id, NOSE)
    table.sit(1)
    form = {name(table, "hot"): "700"}
    record_step(bench, table.id, 1, {"step": "poured", "bowl": "all cups"})
    record_reading(bench, table.id, 1, "65.1")
    assert refuse(table, form)
    record_reading(bench, table.id, 1, "65.0")
    save(table, form)
    assert read(table) == {"hot": 700}


def test_without_a_bowl_clock_nothing_is_held(bench, account):
    table = seal_table(bench, account.id, NOSE)
    table.sit(1)
    save(table, {name(table, "hot"): "700"})
    assert read(table) == {"hot": 700}


def test_the_clock_of_another_sitting_holds_nothing_here(bench, account):
    table = seal_table(bench, account.id, NOSE, sittings=2)
    table.sit(1)
    table.step("poured", sitting=2)
    save(table, {name(table, "hot"): "700"})
    assert read(table) == {"hot": 700}


def test_what_was_tapped_without_a_network_is_judged_when_it_arrives(table, clock):
    """Tapped while the sip was held, sent when it is free: it is taken, with its own moment."""
    clock.advance(minutes=5)
    tapped = clock() - timedelta(minutes=3)
    hot = name(table, "hot")
    form = {
        hot: "700",
        f"t.{hot}": str(int(tapped.timestamp() * 1000)),
        "sent_at": clock().isoformat(),
    }
    assert refuse(table, form) == {hot: HELD}
    table.step("sip")
    save(table, form)
    assert read(table) == {"hot": 700}


def test_values_from_before_the_pour_stand_and_cannot_change_while_it_is_hot(bench, account):
    table = seal_table(bench, account.id, NOSE)
    table.sit(1)
    form = {name(table, "hot"): "700"}
    save(table, form)
    table.step("poured")
    save(table, form)
    assert refuse(table, {name(table, "hot"): "100"}) == {name(table, "hot"): HELD}
    assert refuse(table, {name(table, "hot"): ""}) == {name(table, "hot"): HELD}
    assert read(table) == {"hot": 700}


def test_a_whole_table_is_not_locked_before_the_first_sip(table):
    form = table.fill(1)
    with pytest.raises(Invalid) as refused:
        table.lock(1, form)
    assert set(refused.value.messages.values()) == {HELD}
    assert table.place(1).record.answers == {}
    table.step("sip")
    assert table.lock(1, form) == Outcome.ACCEPTED


def test_a_lock_that_lacks_only_what_is_sipped_is_told_to_wait(table):
    smelt = {one: text for one, text in table.fill(1).items() if one.endswith(SMELT)}
    with pytest.raises(Invalid) as refused:
        table.lock(1, smelt | {"serving": str(table.servings(1)[0].id)})
    assert set(refused.value.messages.values()) == {HELD}


def test_an_answer_sent_again_is_the_same_answer_whatever_the_clock_says(bench, account):
    table = seal_table(bench, account.id, NOSE)
    table.sit(1)
    form = table.fill(1)
    table.lock(1, form)
    table.step("poured")
    assert table.lock(1, form) == Outcome.REPEATED


def test_what_comes_after_closing_is_late_and_not_lost(table):
    form = table.fill(1)
    close_tasting(table.bench, table.id, "the shop opens", "absent")
    assert table.lock(1, form) == Outcome.LATE
