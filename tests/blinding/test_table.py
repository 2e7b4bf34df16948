"""What is drawn for a scored table keeps its rules, whatever its size; layout before key."""

from collections import Counter
from random import Random
from typing import Any
from uuid import UUID

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from server.blinding.plans import Purpose
from server.blinding.portable import build_document, verify_document
from server.blinding.seal import canonical, read_sealed, seal_hash
from server.blinding.sealed import Layout, PlannedServing, SealedTasting
from server.blinding.table import draw_table, draw_table_key, draw_table_layout
from server.blinding.table_plans import check_table_plan
from server.blinding.table_rules import check_table_balance
from server.blinding.table_stands import list_scored, list_stands
from tests.drawn_tables import LEVELS, draw_batches, list_batches, plan_table

Drawn = tuple[int, dict[str, Any]]


@st.composite
def sizes(draw: Any, style: str) -> Drawn:
    """Any table that can be drawn: 2-12 samples, 1-5 bowls, 1-30 seats, 1-4 sittings."""
    samples, bowls = draw(st.integers(2, 12)), draw(st.integers(1, 5))
    levels = st.sampled_from(LEVELS[:samples])
    scattered = draw(st.booleans())
    twice = () if scattered and bowls > 1 else tuple(draw(st.lists(levels, unique=True)))
    fixed = draw(st.just("") | levels)
    changed = {
        "style": style, "bowls": bowls, "scattered": scattered, "duplicates": twice,
        "reference": fixed, "warm_up": draw(st.just("") | levels),
        "block": draw(st.just(0) | st.integers(2, samples)),
        "assessors": draw(st.integers(1, 30)), "spare_seats": draw(st.integers(0, 4)),
        "sittings": draw(st.integers(1, 4)), "cup_ml": "20", "pot_ml": "8000",
        "pots": "separate" if style == "shared" else draw(
            st.sampled_from(["separate", "blend", "single"])
        ),
    }  # fmt: skip
    try:
        check_table_plan(plan_table(**changed), LEVELS[:samples])
    except ValueError:
        assume(False)
    return samples, changed


EITHER = sizes("own") | sizes("shared")
# The largest tables take a second each: a few of a run, a hundred of the thorough profile.
FEW = settings(max_examples=settings().max_examples // 3)


@FEW
@given(EITHER, st.integers())
def test_every_drawn_table_keeps_the_rules_of_blinding(size: Drawn, seed: int) -> None:
    sealed = draw_batches(size[0], seed, **size[1])
    assert check_table_balance(sealed) == []
    assert len(list_scored(sealed)) == len(sealed.seats) * sealed.plan.sittings


@FEW
@given(EITHER, st.integers())
def test_a_sealed_table_reads_back_as_the_same_bytes(size: Drawn, seed: int) -> None:
    text = canonical(draw_batches(size[0], seed, **size[1]))
    assert canonical(read_sealed(text)) == text


@FEW
@given(EITHER, st.integers(), st.integers())
def test_another_key_of_the_same_layout_keeps_the_rules_as_well(
    size: Drawn, seed: int, other: int
) -> None:
    sealed = draw_batches(size[0], seed, **size[1])
    key = draw_table_key(sealed, Random(other))
    assert check_table_balance(sealed.model_copy(update={"key": key})) == []


@FEW
@given(EITHER, st.integers())
def test_a_whole_draw_starts_with_the_layout(size: Drawn, seed: int) -> None:
    plan, samples = plan_table(**size[1]), list_batches(size[0])
    sealed = draw_table(plan, UUID(int=7), samples, Random(seed))
    layout = draw_table_layout(plan, UUID(int=7), samples, Random(seed))
    assert sealed.model_dump(include=set(Layout.model_fields)) == layout.model_dump()


# The metamorphic relation: exchanging two samples in the key is a key of the same layout.
@FEW
@given(sizes("own"), st.integers())
def test_samples_that_are_served_alike_can_change_places_in_the_key(size: Drawn, seed: int) -> None:
    sealed = draw_batches(size[0], seed, **size[1])
    table = sealed.plan.table
    assert table is not None
    apart = {*table.duplicates, table.reference, table.warm_up}
    alike = [level for level in LEVELS[: size[0]] if level not in apart]
    assume(len(alike) > 1)
    swap = str.maketrans("".join(alike[:2]), "".join(alike[1::-1]))
    key = {cup: slot.translate(swap) for cup, slot in sealed.key.items()}
    assert check_table_balance(sealed.model_copy(update={"key": key})) == []


def serving_of(sealed: SealedTasting, seat: int = 1) -> PlannedServing:
    return next(one for one in list_scored(sealed) if one.seat == seat)


def test_grouped_bowls_stand_side_by_side_under_one_code() -> None:
    stands = list_stands(serving_of(draw_batches(3, bowls=4)))
    assert [stand.bowls for stand in stands] == [(1, 2, 3, 4)] * 3


def test_scattered_bowls_have_a_code_each() -> None:
    sealed = draw_batches(3, bowls=4, scattered=True)
    serving = serving_of(sealed)
    assert len(set(serving.codes)) == 12
    assert Counter(sealed.get_sample(serving, code) for code in serving.codes) == {
        "A": 4, "B": 4, "C": 4,
    }  # fmt: skip


def test_a_duplicate_has_a_code_of_its_own() -> None:
    sealed = draw_batches(3, duplicates=("B",))
    serving = serving_of(sealed)
    assert sorted(sealed.get_sample(serving, code) for code in serving.codes) == list("ABBC")


def test_like_cups_of_a_seat_come_from_different_brews() -> None:
    sealed = draw_batches(3, bowls=2, duplicates=("B",))
    brews = [sealed.key[cup.id] for cup in serving_of(sealed).cups]
    assert len(set(brews)) == len(brews) == 8


def test_the_seats_of_a_shared_table_have_the_same_bowls() -> None:
    sealed = draw_batches(4, style="shared", bowls=3)
    met = [
        {(cup.code, cup.bowl, sealed.key[cup.id]) for cup in one.cups}
        for one in list_scored(sealed)
    ]
    assert len(met) == 7
    assert all(one == met[0] for one in met)


def test_every_shared_bowl_is_a_brew_of_its_own() -> None:
    sealed = draw_batches(4, style="shared", bowls=3, duplicates=("C",))
    assert sorted({sealed.key[cup.id] for cup in serving_of(sealed).cups}) == sorted(
        slot.name for slot in sealed.slots
    )


def test_seats_of_a_shared_table_start_at_different_codes() -> None:
    sealed = draw_batches(6, style="shared")
    assert len({one.codes[0] for one in list_scored(sealed, spare=False)}) == 6


def test_who_walks_back_meets_the_last_bowl_of_a_code_first() -> None:
    sealed = draw_batches(4, style="shared", bowls=3)
    walks = [[cup.bowl for cup in serving_of(sealed, seat).cups[:3]] for seat in (1, 2)]
    assert walks == [[1, 2, 3], [3, 2, 1]]


def test_cups_of_a_shared_bowl_have_ids_of_their_own() -> None:
    ids = [cup.id for one in draw_batches(4, style="shared").servings for cup in one.cups]
    assert len(set(ids)) == len(ids) == 28


def test_a_warm_up_cup_comes_before_every_table() -> None:
    sealed = draw_batches(3, warm_up="B", sittings=2)
    mine = [one for one in sealed.servings if one.seat == 1]
    assert [(one.sitting, one.round, sealed.purpose(one)) for one in mine] == [
        (1, 1, Purpose.WARM_UP), (1, 2, Purpose.TEST),
        (2, 3, Purpose.WARM_UP), (2, 4, Purpose.TEST),
    ]  # fmt: skip


def test_a_warm_up_cup_is_of_the_sample_that_was_named() -> None:
    sealed = draw_batches(3, warm_up="B")
    warm_up = sealed.servings[0]
    assert [sealed.key[cup.id] for cup in warm_up.cups] == ["B1"]
    assert sealed.get_slot(warm_up, warm_up.codes[0]).sample == "B"


@pytest.mark.parametrize("style", ["own", "shared"])
def test_without_warm_up_a_round_is_a_sitting(style: str) -> None:
    sealed = draw_batches(4, sittings=3, style=style)
    assert all(one.round == one.sitting for one in sealed.servings)


def test_the_reference_is_in_every_block() -> None:
    sealed = draw_batches(9, block=4, reference="I", sittings=2)
    assert all(
        "I" in {sealed.get_sample(one, code) for code in one.codes} for one in list_scored(sealed)
    )


def test_a_block_is_so_many_different_samples() -> None:
    sealed = draw_batches(9, block=4, reference="I", duplicates=("A",))
    assert {len(one.cups) for one in list_scored(sealed)} == {5}


def test_a_shared_table_has_one_block_a_sitting() -> None:
    sealed = draw_batches(6, style="shared", block=3, sittings=2)
    brewed = [{slot.sample for slot in sealed.slots if slot.round == round_} for round_ in (1, 2)]
    assert brewed[0] | brewed[1] == set("ABCDEF")
    assert [len(one) for one in brewed] == [3, 3]


def test_slot_numbers_run_on_over_the_sittings() -> None:
    sealed = draw_batches(2, sittings=2)
    assert [slot.name for slot in sealed.slots] == [
        "A1", "A2", "B1", "B2", "A3", "A4", "B3", "B4",
    ]  # fmt: skip


def test_ids_are_random_uuids_of_version_four() -> None:
    ids = [one.id for s in draw_batches(3).servings for one in (s, *s.cups)]
    assert {one.version for one in ids} == {4}


@pytest.mark.parametrize("style", ["own", "shared"])
def test_a_table_leaves_as_a_document_that_holds_with_and_without_its_key(style: str) -> None:
    sealed = draw_batches(3, style=style, bowls=2, warm_up="A")
    text = canonical(sealed)
    seal = seal_hash(text)
    assert verify_document(build_document("Batches", seal, text, None, [])) == []
    assert verify_document(build_document("Batches", seal, None, sealed, [])) == []


def test_another_source_of_chance_draws_another_key() -> None:
    sealed = draw_batches(4)
    assert draw_table_key(sealed, Random(1)) != draw_table_key(sealed, Random(2))


def test_thirty_seats_of_twelve_samples_and_five_scattered_bowls_can_be_drawn() -> None:
    sealed = draw_batches(
        12, assessors=30, sittings=4, bowls=5, scattered=True, cup_ml="20", pot_ml="8000"
    )
    assert check_table_balance(sealed) == []


# Every sample is as likely as any other at the first code of seat 1 (chi-squared, 3 degrees
# of freedom: 16.27 is its 99.9 % point in handbook tables).
@pytest.mark.parametrize("style", ["own", "shared"])
def test_no_sample_is_likelier_than_another_at_the_first_code(style: str) -> None:
    drawn = [draw_batches(4, seed, style=style, assessors=2) for seed in range(400)]
    counts = Counter(s.get_sample(serving_of(s), serving_of(s).codes[0]) for s in drawn)
    assert sum((counts[level] - 100) ** 2 / 100 for level in "ABCD") < 16.27
