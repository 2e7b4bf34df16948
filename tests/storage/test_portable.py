"""A tasting's rows follow from its document: seats, answers and locks."""

from collections.abc import Callable
from typing import Any
from uuid import UUID, uuid4

import pytest
from sqlalchemy import Engine
from sqlmodel import col, select

from server.blinding.events import Event, Kind
from server.blinding.portable import read_document, verify_document
from server.storage import queries, tables
from server.storage.engine import writing
from server.storage.portable import add_event_rows, find_answering_seats, write_document


def _say(serving: Any, pick: int, revision: int = 1) -> dict[str, Any]:
    return {
        "serving": str(serving.id),
        "pass": "",
        "revision": revision,
        "answer": {"pick": serving.codes[pick], "guess": False, "comment": ""},
        "client_key": f"tap {revision}",
        "device_at": None,
        "source": "device",
    }


@pytest.fixture
def evening(stored: Any, chain_up: Callable[..., list[Event]]) -> list[Event]:
    """Seat 1 answers, answers otherwise, and once more after closing; a spare stands in."""
    mine = [one for one in stored.sealed.servings if one.seat == 1]
    spare = next(one for one in stored.sealed.servings if one.seat == 3 and one.round == 2)
    swapped = {"serving": str(mine[1].id), "reason": "spilt", "replacement": str(spare.id)}
    return chain_up(
        stored.seal,
        (Kind.SEAT_TAKEN, {"seat": 1}),
        (Kind.SERVING_BEGAN, {}),
        (Kind.ANSWERED, _say(mine[0], 0)),
        (Kind.CONTESTED, _say(mine[0], 1, 2)),
        (Kind.VOIDED, swapped),
        (Kind.ANSWERED, _say(spare, 2) | {"client_key": "tap on the spare"}),
        (Kind.CLOSED, {"reason": "the urn ran dry", "pourer": "absent"}),
        (Kind.LATE, _say(mine[0], 2, 3)),
    )


@pytest.fixture
def rows(engine: Engine, stored: Any, evening: list[Event]) -> Callable[[Any], list[Any]]:
    """Restore the evening's rows, then look at those a statement asks for."""
    with writing(engine) as db:
        add_event_rows(db, stored.sealed, evening, uuid4)
        db.commit()

    def look(statement: Any) -> list[Any]:
        with writing(engine) as db:
            return list(db.exec(statement).all())

    return look


def test_every_answer_given_becomes_a_row(rows: Callable[[Any], list[Any]]) -> None:
    assert len(rows(select(tables.Answer))) == 4


def test_only_first_answers_are_locked(rows: Callable[[Any], list[Any]]) -> None:
    locked = select(tables.Answer.revision).join(
        tables.Accepted, col(tables.Accepted.answer_id) == tables.Answer.id
    )
    assert rows(locked) == [1, 1]


def test_the_answer_to_a_spare_serving_is_of_the_seat_that_gave_it(
    rows: Callable[[Any], list[Any]],
) -> None:
    number = select(tables.Seat.number).join(
        tables.Answer, col(tables.Answer.seat_id) == tables.Seat.id
    )
    assert set(rows(number)) == {1}


def test_only_the_seats_that_were_taken_are_taken(rows: Callable[[Any], list[Any]]) -> None:
    taken = select(tables.Seat.number).where(col(tables.Seat.taken_at).is_not(None))
    assert rows(taken) == [1]


def test_an_erased_event_leaves_no_answer(
    engine: Engine, stored: Any, evening: list[Event]
) -> None:
    gone = evening[2].model_copy(update={"body": None, "leaf_salt": None})
    with writing(engine) as db:
        add_event_rows(db, stored.sealed, [*evening[:2], gone], uuid4)
        assert db.exec(select(tables.Answer)).all() == []


def test_a_stand_in_for_a_stand_in_is_answered_by_the_first_seat(
    stored: Any, chain_up: Callable[..., list[Event]]
) -> None:
    first, second, third = (
        next(one for one in stored.sealed.servings if one.seat == seat) for seat in (1, 2, 3)
    )
    events = chain_up(
        stored.seal,
        *(
            (Kind.VOIDED, {"serving": str(one.id), "reason": "", "replacement": str(other.id)})
            for one, other in ((first, second), (second, third))
        ),
    )
    assert find_answering_seats(stored.sealed, events)[str(third.id)] == 1


def test_a_time_that_is_none_is_refused(
    engine: Engine, stored: Any, chain_up: Callable[..., list[Event]]
) -> None:
    events = chain_up(stored.seal, (Kind.SEAT_TAKEN, {"seat": 1, "at": "after lunch"}))
    with writing(engine) as db, pytest.raises(ValueError, match="after lunch"):
        add_event_rows(db, stored.sealed, events, uuid4)


@pytest.fixture
def document(engine: Engine, stored: Any, rows: Callable[[Any], list[Any]]) -> Callable[..., bytes]:
    """Write the stored evening as its document."""
    assert rows

    def write(*, with_key: bool) -> bytes:
        with writing(engine) as db:
            tasting = queries.find_tasting(db, UUID(str(stored.id)))
            assert tasting
            return write_document(db, tasting, stored.text if with_key else None)

    return write


@pytest.mark.parametrize("with_key", [True, False])
def test_a_written_document_holds(document: Callable[..., bytes], with_key: bool) -> None:
    assert verify_document(document(with_key=with_key)) == []


def test_a_document_with_the_key_carries_the_sealed_text(
    document: Callable[..., bytes], stored: Any
) -> None:
    assert read_document(document(with_key=True)).sealed_text == stored.text


def test_a_document_without_the_key_has_no_word_of_it(
    document: Callable[..., bytes], stored: Any
) -> None:
    text = document(with_key=False)
    assert stored.sealed.salt.encode() not in text
    assert b'"key"' not in text
