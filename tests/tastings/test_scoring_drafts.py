"""Values of a seat before they are locked: field by field, the latest tap wins."""

from datetime import timedelta
from uuid import UUID

import pytest

from server.storage import queries
from server.tastings import scoring_lock
from server.tastings.refusals import Invalid, NotFound, Refusal
from server.tastings.scoring_drafts import Draft, read_draft, save_values
from server.tastings.seat_view import find_seat_view
from server.tastings.steps import StepKind
from tests.scored_seats import ScoredTable, seal_table


@pytest.fixture
def table(bench, account) -> ScoredTable:
    made = seal_table(bench, account.id)
    made.sit(1)
    return made


def save(table: ScoredTable, form, **how) -> None:
    save_values(table.bench, table.tokens[1], table.servings(1)[0].id, form, **how)


def read(table: ScoredTable) -> Draft:
    place = table.place(1)
    with table.bench.reading() as db:
        row = queries.find_draft(db, place.seat.id, table.servings(1)[0].id)
    return read_draft(row.body) if row else Draft()


def name_sweet(table: ScoredTable, time: str = "hot") -> str:
    return f"v.sweet.{table.spread(1).codes[0]}.0.{time}"


def tell(table: ScoredTable, name: str, value: str, tapped: timedelta, sent: timedelta):
    """A form as the script sends it: the device's clock is an hour off."""
    zero = table.bench.clock() + timedelta(hours=1)
    return {
        name: value,
        f"t.{name}": str(int((zero + tapped).timestamp() * 1000)),
        "sent_at": (zero + sent).isoformat(),
    }


def test_a_few_fields_are_merged_into_what_is_there(table):
    save(table, {name_sweet(table): "700"})
    save(table, {name_sweet(table, "cool"): "300"})
    assert sorted(one.value for one in read(table).answer.values) == [300, 700]


def test_a_changed_value_keeps_the_earlier_one_and_its_minutes(table, clock):
    save(table, {name_sweet(table): "700"})
    clock.advance(minutes=9)
    save(table, {name_sweet(table): "550"})
    answer = read(table).answer
    assert [(one.value, one.minutes) for one in (*answer.earlier, *answer.values)] == [
        (700, 0.0),
        (550, 9.0),
    ]


def test_minutes_count_from_the_first_bowl_poured(table, clock):
    table.step("poured")
    table.step("sip")
    clock.advance(minutes=4)
    save(table, {name_sweet(table): "700"})
    assert read(table).answer.values[0].minutes == 4.0


def test_an_offline_tap_counts_from_when_it_was_tapped(table, clock):
    save(table, {name_sweet(table): "700"})
    clock.advance(minutes=20)
    name = name_sweet(table, "cool")
    save(table, tell(table, name, "300", timedelta(minutes=-5), timedelta()))
    assert [one.minutes for one in read(table).answer.values if one.time == "cool"] == [15.0]


def test_of_two_devices_the_later_tap_wins_whichever_arrives_first(table, clock):
    name = name_sweet(table)
    clock.advance(minutes=20)
    save(table, tell(table, name, "300", timedelta(minutes=-1), timedelta()))
    save(table, tell(table, name, "900", timedelta(minutes=-9), timedelta()))
    assert read(table).answer.values[0].value == 300


def test_a_value_can_be_taken_back(table):
    save(table, {name_sweet(table): "700"})
    save(table, {name_sweet(table): ""})
    answer = read(table).answer
    assert (answer.values, [one.value for one in answer.earlier]) == ((), [700])


def test_what_cannot_be_is_told_and_the_rest_is_kept(table):
    wrong = name_sweet(table, "cool")
    with pytest.raises(Invalid) as refusal:
        save(table, {name_sweet(table): "700", wrong: "7000"})
    assert list(refusal.value.messages) == [wrong]
    assert [one.value for one in read(table).answer.values] == [700]


def test_nothing_is_kept_once_the_table_is_locked(table):
    table.lock(1, table.fill(1))
    save(table, {f"v.sweet.{table.servings(1)[0].codes[0]}.0.hot": "1"})
    assert read(table) == Draft()


def test_finishing_leads_to_the_review_and_changing_leads_back(table):
    token = table.tokens[1]
    save(table, {name_sweet(table): "700"}, finish=True)
    assert find_seat_view(table.bench, token).kind == StepKind.SCORE_REVIEW
    save(table, {name_sweet(table): "710"})
    assert find_seat_view(table.bench, token).kind == StepKind.SCORE


def test_a_serving_of_another_seat_is_not_there(table):
    other = table.servings(2)[0].id
    with pytest.raises(NotFound):
        save_values(table.bench, table.tokens[1], other, {})


def test_where_one_cup_is_picked_nothing_is_scored(bench, sealed_tasting):
    serving = sealed_tasting.servings(1)[0].id
    with pytest.raises(Refusal):
        save_values(bench, sealed_tasting.tokens[1], serving, {})
    with pytest.raises(NotFound):
        scoring_lock.lock_answer(bench, "nobody", UUID(int=1), {}, "k")
