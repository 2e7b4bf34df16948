"""Sealed data grows without changing what was sealed before."""

import json
from collections.abc import Callable
from decimal import Decimal
from typing import Any
from uuid import UUID

import pytest

from server.blinding.plans import Plan, TablePlan
from server.blinding.seal import canonical
from server.blinding.sealed import PlannedCup, SealedTasting

CUP = PlannedCup(id=UUID(int=1), code="385", position=1)


def test_a_cup_that_is_alone_under_its_code_is_sealed_as_before() -> None:
    assert set(json.loads(canonical(CUP))) == {"id", "code", "position"}


def test_a_bowl_is_sealed_with_its_number() -> None:
    assert json.loads(canonical(CUP.model_copy(update={"bowl": 2})))["bowl"] == 2


def test_a_plan_without_a_table_does_not_mention_one(make_plan: Callable[..., Plan]) -> None:
    assert "table" not in json.loads(canonical(make_plan()))


def test_a_plan_with_a_table_reads_back_as_the_same_bytes(make_plan: Callable[..., Plan]) -> None:
    table = TablePlan(sheet={"title": "Morning", "ends": ["none", "strong"]}, duplicates=("A",))
    text = canonical(make_plan(table=table))
    assert canonical(Plan.model_validate_json(text)) == text


def test_the_limit_of_the_first_sip_is_sealed_as_a_decimal_string() -> None:
    table = TablePlan(sheet={}, sip_limit_c=Decimal("62.5"))
    assert json.loads(canonical(table))["sip_limit_c"] == "62.5"


def test_a_table_without_an_open_bowl_is_sealed_as_before() -> None:
    assert set(json.loads(canonical(TablePlan(sheet={})))) == {
        "sheet", "style", "bowls", "scattered", "duplicates", "warm_up", "reference", "block",
        "primary", "sip_limit_c",
    }  # fmt: skip


def test_an_open_bowl_is_sealed_and_reads_back_as_the_same_bytes(
    make_plan: Callable[..., Plan],
) -> None:
    text = canonical(make_plan(table=TablePlan(sheet={}, calibration="house filter")))
    assert json.loads(text)["table"]["calibration"] == "house filter"
    assert canonical(Plan.model_validate_json(text)) == text


@pytest.mark.parametrize(
    ("changed", "laps", "grouped"),
    [({"bowls": 3}, 1, 3), ({"bowls": 3, "scattered": True}, 3, 1), ({}, 1, 1)],
)
def test_bowls_share_a_code_or_are_met_one_by_one(
    changed: dict[str, Any], laps: int, grouped: int
) -> None:
    table = TablePlan(sheet={}, **changed)
    assert (table.laps, table.grouped) == (laps, grouped)


def test_warm_up_cups_are_servings_of_their_own(make_plan: Callable[..., Plan]) -> None:
    table = TablePlan(sheet={}, warm_up="A")
    assert make_plan(table=table, rounds=1, sittings=3).total_rounds == 6


def test_a_table_has_no_order_of_letters(sealed: SealedTasting) -> None:
    plan = sealed.plan.model_copy(update={"table": TablePlan(sheet={})})
    with pytest.raises(ValueError, match="no serving order of letters"):
        sealed.model_copy(update={"plan": plan}).order(sealed.servings[0])


def test_what_stood_under_a_code_is_the_brew_of_the_key(sealed: SealedTasting) -> None:
    serving = sealed.servings[0]
    cup = serving.cups[1]
    assert sealed.get_slot(serving, cup.code).name == sealed.key[cup.id]
    assert sealed.get_sample(serving, cup.code) == sealed.key[cup.id][0]


def test_a_code_or_bowl_that_is_not_there_is_refused(sealed: SealedTasting) -> None:
    serving = sealed.servings[0]
    with pytest.raises(LookupError, match=f"no bowl 2 of code {serving.codes[0]}"):
        sealed.get_slot(serving, serving.codes[0], 2)
    with pytest.raises(LookupError, match="no code 000"):
        sealed.get_sample(serving, "000")


def test_a_table_planned_without_a_prior_mentions_none() -> None:
    assert "prior_scale" not in json.loads(canonical(TablePlan(sheet={})))
    stated = TablePlan(sheet={}, prior_scale=Decimal("0.707"))
    assert json.loads(canonical(stated))["prior_scale"] == "0.707"


def test_a_plan_with_one_side_alone_is_sealed_as_before(make_plan: Callable[..., Plan]) -> None:
    assert not {"attribute", "no_preference"} & set(json.loads(canonical(make_plan())))


def test_answers_for_neither_sample_are_sealed_and_read_back(
    make_plan: Callable[..., Plan],
) -> None:
    text = canonical(make_plan(attribute="bitter", no_preference="left_out"))
    assert json.loads(text)["no_preference"] == "left_out"
    assert canonical(Plan.model_validate_json(text)) == text


def test_a_plan_without_open_cups_is_sealed_as_before(make_plan: Callable[..., Plan]) -> None:
    assert not {"open_cups", "told_shares"} & set(json.loads(canonical(make_plan())))
