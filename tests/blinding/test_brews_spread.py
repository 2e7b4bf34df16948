"""How the cups of each brew are spread, for plans of many sizes and every method."""

from collections import Counter
from collections.abc import Iterator
from random import Random
from typing import Any
from uuid import UUID

import pytest
from hypothesis import given
from hypothesis import strategies as st

from server.blinding.draw import draw_tasting
from server.blinding.plans import Plan
from server.blinding.sealed import PlannedSample, PlannedServing, SealedTasting
from server.methods.registry import METHODS
from server.tastings.pouring import order_slots

SAMPLES = [PlannedSample(level=level, label=f"water {level}") for level in "AB"]
SIZES = (st.integers(1, 30), st.integers(1, 3), st.integers(0, 3), st.sampled_from((150, 250, 800)))
every_method = pytest.mark.parametrize("method", METHODS.values(), ids=lambda one: one.name)


def draw(method: Any, size: tuple[int, int, int, int], seed: int) -> SealedTasting:
    assessors, rounds, spare_seats, pot_ml = size
    plan = Plan.model_validate(
        {
            **{"question": "?", "difference": "cartridge", "method": method.name},
            **{"standard": "none", "alpha": "0.05", "size_d_prime": "1.5", "pourer": "absent"},
            **{"assessors": assessors, "rounds": rounds, "spare_seats": spare_seats},
            **{"swallow": True, "cup_ml": "40", "pot_ml": str(pot_ml), "pots": "separate"},
            **{"tds_limit": "0.05", "temperature_limit": "2"},
        }
    )
    return draw_tasting(plan, UUID(int=1), SAMPLES, method.orders, Random(seed))


def list_rounds(sealed: SealedTasting) -> Iterator[tuple[list[PlannedServing], list[list[str]]]]:
    """List the servings of every round at seats that count, and names of each sample's brews."""
    for number in range(1, sealed.plan.rounds + 1):
        servings = [one for one in sealed.servings if one.round == number]
        mine = [slot for slot in sealed.slots if slot.round == number]
        names = [[slot.name for slot in mine if slot.sample == level] for level in "AB"]
        yield [one for one in servings if one.seat <= sealed.plan.assessors], names


def find_spread(counts: Counter[Any], keys: list[Any]) -> int:
    return max(counts[key] for key in keys) - min(counts[key] for key in keys)


@every_method
@given(size=st.tuples(*SIZES), seed=st.integers())
def test_every_cup_comes_from_a_brew_of_its_round_and_no_pot_is_over_filled(
    method: Any, size: tuple[int, int, int, int], seed: int
) -> None:
    sealed = draw(method, size, seed)
    rounds = {slot.name: slot.round for slot in sealed.slots}
    filled = [(one.round, sealed.key[cup.id]) for one in sealed.servings for cup in one.cups]
    assert all(rounds[name] == number for number, name in filled)
    assert max(Counter(name for _, name in filled).values()) <= size[3] // 40


@every_method
@given(size=st.tuples(*SIZES), seed=st.integers())
def test_brews_of_a_sample_stand_in_each_role_equally_often_or_once_more(
    method: Any, size: tuple[int, int, int, int], seed: int
) -> None:
    sealed = draw(method, size, seed)
    for servings, samples in list_rounds(sealed):
        roles: Counter[tuple[str, int]] = Counter()
        for one in servings:
            order = sealed.order(one)
            roles.update(
                (sealed.key[cup.id], order.count(level))
                for cup, level in zip(one.cups, order, strict=True)
            )
        for alike in {role for _, role in roles}:
            for names in samples:
                assert find_spread(roles, [(name, alike) for name in names]) <= 1


@every_method
@given(size=st.tuples(*SIZES), seed=st.integers())
def test_brews_of_a_sample_stand_at_each_place_about_equally_often(
    method: Any, size: tuple[int, int, int, int], seed: int
) -> None:
    sealed = draw(method, size, seed)
    for servings, samples in list_rounds(sealed):
        places = Counter(
            (sealed.key[cup.id], place) for one in servings for place, cup in enumerate(one.cups)
        )
        for place in range(method.cups):
            for names in samples:
                assert find_spread(places, [(name, place) for name in names]) <= PLACES


PLACES = 3
"""Roles come first, so places are not always as even as they could be by themselves."""


@every_method
@given(size=st.tuples(*SIZES), seed=st.integers())
def test_samples_take_turns_in_brewing_and_the_other_begins_in_the_next_round(
    method: Any, size: tuple[int, int, int, int], seed: int
) -> None:
    sealed = draw(method, size, seed)
    for number in range(1, size[1] + 1):
        brewed = "".join(slot.sample for slot in order_slots(sealed, number))
        pair = "AB" if number % 2 else "BA"
        assert brewed == pair * (len(brewed) // 2)
