"""A sealed table that contradicts itself is refused, whatever else is true of it."""

from collections.abc import Callable
from typing import Any

import pytest

from server.blinding.plans import TablePlan
from server.blinding.seal import BadSeal, canonical, find_layout_problems, read_sealed
from server.blinding.sealed import PlannedServing, SealedTasting
from tests.drawn_tables import draw_batches

Change = Callable[[PlannedServing], dict[str, Any]]


def changed(sealed: SealedTasting, change: Change, at: int = 0) -> SealedTasting:
    servings = list(sealed.servings)
    servings[at] = servings[at].model_copy(update=change(servings[at]))
    return sealed.model_copy(update={"servings": tuple(servings)})


def renumber(serving: PlannedServing, **first: Any) -> dict[str, Any]:
    """Change members of the first cup of a serving."""
    return {"cups": (serving.cups[0].model_copy(update=first), *serving.cups[1:])}


def swap_codes(serving: PlannedServing) -> dict[str, Any]:
    """Let the first and the last cup change code and bowl."""
    first, *rest, last = serving.cups
    cups = (
        first.model_copy(update={"code": last.code, "bowl": last.bowl}),
        *rest,
        last.model_copy(update={"code": first.code, "bowl": first.bowl}),
    )
    return {"cups": cups}


OWN = draw_batches(3, bowls=2, warm_up="B")
SHARED = draw_batches(3, style="shared", bowls=2)


@pytest.mark.parametrize(
    ("sealed", "sentence"),
    [
        (changed(OWN, lambda s: renumber(s, bowl=5), 7), "are not numbered from 1 to 2"),
        (changed(OWN, lambda s: renumber(s, code="000"), 7), "are not numbered from 1 to 2"),
        (changed(OWN, swap_codes, 7), "has bowls of one code in two places"),
        (changed(OWN, lambda s: renumber(s, bowl=1)), "are not numbered from 1 to 1"),
        (changed(OWN, lambda _: {"comparison": "test", "sitting": 1}), "not numbered from 1 to 2"),
        (changed(SHARED, lambda s: renumber(s, code="000")), "are not numbered from 1 to 2"),
        (
            changed(SHARED, lambda s: {"cups": tuple(
                cup.model_copy(update={"code": f"00{cup.position}", "bowl": 1 + n % 2})
                for n, cup in enumerate(s.cups)
            )}),
            "are not numbered",
        ),
        (
            changed(SHARED, lambda s: {"cups": tuple(
                cup.model_copy(update={"code": f"00{n // 2}", "bowl": 1 + n % 2})
                for n, cup in enumerate(s.cups)
            )}, at=1),
            "is not of the bowls that its round shares",
        ),
        (changed(OWN, lambda _: {"seat": 2}, 7), r"Seat 2 has 2 servings \(test\) at sitting 1"),
    ],
)  # fmt: skip
def test_a_layout_that_is_no_table_is_found(sealed: SealedTasting, sentence: str) -> None:
    with pytest.raises(BadSeal, match=sentence):
        read_sealed(canonical(sealed))


def test_a_warm_up_of_two_cups_is_found() -> None:
    def pour_twice(serving: PlannedServing) -> dict[str, Any]:
        other = serving.cups[0].model_copy(update={"id": serving.id, "position": 2, "code": "000"})
        return {"cups": (*serving.cups, other)}

    found = find_layout_problems(changed(OWN, pour_twice))
    assert found == [f"Warm-up serving {OWN.servings[0].id} is not one cup."]


def test_a_table_without_cups_is_found() -> None:
    found = find_layout_problems(changed(OWN, lambda _: {"cups": ()}, 7))
    assert found == [f"Serving {OWN.servings[7].id} has no cup."]


def test_a_control_at_a_table_is_found() -> None:
    comparisons = (OWN.comparisons[0], OWN.comparisons[1].model_copy(update={"purpose": "null"}))
    found = find_layout_problems(OWN.model_copy(update={"comparisons": comparisons}))
    assert f"Serving {OWN.servings[0].id} is a control" in found[0]


def test_a_table_that_is_poured_alone_is_found() -> None:
    plan = OWN.plan.model_copy(update={"pourer": "alone"})
    found = find_layout_problems(OWN.model_copy(update={"plan": plan}))
    assert found == ["A scored table cannot be poured alone."]


@pytest.mark.parametrize(
    ("first", "second", "sentence"),
    [
        ("A1", "B1", "is of two samples"),
        ("A1", "A99", "names brew slot A99"),
    ],
)
def test_a_key_that_cannot_be_true_is_found(first: str, second: str, sentence: str) -> None:
    sealed = draw_batches(3, bowls=2)
    cups = sealed.servings[0].cups
    key = sealed.key | {cups[0].id: first, cups[1].id: second}
    with pytest.raises(BadSeal, match=sentence):
        read_sealed(canonical(sealed.model_copy(update={"key": key})))


def test_a_warm_up_of_another_sample_is_found() -> None:
    slots = tuple(
        slot.model_copy(update={"round": 1}) if slot.name == "A1" else slot for slot in OWN.slots
    )
    key = OWN.key | {OWN.servings[0].cups[0].id: "A1"}
    key = {cup: "A2" if slot == "A1" and n else slot for n, (cup, slot) in enumerate(key.items())}
    key[OWN.servings[0].cups[0].id] = "A1"
    sealed = OWN.model_copy(update={"slots": slots, "key": key})
    with pytest.raises(BadSeal, match="is not of sample B"):
        read_sealed(canonical(sealed))


def test_a_shared_bowl_of_two_brews_is_found() -> None:
    serving = SHARED.servings[0]
    one, two = serving.cups[:2]
    key = SHARED.key | {one.id: SHARED.key[two.id], two.id: SHARED.key[one.id]}
    with pytest.raises(BadSeal, match="is of two brews"):
        read_sealed(canonical(SHARED.model_copy(update={"key": key})))


def test_a_brew_in_two_shared_bowls_is_found() -> None:
    truth = {"A1": "A1", "A2": "A1"}
    key = {cup: truth.get(slot, slot) for cup, slot in SHARED.key.items()}
    with pytest.raises(BadSeal, match="Brew slot A1 fills 2 shared bowls"):
        read_sealed(canonical(SHARED.model_copy(update={"key": key})))


def test_bowls_in_a_triangle_are_found(sealed: SealedTasting) -> None:
    found = find_layout_problems(changed(sealed, lambda s: renumber(s, bowl=1)))
    assert found == [f"Serving {sealed.servings[0].id} numbers bowls, which only scored tables do."]


def test_a_table_under_another_method_is_found(sealed: SealedTasting) -> None:
    plan = sealed.plan.model_copy(update={"table": TablePlan(sheet={})})
    found = find_layout_problems(sealed.model_copy(update={"plan": plan}))
    assert found == ["The plan has a scored table and another method, or the other way round."]


def test_a_comparison_that_is_not_there_is_found_first() -> None:
    with pytest.raises(BadSeal, match="belongs to no comparison"):
        read_sealed(canonical(OWN.model_copy(update={"comparisons": ()})))
