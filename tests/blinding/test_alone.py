"""What a taster who pours is told: how many cups of what, in balance, and never which."""

from collections import Counter
from collections.abc import Callable
from random import Random
from typing import Any
from uuid import UUID

import pytest
from hypothesis import given
from hypothesis import strategies as st

from server.blinding.alone import draw_alone, find_pour_problems, list_types
from server.blinding.plans import Plan
from server.blinding.seal import BadSeal, canonical, read_sealed
from server.blinding.sealed import PlannedSample, SealedTasting

Draw = Callable[..., SealedTasting]
PAIR = ("AB", "BA")
TRIANGLE = ("AAB", "ABA", "BAA", "BBA", "BAB", "ABB")
SAMPLES = [PlannedSample(level=level, label=level) for level in "AB"]
PLAN: dict[str, Any] = {
    **{"question": "Does the tin caddy leave a taste?", "difference": "the caddy"},
    **{"method": "triangle", "standard": "ISO 4120:2021", "alpha": "0.05"},
    **{"size_d_prime": None, "size_share": "0.5", "assessors": 1, "rounds": 3, "sittings": 2},
    **{"spare_seats": 0, "pourer": "alone", "swallow": True, "cup_ml": "40", "pot_ml": "500"},
    **{"pots": "separate", "tds_limit": "0.05", "temperature_limit": "2"},
}


def draw_one(seed: int, **changed: Any) -> SealedTasting:
    return draw_alone(Plan(**(PLAN | changed)), UUID(int=7), SAMPLES, TRIANGLE, Random(seed))


def tell_type(pours: tuple[str, ...]) -> str:
    return "".join(slot[0] for slot in pours)


def count_types(sealed: SealedTasting, sittings: range) -> Counter[str]:
    mine = (one for one in sealed.servings if one.sitting in sittings)
    return Counter(tell_type(one.pours) for one in mine)


def spread(counts: Counter[str], types: tuple[str, ...] = ("AAB", "ABB")) -> int:
    return max(counts[one] for one in types) - min(counts[one] for one in types)


@given(st.integers(1, 6), st.integers(1, 5), st.integers(0, 2**32))
def test_types_are_balanced_within_and_after_every_sitting(
    rounds: int, sittings: int, seed: int
) -> None:
    sealed = draw_one(seed, rounds=rounds, sittings=sittings)
    for sitting in range(1, sittings + 1):
        assert spread(count_types(sealed, range(sitting, sitting + 1))) <= 1
        assert spread(count_types(sealed, range(1, sitting + 1))) <= 1


@given(st.sampled_from(["separate", "blend", "single"]), st.integers(1, 6), st.integers(0, 999))
def test_what_is_drawn_has_no_problems_and_can_be_read_back(
    pots: str, rounds: int, seed: int
) -> None:
    sealed = draw_one(seed, pots=pots, rounds=rounds, pot_ml="900")
    assert find_pour_problems(sealed) == []
    assert read_sealed(canonical(sealed)) == sealed


@given(st.integers(0, 999))
def test_like_cups_come_from_two_brews_of_the_same_sitting(seed: int) -> None:
    sealed = draw_one(seed, pots="separate")
    rounds = {slot.name: slot.round for slot in sealed.slots}
    for serving in sealed.servings:
        assert len(set(serving.pours)) == 3
        assert {rounds[slot] for slot in serving.pours} == {1 if serving.sitting == 1 else 4}


def test_no_key_is_drawn_and_no_pour_says_where_a_cup_stands(draw_for_one: Draw) -> None:
    sealed = draw_for_one()
    assert sealed.key == {}
    assert all(list(one.pours) == sorted(one.pours) for one in sealed.servings)


def test_a_pair_has_one_cup_of_each_in_every_round(draw_for_one: Draw) -> None:
    sealed = draw_for_one(orders=PAIR, pots="blend")
    assert {tell_type(one.pours) for one in sealed.servings} == {"AB"}
    assert list_types(PAIR) == ("AB",)


def test_both_types_lead_a_sitting_equally_often(draw_for_one: Draw) -> None:
    first = Counter(
        tell_type(draw_for_one(seed, rounds=1, sittings=1).servings[0].pours) for seed in range(400)
    )
    assert abs(first["AAB"] - 200) < 60  # six standard deviations


def test_rounds_count_on_through_the_sittings(draw_for_one: Draw) -> None:
    places = [(one.sitting, one.round) for one in draw_for_one().servings]
    assert places == [(1, 1), (1, 2), (1, 3), (2, 4), (2, 5), (2, 6)]


@pytest.mark.parametrize(
    "changed",
    [{"assessors": 2}, {"spare_seats": 1}, {"null_control": True}, {"rounds": 0}, {"sittings": 0}],
)
def test_a_plan_for_more_than_one_person_is_refused(
    draw_for_one: Draw, changed: dict[str, Any]
) -> None:
    with pytest.raises(ValueError, match=r"must"):
        draw_for_one(**changed)


def test_a_single_pot_must_fill_the_cups_of_a_sitting(draw_for_one: Draw) -> None:
    with pytest.raises(ValueError, match="pot_ml must fill 5 cups"):
        draw_for_one(pots="single", pot_ml="100")


def test_a_sealed_key_gives_a_tasting_alone_away(draw_for_one: Draw) -> None:
    sealed = draw_for_one()
    cup = sealed.servings[0].cups[0].id
    with pytest.raises(BadSeal, match="A key is sealed"):
        read_sealed(canonical(sealed.model_copy(update={"key": {cup: "A1"}})))


def test_pours_of_another_sitting_are_found(draw_for_one: Draw) -> None:
    sealed = draw_for_one()
    wrong = sealed.servings[0].model_copy(update={"pours": sealed.servings[3].pours})
    changed = sealed.model_copy(update={"servings": (wrong, *sealed.servings[1:])})
    assert "is not of the sitting" in find_pour_problems(changed)[0]


def test_pours_in_a_tasting_with_a_drawn_key_are_refused(sealed: SealedTasting) -> None:
    wrong = sealed.servings[0].model_copy(update={"pours": ("A1", "A2", "B1")})
    with pytest.raises(BadSeal, match="only tastings alone"):
        read_sealed(
            canonical(sealed.model_copy(update={"servings": (wrong, *sealed.servings[1:])}))
        )


def test_members_that_came_later_stay_out_of_a_text_that_does_not_use_them(
    sealed: SealedTasting,
) -> None:
    text = canonical(sealed).decode()
    assert not any(name in text for name in ("sittings", "direction", "pours", "extends"))
