"""Balance of the draws of every method: orders, brews behind like cups, controls."""

from collections import Counter
from random import Random
from typing import Any
from uuid import UUID

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from server.blinding.allocation import plan_pots
from server.blinding.draw import draw_tasting
from server.blinding.draw_balance import check_balance
from server.blinding.plans import Plan, PositiveControl, Pots, Pourer, Purpose
from server.blinding.sealed import PlannedSample, SealedTasting
from server.methods.registry import METHODS
from server.methods.traits import has_controls

CONTROLLED = [name for name, method in METHODS.items() if has_controls(method)]
KNOWN = PositiveControl(label="A with 12 % water added", size_d_prime=None, size_share="0.8")


def draw(method: str, seed: int, positive: bool = False, **changed: Any) -> SealedTasting:
    given: dict[str, Any] = {
        **{"question": "?", "difference": "cartridge", "method": method, "standard": "none"},
        **{"alpha": "0.05", "size_d_prime": None, "size_share": "0.5", "assessors": 6},
        **{"rounds": 2, "spare_seats": 1, "pourer": Pourer.ABSENT, "swallow": False},
        **{"cup_ml": "30", "pot_ml": "2500", "pots": Pots.SEPARATE, "tds_limit": "0.05"},
        **{"temperature_limit": "2", "positive_control": KNOWN if positive else None},
    }
    levels = "ABC" if positive else "AB"
    samples = [PlannedSample(level=level, label=f"water {level}") for level in levels]
    orders = METHODS[method].orders
    return draw_tasting(Plan(**given | changed), UUID(int=1), samples, orders, Random(seed))


@settings(max_examples=25, deadline=None)
@given(
    st.sampled_from(list(METHODS)), st.integers(1, 24), st.integers(1, 8), st.integers(0, 4),
    st.sampled_from(Pots), st.booleans(), st.integers(),
)  # fmt: skip
def test_every_method_is_drawn_by_the_rules_of_blinding(
    method: str,
    assessors: int,
    rounds: int,
    spare_seats: int,
    pots: Pots,
    controls: bool,
    seed: int,
) -> None:
    with_controls = controls and has_controls(METHODS[method])
    sealed = draw(
        method, seed, with_controls, assessors=assessors, rounds=rounds, pots=pots,
        spare_seats=spare_seats, null_control=with_controls,
    )  # fmt: skip
    assert check_balance(sealed, METHODS[method].orders) == []


@pytest.mark.parametrize(("method", "pots"), [("tetrad", 2), ("two-out-of-five", 3)])
def test_as_many_brews_as_there_are_like_cups_are_planned(method: str, pots: int) -> None:
    plan = draw(method, 1, assessors=2, spare_seats=0).plan
    assert plan_pots(plan, METHODS[method].orders).pots == pots


@pytest.mark.parametrize("seed", range(5))
def test_three_like_cups_of_five_come_from_three_brews(seed: int) -> None:
    sealed = draw("two-out-of-five", seed)
    for serving in sealed.servings:
        assert len({sealed.key[cup.id] for cup in serving.cups}) == 5


@pytest.mark.parametrize("seed", range(8))
def test_over_twenty_seats_every_brew_is_in_a_pair_as_often_as_any_other_of_its_sample(
    seed: int,
) -> None:
    sealed = draw("two-out-of-five", seed, assessors=20, rounds=1, spare_seats=0, pot_ml="300")
    pairs: Counter[str] = Counter()
    for serving in sealed.servings:
        order = sealed.order(serving)
        pairs.update(
            sealed.key[cup.id]
            for cup, level in zip(serving.cups, order, strict=True)
            if order.count(level) == 2
        )
    for level in "AB":
        counts = [pairs[slot.name] for slot in sealed.slots if slot.sample == level]
        assert sum(counts) == 20
        assert max(counts) - min(counts) <= 1


@pytest.mark.parametrize("method", CONTROLLED)
def test_controls_are_served_in_the_orders_of_the_test(method: str) -> None:
    sealed = draw(method, 3, positive=True, null_control=True)
    for serving in sealed.servings:
        assert sealed.order(serving) in METHODS[method].orders
        if sealed.purpose(serving) == Purpose.NULL:
            assert len({sealed.key[cup.id] for cup in serving.cups}) == 2
