from collections import Counter
from random import Random

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.special import chdtrc

from server.blinding.codes import CODES, draw_codes, is_telling


def test_every_code_has_three_digits() -> None:
    assert all(100 <= int(code) <= 999 for code in CODES)


@pytest.mark.parametrize("code", ["111", "122", "212", "200", "123", "987", "210", "101", "247"])
def test_a_number_that_tells_something_is_never_drawn(code: str) -> None:
    assert code not in CODES


@pytest.mark.parametrize("code", ["112", "365", "404", "420", "666", "786", "911"])
def test_a_number_with_a_meaning_is_never_drawn(code: str) -> None:
    assert is_telling(code)


def test_a_code_that_reads_as_another_upside_down_is_never_drawn() -> None:
    assert is_telling("168")  # 891 the other way round


def test_a_code_that_reads_as_itself_upside_down_may_be_drawn() -> None:
    assert not is_telling("619")


def test_more_than_five_hundred_codes_are_left() -> None:
    assert len(CODES) == len(set(CODES)) > 500


def test_codes_are_drawn_uniformly() -> None:
    rng = Random(20)
    counts = Counter(code for _ in range(2000) for code in draw_codes([9, 9, 9], rng)[1])
    expected = 2000 * 9 / len(CODES)
    chi_square = sum((counts[code] - expected) ** 2 / expected for code in CODES)
    assert chdtrc(len(CODES) - 1, chi_square) > 0.001


def test_the_last_cup_of_a_long_tasting_is_as_uniform_as_the_first() -> None:
    # 30 seats of 24 cups are more than one set, so the last cup comes from a second deck.
    rng = Random(21)
    counts = Counter(draw_codes([24] * 30, rng)[29][23][0] for _ in range(900))
    expected = {d: sum(c[0] == d for c in CODES) / len(CODES) * 900 for d in "123456789"}
    chi_square = sum((counts[d] - n) ** 2 / n for d, n in expected.items())
    assert chdtrc(8, chi_square) > 0.001


@given(st.lists(st.integers(0, 40), max_size=12), st.integers())
def test_no_code_comes_twice_while_the_set_lasts(cups: list[int], seed: int) -> None:
    drawn = [code for seat in draw_codes(cups, Random(seed)) for code in seat]
    assert len(set(drawn)) == len(drawn) == sum(cups)


@given(st.integers(20, 60), st.integers(30, 40), st.integers())
def test_beyond_the_set_no_code_comes_twice_within_a_seat(seats: int, cups: int, seed: int) -> None:
    drawn = draw_codes([cups] * seats, Random(seed))
    assert all(len(set(seat)) == cups for seat in drawn)


def test_beyond_the_set_all_codes_are_used_about_equally_often() -> None:
    counts = Counter(c for seat in draw_codes([36] * 60, Random(5)) for c in seat)
    assert max(counts.values()) - min(counts.values()) <= 2


def test_a_seat_may_use_the_whole_set() -> None:
    assert sorted(draw_codes([len(CODES)], Random(1))[0]) == sorted(CODES)


def test_a_seat_that_needs_more_cups_than_codes_is_refused() -> None:
    with pytest.raises(ValueError, match="cups_per_seat must lie between 0 and"):
        draw_codes([3, len(CODES) + 1], Random(1))
