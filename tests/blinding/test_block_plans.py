from collections import Counter
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.special import chdtrc

from server.blinding import even_groups
from server.blinding.balance import Aspect, check_balance
from server.blinding.block_plans import Order, draw_blocks
from server.blinding.incomplete_blocks import find_smallest_design

LETTERS = "ABCDEFGHIJKLMNOP"
SIZES = st.integers(2, 16).flatmap(lambda t: st.tuples(st.just(t), st.integers(2, t)))
SMALL = [(4, 2), (4, 3), (5, 3), (6, 3), (7, 3), (7, 4), (9, 3), (10, 4), (13, 4), (16, 6), (16, 4)]


def flat(plan: list[list[Order]]) -> list[Order]:
    return [order for seat in plan for order in seat]


@pytest.mark.parametrize(("samples", "size"), SMALL)
@pytest.mark.parametrize("times", [1, 2])
def test_a_panel_of_whole_designs_has_samples_and_pairs_equally_often(
    samples: int, size: int, times: int
) -> None:
    design = find_smallest_design(samples, size)
    assert design is not None
    plan = draw_blocks(LETTERS[:samples], size, design.counts.blocks, times, Random(times))
    found = check_balance(LETTERS[:samples], flat(plan))
    assert not {Aspect.SERVINGS, Aspect.PAIRS} & set(found.uneven)
    assert found.efficiency == pytest.approx(design.counts.efficiency, rel=1e-9)


@settings(max_examples=10)
@given(SIZES, st.integers(1, 12), st.integers(1, 4), st.integers())
def test_any_panel_serves_samples_equally_often_or_once_more(
    sizes: tuple[int, int], seats: int, rounds: int, seed: int
) -> None:
    plan = draw_blocks(LETTERS[: sizes[0]], sizes[1], seats, rounds, Random(seed))
    found = check_balance(LETTERS[: sizes[0]], flat(plan))
    least, most = found.ranges[Aspect.SERVINGS]
    assert most - least <= 1
    assert (found.orders, found.sizes) == (seats * rounds, {sizes[1]: seats * rounds})


@settings(max_examples=10)
@given(SIZES, st.integers(1, 12), st.integers(1, 4), st.integers())
def test_any_panel_has_a_sample_at_each_position_equally_often_or_once_more(
    sizes: tuple[int, int], seats: int, rounds: int, seed: int
) -> None:
    plan = draw_blocks(LETTERS[: sizes[0]], sizes[1], seats, rounds, Random(seed))
    found = check_balance(LETTERS[: sizes[0]], flat(plan))
    assert all(max(counts) - min(counts) <= 1 for counts in found.positions.values())


def test_positions_are_even_where_the_replications_allow_it() -> None:
    found = check_balance(LETTERS[:7], flat(draw_blocks(LETTERS[:7], 3, 7, 1, Random(5))))
    assert Aspect.POSITIONS not in found.uneven


@pytest.mark.parametrize(("samples", "size", "seats"), [(13, 4, 6), (11, 5, 8), (30, 15, 9)])
def test_a_panel_too_small_for_a_design_still_compares_all_samples(
    samples: int, size: int, seats: int
) -> None:
    names = [f"lot {n}" for n in range(samples)]
    found = check_balance(names, flat(draw_blocks(names, size, seats, 1, Random(1))))
    assert Aspect.PAIRS in found.uneven
    assert found.efficiency is not None


def test_over_its_rounds_a_seat_tastes_as_many_samples_as_it_can() -> None:
    plan = draw_blocks(LETTERS[:12], 4, 6, 3, Random(1))
    assert all(sorted("".join(map("".join, seat))) == list(LETTERS[:12]) for seat in plan)


def test_no_seat_gets_a_block_of_a_design_twice_while_there_are_others() -> None:
    plan = draw_blocks(LETTERS[:7], 3, 7, 3, Random(3))
    assert all(len({frozenset(order) for order in seat}) == 3 for seat in plan)


def test_complete_blocks_are_a_williams_design() -> None:
    found = check_balance("ABCD", flat(draw_blocks("ABCD", 4, 8, 1, Random(1))))
    assert found.uneven == ()


# Over many draws each of the 24 servings of three of four samples is as likely as any other.
def test_a_seat_gets_any_serving_equally_often() -> None:
    rng, counts = Random(2), Counter[Order]()
    for _ in range(960):
        counts[draw_blocks("ABCD", 3, 4, 1, rng)[1][0]] += 1
    assert chdtrc(23, sum((n - 40) ** 2 / 40 for n in counts.values())) > 0.001


# The same where no whole design fits: one serving too few.
def test_a_seat_gets_any_serving_equally_often_in_a_panel_that_is_no_multiple(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(even_groups, "MOST_DRAWS", 2)
    rng, counts = Random(3), Counter[Order]()
    for _ in range(480):
        counts[draw_blocks("ABCD", 3, 3, 1, rng)[2][0]] += 1
    assert chdtrc(23, sum((n - 20) ** 2 / 20 for n in counts.values())) > 0.001


def test_the_same_seed_draws_the_same_plan() -> None:
    first, second = (draw_blocks(LETTERS[:9], 4, 7, 3, Random(9)) for _ in range(2))
    assert first == second


@pytest.mark.parametrize(
    ("samples", "size", "seats", "rounds", "message"),
    [
        ("A", 2, 1, 1, "samples must be at least 2"),
        ("AAB", 2, 1, 1, "samples must be different"),
        ("ABC", 1, 1, 1, "size must lie between 2 and samples"),
        ("ABC", 4, 1, 1, "size must lie between 2 and samples"),
        ("ABC", 2, 0, 1, "seats must be at least 1, got 0"),
        ("ABC", 2, 1, 0, "rounds must be at least 1, got 0"),
    ],
)
def test_what_cannot_be_drawn_is_refused(
    samples: str, size: int, seats: int, rounds: int, message: str
) -> None:
    with pytest.raises(ValueError, match=message):
        draw_blocks(samples, size, seats, rounds, Random(1))
