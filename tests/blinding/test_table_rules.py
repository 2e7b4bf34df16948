"""A table that breaks a rule is found: every rule has a draw that breaks it."""

from collections.abc import Callable
from uuid import UUID

import pytest

from server.blinding.sealed import PlannedServing, SealedTasting
from server.blinding.table_rules import check_table_balance
from server.blinding.table_stands import list_scored
from tests.drawn_tables import draw_batches

Truth = Callable[[PlannedServing, int], str]


def with_truth(sealed: SealedTasting, tell: Truth) -> SealedTasting:
    """Fill the cup at each position of a serving as told."""
    key: dict[UUID, str] = {
        cup.id: tell(serving, number)
        for serving in sealed.servings
        for number, cup in enumerate(serving.cups)
    }
    return sealed.model_copy(update={"key": key})


def alternate(serving: PlannedServing, level: str) -> str:
    """Let the two brews of a sample take turns by seat."""
    return f"{level}{1 + serving.seat % 2}"


def test_one_order_for_everybody_is_found() -> None:
    sealed = with_truth(draw_batches(4), lambda one, n: alternate(one, "ABCD"[n]))
    found = check_table_balance(sealed)
    assert "The samples of the seats that count are not balanced over places." in found


def test_samples_that_always_follow_each_other_are_found() -> None:
    def turn(serving: PlannedServing, number: int) -> str:
        return alternate(serving, "ABCD"[(serving.seat + number) % 4])

    found = check_table_balance(with_truth(draw_batches(4, assessors=8, spare_seats=0), turn))
    assert found == ["The samples of the seats that count do not follow each other alike."]


def test_duplicates_beside_each_other_are_found() -> None:
    def pair(serving: PlannedServing, number: int) -> str:
        level = "AABC"[(serving.seat + number) % 4]
        return f"A{1 + number % 2}" if level == "A" else alternate(serving, level)

    sealed = draw_batches(3, duplicates=("A",), assessors=4, spare_seats=0)
    found = check_table_balance(with_truth(sealed, pair))
    assert "Duplicates of the seats that count stand beside each other (3)." in found


def test_a_sample_that_is_missing_from_a_table_is_found() -> None:
    sealed = draw_batches(3)
    first = list_scored(sealed)[0]
    key = sealed.key | {cup.id: "A1" for cup in first.cups}
    found = check_table_balance(sealed.model_copy(update={"key": key}))
    assert f"Serving {first.id} holds 1 samples." in found
    assert f"Serving {first.id} does not hold its samples once, and duplicates twice." in found


def test_two_cups_from_one_brew_are_found() -> None:
    sealed = draw_batches(2, bowls=2)
    first = list_scored(sealed)[0]
    level = sealed.key[first.cups[0].id][0]
    key = sealed.key | {cup.id: f"{level}1" for cup in first.cups[:2]}
    found = check_table_balance(sealed.model_copy(update={"key": key}))
    assert f"Two cups of serving {first.id} come from one brew." in found


def test_a_brew_that_fills_nearly_all_cups_is_found() -> None:
    sealed = draw_batches(4)
    key = {cup: f"{slot[0]}1" for cup, slot in sealed.key.items()}
    found = check_table_balance(sealed.model_copy(update={"key": key}))
    expected = "The brews of A in round 1 do not fill the cups of the seats that count in turn."
    assert expected in found


def test_a_code_that_comes_back_is_found() -> None:
    sealed = draw_batches(2, sittings=2)
    first, later = (next(s for s in list_scored(sealed) if s.sitting == n) for n in (1, 2))
    cups = tuple(
        cup.model_copy(update={"code": code})
        for cup, code in zip(later.cups, first.codes, strict=True)
    )
    again = later.model_copy(update={"cups": cups})
    servings = tuple(again if one.id == later.id else one for one in sealed.servings)
    found = check_table_balance(sealed.model_copy(update={"servings": servings}))
    assert found == ["Seat 1 gets a code twice."]


def test_everybody_starting_at_one_bowl_is_found() -> None:
    sealed = draw_batches(4, style="shared", assessors=4, spare_seats=0)
    first = sealed.servings[0]
    truth = {cup.code: sealed.key[cup.id] for cup in first.cups}
    servings = tuple(
        one.model_copy(
            update={
                "cups": tuple(
                    cup.model_copy(update={"code": code})
                    for cup, code in zip(one.cups, first.codes, strict=True)
                )
            }
        )
        for one in sealed.servings
    )
    key = {cup.id: truth[cup.code] for one in servings for cup in one.cups}
    found = check_table_balance(sealed.model_copy(update={"servings": servings, "key": key}))
    assert found == ["The codes of sitting 1 are not balanced over places."]


def test_like_bowls_side_by_side_on_a_shared_table_are_found() -> None:
    sealed = draw_batches(2, style="shared", bowls=2, scattered=True)
    around = dict(zip(sealed.servings[0].codes, ("A1", "A2", "B1", "B2"), strict=True))
    key = {cup.id: around[cup.code] for one in sealed.servings for cup in one.cups}
    found = check_table_balance(sealed.model_copy(update={"key": key}))
    assert found == ["A sample stands beside itself at sitting 1."]


def test_a_lap_with_a_sample_twice_is_found() -> None:
    sealed = draw_batches(2, bowls=2, scattered=True)
    fixed = with_truth(sealed, lambda _, n: ("A1", "A2", "B1", "B2")[n])
    expected = "does not hold its samples once, and duplicates twice."
    assert any(expected in sentence for sentence in check_table_balance(fixed))


def test_a_triangle_has_no_table_to_check(sealed: SealedTasting) -> None:
    with pytest.raises(ValueError, match="plan must have a table, got the method triangle"):
        check_table_balance(sealed)
