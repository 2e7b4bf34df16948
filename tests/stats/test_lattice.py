import numpy as np
import pytest
from scipy import stats

from server.stats.lattice import Lattice, add_up

COIN = Lattice(0, np.array([0.5, 0.5]))


def test_twenty_coins_are_binomial():
    found = add_up([COIN] * 20)
    assert found.chances.tolist() == pytest.approx(stats.binom(20, 0.5).pmf(np.arange(21)))


def test_far_tails_keep_their_digits():
    assert add_up([COIN] * 400).tail(400) == pytest.approx(0.5**400, rel=1e-12)


def test_numbers_below_the_start_are_certain_and_above_the_end_impossible():
    assert (COIN.tail(-3), COIN.tail(0), COIN.tail(2)) == (1, 1, 0)


def test_a_critical_number_is_one_that_can_occur():
    even = Lattice(0, np.array([0.25, 0, 0.5, 0, 0.25]))
    assert even.critical(0.5) == 4


def test_a_tail_equal_to_alpha_is_enough():
    assert add_up([COIN] * 2).critical(0.25) == 2


def test_sums_that_take_too_long_are_left():
    assert add_up([Lattice(0, np.full(50_000, 1 / 50_000))] * 3) is None
