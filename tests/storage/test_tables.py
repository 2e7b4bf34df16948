"""What the database itself holds to: no double rows, nothing that points nowhere."""

from collections.abc import Callable
from typing import Any
from uuid import UUID, uuid4

import pytest
from sqlalchemy import Engine
from sqlalchemy.exc import IntegrityError
from sqlmodel import SQLModel, select

from server.blinding.events import Kind
from server.storage import tables
from server.storage.engine import writing


@pytest.fixture
def add(engine: Engine) -> Callable[..., None]:
    """Add rows, each in a transaction of its own."""

    def add(*rows: SQLModel) -> None:
        for row in rows:
            with writing(engine) as db:
                db.add(row)
                db.commit()

    return add


@pytest.fixture
def answer(engine: Engine, stored: Any, clock: Any) -> Callable[..., tables.Answer]:
    """Build an answer of seat 1 to one of its servings, counted from 0."""
    servings = [one for one in stored.sealed.servings if one.seat == 1]
    with writing(engine) as db:
        seat = db.exec(select(tables.Seat.id).where(tables.Seat.number == 1)).one()

    def build(serving: int = 0, revision: int = 1, client_key: str = "tap") -> tables.Answer:
        return tables.Answer(
            id=uuid4(),
            tasting_id=stored.id,
            seat_id=seat,
            serving_id=servings[serving].id,
            revision=revision,
            body={"pick": servings[serving].codes[0]},
            client_key=client_key,
            received_at=clock(),
        )

    return build


def _lock(answer: tables.Answer) -> tables.Accepted:
    return tables.Accepted(
        serving_id=answer.serving_id, answer_id=answer.id, tasting_id=answer.tasting_id
    )


def test_a_serving_accepts_one_answer(add: Callable[..., None], answer: Any) -> None:
    first, second = answer(), answer(revision=2, client_key="other tap")
    with pytest.raises(IntegrityError):
        add(first, second, _lock(first), _lock(second))


def test_a_client_key_stands_for_one_answer_of_a_seat(
    add: Callable[..., None], answer: Any
) -> None:
    with pytest.raises(IntegrityError):
        add(answer(0), answer(1))


def test_a_revision_of_an_answer_is_there_once(add: Callable[..., None], answer: Any) -> None:
    with pytest.raises(IntegrityError):
        add(answer(), answer(client_key="other tap"))


def test_two_answers_with_their_own_keys_are_kept(add: Callable[..., None], answer: Any) -> None:
    first = answer()
    add(first, answer(revision=2, client_key="other tap"), _lock(first))


def test_an_event_number_is_given_once(
    add: Callable[..., None], stored: Any, chain_up: Callable[..., Any]
) -> None:
    members = chain_up(stored.seal, (Kind.SEAT_TAKEN, {"seat": 1}))[0].model_dump()
    with pytest.raises(IntegrityError):
        add(*(tables.Event(tasting_id=stored.id, **members) for _ in range(2)))


@pytest.fixture
def unsealed(add: Callable[..., None], clock: Any) -> UUID:
    """A tasting without a seal, with a seat and a comparison to hang servings on."""
    tasting = tables.Tasting(
        id=uuid4(), name="Tasting", join_code="FRESHX", method="triangle", plan={},
        created_at=clock(),
    )  # fmt: skip
    add(
        tasting,
        tables.Comparison(id=UUID(int=1), tasting_id=tasting.id, name="test", samples=["A", "B"]),
        tables.Seat(id=UUID(int=2), tasting_id=tasting.id, number=1, token="seat one"),
    )
    return tasting.id


@pytest.fixture
def serving(unsealed: UUID) -> Callable[..., tables.Serving]:
    """Build a serving of the first sitting."""
    return lambda round_no: tables.Serving(
        id=uuid4(),
        tasting_id=unsealed,
        seat_id=UUID(int=2),
        comparison_id=UUID(int=1),
        round=round_no,
    )


def test_a_seat_has_one_serving_a_round(
    add: Callable[..., None], serving: Callable[..., tables.Serving]
) -> None:
    with pytest.raises(IntegrityError):
        add(serving(1), serving(1))


def test_a_place_holds_one_cup(
    add: Callable[..., None], unsealed: UUID, serving: Callable[..., tables.Serving]
) -> None:
    one = serving(1)
    cups = [tables.Cup(id=uuid4(), tasting_id=unsealed, code=code) for code in ("571", "826")]
    places = [
        tables.Placement(serving_id=one.id, position=1, cup_id=cup.id, tasting_id=unsealed)
        for cup in cups
    ]
    with pytest.raises(IntegrityError):
        add(one, *cups, *places)


def test_a_cup_stands_in_one_place(
    add: Callable[..., None], unsealed: UUID, serving: Callable[..., tables.Serving]
) -> None:
    one, cup = serving(1), tables.Cup(id=uuid4(), tasting_id=unsealed, code="571")
    places = [
        tables.Placement(serving_id=one.id, position=place, cup_id=cup.id, tasting_id=unsealed)
        for place in (1, 2)
    ]
    with pytest.raises(IntegrityError):
        add(one, cup, *places)


def test_a_row_that_points_nowhere_is_refused(add: Callable[..., None]) -> None:
    with pytest.raises(IntegrityError):
        add(tables.Cup(id=uuid4(), tasting_id=uuid4(), code="571"))


def test_a_tasting_has_a_known_state(add: Callable[..., None], clock: Any) -> None:
    with pytest.raises(IntegrityError):
        add(
            tables.Tasting(
                name="Tasting", join_code="FRESHX", state="paused", method="triangle", plan={},
                created_at=clock(),
            )
        )  # fmt: skip


def test_a_join_code_opens_one_tasting(add: Callable[..., None], stored: Any, clock: Any) -> None:
    assert stored
    with pytest.raises(IntegrityError):
        add(
            tables.Tasting(
                name="Tasting", join_code="CODE1", method="triangle", plan={}, created_at=clock()
            )
        )


def test_an_installation_has_one_secret(add: Callable[..., None]) -> None:
    with pytest.raises(IntegrityError):
        add(tables.Installation(secret="one"), tables.Installation(id=2, secret="two"))
