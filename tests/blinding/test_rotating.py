from collections import Counter
from itertools import pairwise
from random import Random

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.special import chdtrc

from server.blinding.balance import Aspect, check_balance
from server.blinding.rotating import draw_rotation

LETTERS = "ABCDEFGHIJKLMNOP"
SAMPLES, SEATS = st.integers(2, 16), st.integers(1, 40)


@pytest.mark.parametrize("samples", range(2, 17))
@pytest.mark.parametrize("laps", [1, 2, 3])
def test_a_whole_panel_has_each_sample_at_each_position_equally_often(
    samples: int, laps: int
) -> None:
    seats = samples * (1 + samples % 2) * laps
    for turn in draw_rotation(LETTERS[:samples], seats, 2, Random(samples)):
        assert Aspect.POSITIONS not in check_balance(LETTERS[:samples], turn.orders).uneven


@pytest.mark.parametrize("samples", range(4, 17))
def test_position_is_all_that_is_balanced(samples: int) -> None:
    (turn,) = draw_rotation(LETTERS[:samples], 2 * samples, 1, Random(samples))
    found = check_balance(LETTERS[:samples], turn.orders)
    assert found.uneven == (Aspect.NEIGHBOURS,)
    assert sum(n > 0 for row in found.neighbours.values() for n in row.values()) == 2 * samples


@given(SAMPLES, SEATS, st.integers())
def test_seats_beside_each_other_walk_in_opposite_directions(
    samples: int, seats: int, seed: int
) -> None:
    (turn,) = draw_rotation(LETTERS[:samples], seats, 1, Random(seed))
    laps = [turn.steps[start : start + samples] for start in range(0, seats, samples)]
    assert all(one == -other for lap in laps for one, other in pairwise(lap))


@given(st.integers(1, 8).map(lambda half: 2 * half), st.integers())
def test_an_even_table_never_has_two_seats_at_a_bowl(samples: int, seed: int) -> None:
    for turn in draw_rotation(LETTERS[:samples], samples, 2, Random(seed)):
        assert all(len(set(bowls)) == samples for bowls in zip(*turn.orders, strict=True))


@given(SAMPLES, SEATS, st.integers(1, 4), st.integers())
def test_everybody_tastes_every_bowl_once_a_round(
    samples: int, seats: int, rounds: int, seed: int
) -> None:
    for turn in draw_rotation(LETTERS[:samples], seats, rounds, Random(seed)):
        assert all(sorted(order) == list(LETTERS[:samples]) for order in turn.orders)


@given(SAMPLES, SEATS, st.integers())
def test_everybody_walks_the_other_way_in_the_next_round(
    samples: int, seats: int, seed: int
) -> None:
    first, second = draw_rotation(LETTERS[:samples], seats, 2, Random(seed))
    assert [-step for step in first.steps] == list(second.steps)


def test_bowls_are_laid_out_anew_for_each_round() -> None:
    tables = {turn.table for turn in draw_rotation(LETTERS, 4, 5, Random(2))}
    assert len(tables) == 5


# Over many draws any of the 24 layouts of four bowls is as likely as any other.
def test_any_layout_is_equally_likely() -> None:
    rng = Random(8)
    counts = Counter(draw_rotation("ABCD", 3, 1, rng)[0].table for _ in range(4800))
    assert chdtrc(23, sum((n - 200) ** 2 / 200 for n in counts.values())) > 0.001


@pytest.mark.parametrize(
    ("samples", "seats", "rounds", "message"),
    [
        ("A", 1, 1, "samples must be two or more"),
        ("ABA", 1, 1, "samples must be two or more"),
        ("AB", 0, 1, "seats must be at least 1, got 0"),
        ("AB", 1, -1, "rounds must be at least 1, got -1"),
    ],
)
def test_what_is_no_table_is_refused(samples: str, seats: int, rounds: int, message: str) -> None:
    with pytest.raises(ValueError, match=message):
        draw_rotation(samples, seats, rounds, Random(1))
