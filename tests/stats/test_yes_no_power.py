"""Power within blocks, against its definition, a sign test, and seeded simulation."""

from itertools import product
from math import comb

import numpy as np
import pytest

from server.stats.fixed_margins import Layout, permutation_p
from server.stats.yes_no_power import power_in_blocks

HIT, ALARM = 0.7, 0.4


def enumerate_power(blocks, of_each, alpha):
    """Sum the chances of all answers whose exact p reaches the level."""
    ways = [
        (f, s, comb(of_each, f) * comb(of_each, s) * HIT**f * (1 - HIT) ** (of_each - f)
         * ALARM**s * (1 - ALARM) ** (of_each - s))
        for f, s in product(range(of_each + 1), repeat=2)
    ]  # fmt: skip
    total = 0.0
    for answers in product(ways, repeat=blocks):
        layouts = [Layout(of_each, of_each, f + s, f) for f, s, _ in answers]
        if permutation_p(layouts) <= alpha + 1e-12:
            total += float(np.prod([chance for *_, chance in answers]))
    return total


@pytest.mark.parametrize(("blocks", "of_each", "alpha"), [(5, 1, 0.1), (6, 1, 0.05), (3, 2, 0.1)])
def test_power_is_the_chance_of_answers_whose_p_reaches_the_level(blocks, of_each, alpha):
    expected = enumerate_power(blocks, of_each, alpha)
    assert power_in_blocks(blocks, of_each, HIT, ALARM, alpha) == pytest.approx(expected, rel=1e-9)


@pytest.mark.parametrize(("blocks", "of_each"), [(24, 1), (10, 2)])
def test_simulated_answers_are_significant_as_often(blocks, of_each):
    rng = np.random.default_rng(8588)
    found, runs, seen = 0, 4000, {}
    for _ in range(runs):
        first, second = (rng.binomial(of_each, rate, blocks) for rate in (HIT, ALARM))
        case = (*sorted(first + second), int(first.sum()))
        if case not in seen:
            layouts = [
                Layout(of_each, of_each, int(f + s), int(f))
                for f, s in zip(first, second, strict=True)
            ]
            seen[case] = permutation_p(layouts) <= 0.05 + 1e-12
        found += seen[case]
    power = power_in_blocks(blocks, of_each, HIT, ALARM, 0.05)
    assert abs(found / runs - power) < 4 * (power * (1 - power) / runs) ** 0.5


@pytest.mark.parametrize("of_each", [1, 2])
def test_without_a_difference_the_level_holds(of_each):
    for rate in (0.1, 0.5, 0.8):
        assert power_in_blocks(20, of_each, rate, rate, 0.05) <= 0.05


def test_a_greater_difference_is_found_more_often():
    powers = [power_in_blocks(12, 2, 0.5 + s / 2, 0.5 - s / 2, 0.05) for s in (0, 0.2, 0.5, 1)]
    assert powers == sorted(powers)
    assert powers[-1] == pytest.approx(1)


def test_blocks_of_three_are_refused():
    with pytest.raises(ValueError, match="of_each must be 1 or 2, not 3"):
        power_in_blocks(5, 3, HIT, ALARM, 0.05)
