"""Every cup a brew of its own: nothing is shared, and brews follow the order of serving."""

from decimal import Decimal
from random import Random
from uuid import UUID

import pytest
from hypothesis import given
from hypothesis import strategies as st

from server.blinding.alone import draw_alone
from server.blinding.draw import draw_tasting
from server.blinding.draw_balance import check_balance
from server.blinding.plans import Plan, Pots, Pourer
from server.blinding.sealed import PlannedSample, SealedTasting
from server.methods.asked import find_orders
from server.methods.registry import METHODS
from server.methods.traits import can_be_shuffled

ALONE = [name for name, method in METHODS.items() if can_be_shuffled(method)]
SAMPLES = [PlannedSample(level=level, label=level) for level in "AB"]


def make_plan(method: str, seats: int, rounds: int, spare: int, **changed: object) -> Plan:
    base = Plan(
        question="?", difference="seal", method=method, standard="", alpha=Decimal("0.05"),
        size_d_prime=Decimal(1), assessors=seats, rounds=rounds, spare_seats=spare,
        pourer=Pourer.ABSENT, swallow=False, cup_ml=Decimal(30), pot_ml=Decimal(30),
        pots=Pots.SEPARATE, tds_limit=Decimal("0.05"), temperature_limit=Decimal(2),
    )  # fmt: skip
    return base.model_copy(update=changed)


def draw(plan: Plan, seed: int) -> SealedTasting:
    drawn = draw_alone if plan.alone else draw_tasting
    return drawn(plan, UUID(int=0), SAMPLES, find_orders(plan), Random(seed))


@given(st.sampled_from(sorted(METHODS)), st.integers(1, 14), st.integers(1, 3), st.integers(0, 2),
       st.integers())  # fmt: skip
def test_no_brew_fills_two_cups_and_every_cup_has_one(
    method: str, seats: int, sets: int, spare: int, seed: int
) -> None:
    plan = make_plan(method, seats, sets * 2, spare)
    sealed = draw(plan, seed)
    cups = [cup.id for serving in sealed.servings for cup in serving.cups]
    assert sorted(sealed.key) == sorted(cups)
    assert len(set(sealed.key.values())) == len(cups)
    assert check_balance(sealed, find_orders(plan)) == []


@given(st.sampled_from(sorted(METHODS)), st.integers(2, 9), st.integers())
def test_brews_of_a_sample_are_numbered_as_they_are_served(
    method: str, seats: int, seed: int
) -> None:
    sealed = draw(make_plan(method, seats, 2, 1), seed)
    numbers = {slot.name: (slot.sample, slot.n) for slot in sealed.slots}
    by_turn = sorted(sealed.servings, key=lambda one: (one.round, one.seat))
    served = [numbers[sealed.key[cup.id]] for one in by_turn for cup in one.cups]
    for level in "AB":
        mine = [n for sample, n in served if sample == level]
        assert mine == sorted(mine)


@pytest.mark.parametrize("method", ALONE)
def test_alone_every_cup_is_poured_from_a_brew_of_its_own(method: str) -> None:
    plan = make_plan(method, 1, 4, 0, sittings=2, pourer=Pourer.ALONE)
    pours = [slot for serving in draw(plan, 5).servings for slot in serving.pours]
    assert len(set(pours)) == len(pours) == 8 * METHODS[method].cups


def test_a_large_room_of_five_cups_is_drawn_at_once() -> None:
    sealed = draw(make_plan("two-out-of-five", 60, 2, 0), 1)
    assert len(set(sealed.key.values())) == 600


def test_a_plan_knows_whether_every_cup_is_a_brew() -> None:
    plan = make_plan("triangle", 6, 1, 0)
    assert plan.single_cups
    assert not plan.model_copy(update={"pot_ml": Decimal(300)}).single_cups
    assert not plan.model_copy(update={"pots": Pots.SINGLE}).single_cups
