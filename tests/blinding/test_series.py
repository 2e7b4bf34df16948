"""A rising series as it is drawn: who gets what, in which round, and what must not show."""

from collections import Counter
from random import Random
from typing import Any
from uuid import UUID

import pytest

from server.blinding.plans import Plan, Series
from server.blinding.seal import BadSeal, canonical, find_layout_problems, read_sealed
from server.blinding.sealed import PlannedSample, SealedTasting
from server.blinding.series import draw_series, draw_series_key, draw_series_layout
from server.methods.ascending import ASCENDING

STEPS = ("0.5", "1", "2", "4", "8")


def make_plan(**changed: Any) -> Plan:
    plan: dict[str, Any] = {
        **{"question": "?", "difference": "rock sugar", "method": ASCENDING.name},
        **{"standard": ASCENDING.standard, "alpha": "0.05", "size_d_prime": None},
        **{"assessors": 6, "rounds": 5, "spare_seats": 1, "pourer": "absent", "swallow": False},
        **{"cup_ml": "30", "pot_ml": "1000", "pots": "single", "tds_limit": "0.05"},
        **{"temperature_limit": "2"},
        "series": Series(substance="rock sugar", unit="g/L", steps=STEPS),
    }
    return Plan(**plan | changed)


def name(levels: str = "ABCDEF") -> list[PlannedSample]:
    return [PlannedSample(level=level, label=level) for level in levels]


def draw(seed: int = 1, **changed: Any) -> SealedTasting:
    return draw_series(make_plan(**changed), UUID(int=1), name(), ASCENDING.orders, Random(seed))


@pytest.mark.parametrize("assessors", [*range(1, 14), 30, 60])
@pytest.mark.parametrize("spare", [0, 1, 4])
def test_the_cup_with_more_stands_everywhere_equally_often_at_every_step(
    assessors: int, spare: int
) -> None:
    sealed = draw(assessors, assessors=assessors, spare_seats=spare)
    for round_ in range(1, 6):
        for seats in (range(1, assessors + 1), range(assessors + 1, assessors + spare + 1)):
            mine = [s for s in sealed.servings if s.round == round_ and s.seat in seats]
            places = Counter(sealed.order(one) for one in mine)
            counts = [places[order] for order in ASCENDING.orders]
            assert max(counts) - min(counts) <= 1
            assert sum(counts) == len(seats)


def test_steps_rise_in_the_same_rounds_for_everybody() -> None:
    sealed = draw()
    for serving in sealed.servings:
        stood = Counter(sealed.get_sample(serving, code) for code in serving.codes)
        assert stood == {"A": 2, "ABCDEF"[serving.round]: 1}


def test_a_place_says_nothing_about_the_next_one() -> None:
    pairs: Counter[tuple[str, str]] = Counter()
    for seed in range(300):
        sealed = draw(seed, assessors=1, spare_seats=0)
        first, second, *_ = sealed.servings
        pairs[sealed.order(first), sealed.order(second)] += 1
    assert len(pairs) == 9  # the same place twice in a row among them
    expected = 300 / 9
    assert sum((n - expected) ** 2 / expected for n in pairs.values()) < 26.1  # χ², 8 df, p .001


def test_base_and_step_of_a_round_have_one_slot_each() -> None:
    sealed = draw(assessors=60, spare_seats=0)
    slots = [(slot.round, slot.name, slot.brews) for slot in sealed.slots]
    assert slots[:4] == [(1, "A1", 6), (1, "B1", 6), (2, "A2", 6), (2, "C1", 6)]


def test_no_code_comes_twice_before_a_seat() -> None:
    sealed = draw()
    codes = [code for one in sealed.servings if one.seat == 1 for code in one.codes]
    assert len(set(codes)) == len(codes) == 15


def test_the_layout_is_drawn_without_the_key() -> None:
    given = make_plan(), UUID(int=1), name()
    one = draw_series_layout(*given, ASCENDING.orders, Random(5))
    other = draw_series_layout(*given, ("BAA", "ABA", "AAB"), Random(5))
    assert one == other
    keys = [draw_series_key(one, ASCENDING.orders, Random(seed)) for seed in (1, 2)]
    assert keys[0] != keys[1]
    assert keys[0].keys() == keys[1].keys()


def test_a_sealed_series_is_read_again_as_it_was() -> None:
    sealed = draw()
    assert read_sealed(canonical(sealed)) == sealed


def test_other_plans_say_nothing_of_a_series() -> None:
    assert "series" not in make_plan(series=None).model_dump(mode="json")


@pytest.mark.parametrize(
    ("changed", "said"),
    [
        ({"series": None}, "plan must have a series"),
        ({"rounds": 4}, "rounds must be as many as steps"),
        ({"assessors": 0}, "assessors must be at least 1"),
        ({"pot_ml": "20"}, "cup_ml must be above 0 and at most pot_ml"),
        ({"series": Series(substance="s", unit="g", steps=("1", "2"))}, "steps must be 3 to 10"),
        (
            {"series": Series(substance="s", unit="g", steps=("1", "2", "2", "4", "5"))},
            "steps must rise",
        ),
    ],
)
def test_what_cannot_be_drawn_is_refused(changed: dict[str, Any], said: str) -> None:
    with pytest.raises(ValueError, match=said):
        draw(**changed)


def test_samples_must_be_the_base_and_one_for_each_step() -> None:
    with pytest.raises(ValueError, match="samples must be"):
        draw_series(make_plan(), UUID(int=1), name("ABC"), ASCENDING.orders, Random(1))


def test_a_sealed_text_whose_rounds_are_not_its_steps_is_bad() -> None:
    sealed = draw()
    turned = sealed.comparisons[::-1]
    swapped = tuple(
        one.model_copy(update={"name": other.name})
        for one, other in zip(sealed.comparisons, turned, strict=True)
    )
    bad = sealed.model_copy(update={"comparisons": swapped})
    assert find_layout_problems(bad)
    with pytest.raises(BadSeal, match="in turn"):
        read_sealed(canonical(bad))
