from collections import Counter
from collections.abc import Callable
from random import Random
from typing import Any
from uuid import UUID

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from server.blinding.draw import draw_key, draw_layout, draw_tasting
from server.blinding.draw_balance import check_balance
from server.blinding.plans import Plan, PositiveControl, Pots, Pourer, Purpose
from server.blinding.seal import canonical
from server.blinding.sealed import PlannedSample, SealedTasting

TRIANGLE = ("AAB", "ABA", "BAA", "BBA", "BAB", "ABB")
SAMPLES = [PlannedSample(level=level, label=f"water {level}") for level in "AB"]


def plan(**changed: Any) -> Plan:
    given: dict[str, Any] = {
        **{"question": "?", "difference": "cartridge", "method": "triangle", "standard": "none"},
        **{"alpha": "0.05", "size_d_prime": "1.5", "assessors": 6, "rounds": 2, "spare_seats": 1},
        **{"pourer": Pourer.PRESENT, "swallow": True, "cup_ml": "40", "pot_ml": "500"},
        **{"pots": "separate", "tds_limit": "0.05", "temperature_limit": "2"},
    }
    return Plan(**(given | changed))


@settings(max_examples=12, deadline=None)
@given(
    st.integers(1, 20), st.integers(1, 8), st.integers(0, 6), st.sampled_from(Pots),
    st.booleans(), st.booleans(), st.integers(),
)  # fmt: skip
def test_every_drawn_tasting_keeps_the_rules_of_blinding(
    assessors: int, rounds: int, spare_seats: int, pots: Pots, null: bool, positive: bool, seed: int
) -> None:
    sealed = drawn(
        seed, positive, assessors=assessors, rounds=rounds, spare_seats=spare_seats, pots=pots,
        null_control=null, pot_ml="2500",
    )  # fmt: skip
    assert check_balance(sealed, TRIANGLE) == []
    assert len(sealed.servings) == (assessors + spare_seats) * (rounds + null + positive)


def drawn(seed: int, positive: bool = False, **changed: Any) -> SealedTasting:
    known = PositiveControl(label="A with 12 % water added", size_d_prime="3")
    wanted = plan(positive_control=known if positive else None, **changed)
    samples = [*SAMPLES, *([PlannedSample(level="C", label=known.label)] if positive else [])]
    return draw_tasting(wanted, UUID(int=1), samples, TRIANGLE, Random(seed))


def test_a_null_control_is_two_brews_of_one_sample_like_cups_from_one() -> None:
    sealed = drawn(3, null_control=True, pot_ml="250")
    null = [one for one in sealed.servings if sealed.purpose(one) == Purpose.NULL]
    brews = [[sealed.key[cup.id] for cup in one.cups] for one in null]
    assert {name[0] for one in brews for name in one} == {"A"}
    assert all(sorted(Counter(one).values()) == [1, 2] for one in brews)


def test_the_order_of_a_null_control_tells_the_earlier_brew_from_the_later() -> None:
    sealed = drawn(3, null_control=True)
    serving = next(one for one in sealed.servings if sealed.purpose(one) == Purpose.NULL)
    first = min(sealed.key[cup.id] for cup in serving.cups)
    assert sealed.order(serving) == "".join(
        "A" if sealed.key[cup.id] == first else "B" for cup in serving.cups
    )


def test_a_positive_control_compares_a_with_the_known_difference() -> None:
    sealed = drawn(4, positive=True)
    mine = [one for one in sealed.servings if sealed.purpose(one) == Purpose.POSITIVE]
    letters = {sealed.key[cup.id][0] for one in mine for cup in one.cups}
    assert letters == {"A", "C"}
    assert all(sealed.order(one) in TRIANGLE for one in mine)


def test_a_positive_control_takes_as_many_rounds_as_planned() -> None:
    known = PositiveControl(label="A with 12 % water added", size_d_prime="3", rounds=4)
    samples = [*SAMPLES, PlannedSample(level="C", label=known.label)]
    wanted = plan(positive_control=known, null_control=True, rounds=2, spare_seats=1)
    sealed = draw_tasting(wanted, UUID(int=1), samples, TRIANGLE, Random(8))
    assert check_balance(sealed, TRIANGLE) == []
    rounds = {(one.round, sealed.purpose(one)) for one in sealed.servings}
    counted = Counter(purpose for _, purpose in rounds)
    assert (len(rounds), counted[Purpose.POSITIVE], counted[Purpose.NULL]) == (7, 4, 1)


def test_one_round_of_a_positive_control_goes_unsaid_in_the_sealed_text() -> None:
    known = {"label": "A with 12 % water added", "size_d_prime": "3", "size_share": None}
    once, thrice = (PositiveControl(**known, rounds=number) for number in (1, 3))
    assert "rounds" not in once.model_dump()
    assert thrice.model_dump()["rounds"] == 3


def test_the_rounds_of_controls_are_drawn() -> None:
    rounds = {
        next(one.round for one in sealed.servings if sealed.purpose(one) == Purpose.NULL)
        for sealed in (drawn(seed, null_control=True, rounds=3) for seed in range(30))
    }
    assert rounds == {1, 2, 3, 4}


def test_a_positive_control_without_its_sample_is_refused() -> None:
    known = PositiveControl(label="A with 12 % water added", size_d_prime="3")
    with pytest.raises(ValueError, match="samples must be"):
        draw_tasting(plan(positive_control=known), UUID(int=1), SAMPLES, TRIANGLE, Random(1))


def test_sixty_seats_of_twelve_rounds_can_be_drawn() -> None:
    wanted = plan(assessors=60, rounds=12, spare_seats=6, pot_ml="2000")
    sealed = draw_tasting(wanted, UUID(int=1), SAMPLES, TRIANGLE, Random(1))
    assert check_balance(sealed, TRIANGLE) == []


def test_a_whole_draw_starts_with_the_layout() -> None:
    sealed = draw_tasting(plan(), UUID(int=1), SAMPLES, TRIANGLE, Random(5))
    layout = draw_layout(plan(), UUID(int=1), SAMPLES, TRIANGLE, Random(5))
    assert sealed.model_dump(exclude={"salt", "key"}) == layout.model_dump()


def test_another_source_of_chance_draws_another_key() -> None:
    layout = draw_layout(plan(), UUID(int=1), SAMPLES, TRIANGLE, Random(5))
    assert draw_key(layout, TRIANGLE, Random(1)) != draw_key(layout, TRIANGLE, Random(2))


def test_both_samples_have_as_many_slots_in_every_round() -> None:
    sealed = draw_tasting(plan(assessors=7, rounds=5), UUID(int=1), SAMPLES, TRIANGLE, Random(3))
    counts = {
        (slot.round, slot.sample): sum(
            (one.round, one.sample) == (slot.round, slot.sample) for one in sealed.slots
        )
        for slot in sealed.slots
    }
    assert len(counts) == 10
    assert len(set(counts.values())) == 1


def test_slot_numbers_run_on_over_the_rounds(sealed: SealedTasting) -> None:
    assert [s.name for s in sealed.slots if s.sample == "A"] == ["A1", "A2", "A3", "A4"]


def test_spare_seats_come_after_the_others(sealed: SealedTasting) -> None:
    assert [seat.spare for seat in sealed.seats] == [False] * 6 + [True]


def test_every_seat_has_one_serving_a_round(sealed: SealedTasting) -> None:
    places = [(serving.round, serving.seat) for serving in sealed.servings]
    assert places == [(round_, seat) for round_ in (1, 2) for seat in range(1, 8)]


def test_ids_are_random_uuids_of_version_four(sealed: SealedTasting) -> None:
    ids = [one.id for s in sealed.servings for one in (s, *s.cups)]
    assert {(one.version, one.variant) for one in ids} == {(4, "specified in RFC 4122")}


def test_salts_of_two_draws_differ(draw: Callable[..., SealedTasting]) -> None:
    assert draw(seed=1).salt != draw(seed=2).salt


def test_the_same_seed_draws_the_same_tasting(draw: Callable[..., SealedTasting]) -> None:
    assert canonical(draw(seed=1)) == canonical(draw(seed=1))


@pytest.mark.parametrize("number", ["assessors", "rounds"])
def test_a_plan_without_seats_or_rounds_is_refused(number: str) -> None:
    with pytest.raises(ValueError, match=f"{number} must be at least 1, got 0"):
        draw_layout(plan(**{number: 0}), UUID(int=1), SAMPLES, TRIANGLE, Random(1))


def test_orders_of_samples_that_are_not_there_are_refused() -> None:
    with pytest.raises(ValueError, match="samples must be"):
        draw_layout(plan(), UUID(int=1), SAMPLES, ("AAC", "CCA"), Random(1))


def test_orders_of_different_length_are_refused() -> None:
    with pytest.raises(ValueError, match="same number of cups"):
        draw_layout(plan(), UUID(int=1), SAMPLES, ("AAB", "AB"), Random(1))


def test_one_order_for_everybody_is_found(sealed: SealedTasting) -> None:
    rounds = {serving.round for serving in sealed.servings}
    slots = {r: [s.name for s in sealed.slots if s.round == r] for r in rounds}
    key = {
        cup.id: slots[serving.round][cup.position - 1]
        for serving in sealed.servings
        for cup in serving.cups
    }
    found = check_balance(sealed.model_copy(update={"key": key}), TRIANGLE)
    assert "The orders of the seats that count (test) are not balanced after every round." in found


def test_like_cups_from_one_brew_are_found(sealed: SealedTasting) -> None:
    key = {
        cup: name[0] + ("1" if name in ("A1", "A2", "B1", "B2") else "3")
        for cup, name in sealed.key.items()
    }
    found = check_balance(sealed.model_copy(update={"key": key}), TRIANGLE)
    assert f"Two cups of serving {sealed.servings[0].id} come from one brew." in found


def test_a_cup_missing_from_the_key_is_found(sealed: SealedTasting) -> None:
    cup = sealed.servings[0].cups[0].id
    key = {one: name for one, name in sealed.key.items() if one != cup}
    found = check_balance(sealed.model_copy(update={"key": key}), TRIANGLE)
    assert found == [f"Cup {cup} is missing from the key."]
