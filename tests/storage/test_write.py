"""Sealed rows: all or nothing, and a draft's samples make way."""

from collections import Counter
from collections.abc import Callable
from typing import Any
from uuid import uuid4

import pytest
from sqlalchemy import Engine
from sqlmodel import col, func, select

from server.storage import tables
from server.storage.engine import reading

ROWS = {
    tables.Sample: 2,
    tables.BrewSlot: 8,
    tables.Comparison: 1,
    tables.Seat: 3,
    tables.Serving: 6,
    tables.Cup: 18,
    tables.Placement: 18,
    tables.CupTruth: 18,
    tables.Seal: 1,
}


def test_two_assessors_a_spare_seat_and_two_rounds_make_these_rows(
    engine: Engine, stored: Any
) -> None:
    with reading(engine) as db:
        counted = {
            table: db.exec(select(func.count()).where(col(table.tasting_id) == stored.id)).one()
            for table in ROWS
        }
    assert counted == ROWS


def test_a_shared_bowl_is_a_cup_for_every_seat(
    engine: Engine, store_table: Callable[..., Any]
) -> None:
    store_table(2, style="shared", bowls=2, assessors=2)
    with reading(engine) as db:
        cups = db.exec(select(tables.Cup)).all()
    bowls = Counter((cup.code, cup.bowl) for cup in cups)
    assert (set(bowls.values()), len(bowls)) == ({3}, 4)


@pytest.mark.usefixtures("stored")
def test_every_seat_has_a_link_of_its_own(engine: Engine) -> None:
    with reading(engine) as db:
        tokens = db.exec(select(tables.Seat.token)).all()
    assert len(set(tokens)) == len(tokens)


def test_cups_carry_random_ids_not_ordered_ones(stored: Any) -> None:
    ids = [cup.id for one in stored.sealed.servings for cup in one.cups]
    assert {one.version for one in ids} == {uuid4().version}
    assert ids != sorted(ids)
