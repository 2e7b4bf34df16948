"""Strength from several readings, and how well it is known."""

from math import hypot, sqrt

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from server.brewing.strength import (
    Instrument,
    find_evaporated,
    find_strength,
)

readings = st.lists(st.floats(0.5, 20), min_size=1, max_size=12)


def test_one_odd_reading_does_not_move_the_median() -> None:
    assert find_strength([1.31, 1.30, 1.45]).percent == 1.31


# The limit of 0.03 is common practice, no source.
@pytest.mark.parametrize(("last", "wide"), [(1.33, False), (1.34, True)])
def test_a_spread_above_three_hundredths_is_warned_of(last: float, wide: bool) -> None:
    assert find_strength([1.30, 1.31, last]).is_spread_wide is wide


# 20 to 25 °C is common practice, no source.
@pytest.mark.parametrize(("celsius", "warm"), [(None, False), (25, False), (25.1, True)])
def test_a_warm_sample_is_warned_of(celsius: float | None, warm: bool) -> None:
    assert find_strength([1.3], celsius).is_warm is warm


@pytest.mark.parametrize("given", [[], [-0.1], [100], [float("nan")]])
def test_what_is_no_strength_is_refused(given: list[float]) -> None:
    with pytest.raises(ValueError, match="readings must be one or more numbers"):
        find_strength(given)


# A maker's figures, seen second-hand: precision 0.01 and accuracy 0.03 up to 5 %TDS; limits
# count as rectangles (JCGM 100:2008, 4.3.7).
def test_one_reading_is_as_uncertain_as_the_instrument() -> None:
    found = find_strength([1.3])
    assert found.repeat == pytest.approx(0.01 / sqrt(3))
    assert found.alone == pytest.approx(sqrt(0.01**2 + 0.03**2) / sqrt(3))


def test_an_instrument_is_less_accurate_above_five_percent() -> None:
    limits = [Instrument().find_accuracy(percent) for percent in (1, 5, 9)]
    assert limits[0] == limits[1] < limits[2]


def test_a_coarser_instrument_leaves_more_doubt() -> None:
    found = find_strength([1.3], instrument=Instrument(precision=0.05, accuracy=0.1))
    assert found.repeat == pytest.approx(0.05 / sqrt(3))
    assert found.shift == pytest.approx(0.1 / sqrt(3))


# Simulated: medians of three normal readings, judged by their own range, scatter on average as
# their uncertainty says (a sixth wider at most, for the factor of the median is the largest).
def test_the_uncertainty_of_a_median_is_that_of_simulated_readings() -> None:
    drawn = np.random.default_rng(7).normal(1.3, 0.05, (4000, 3))
    said = np.sqrt(np.mean([find_strength(row.tolist()).repeat ** 2 for row in drawn]))
    seen = np.median(drawn, axis=1).std()
    assert seen < said < 1.35 * seen


@given(readings)
def test_repeating_leaves_no_more_doubt_than_the_instrument_itself(values: list[float]) -> None:
    found = find_strength(values)
    assert found.alone >= found.repeat > 0
    assert min(values) <= found.percent <= max(values)


def test_the_accuracy_that_two_readings_share_does_not_come_between_them() -> None:
    one, other = find_strength([1.3]), find_strength([1.4])
    assert hypot(one.repeat, other.repeat) == pytest.approx(sqrt(2 / 3) * 0.01)
    assert hypot(one.repeat, other.repeat) < one.alone


# Simulated: one shift of the instrument for both samples, their own scatter each.
def test_a_simulated_difference_scatters_as_its_doubt_says() -> None:
    rng = np.random.default_rng(11)
    shift = rng.uniform(-0.03, 0.03, 200_000)
    one, other = (true + shift + rng.uniform(-0.01, 0.01, 200_000) for true in (1.3, 1.4))
    said = hypot(find_strength([1.3]).repeat, find_strength([1.4]).repeat)
    assert (other - one).std() == pytest.approx(said, rel=0.01)


# Computed by hand: 100 g at 1.35 % that lost 2 g of water read 1.378 %.
def test_a_sample_that_lost_water_reads_stronger() -> None:
    assert find_evaporated(1.35, 100, 2) == pytest.approx(1.378, abs=0.0005)


@pytest.mark.parametrize("lost", [-1, 100, float("nan")])
def test_no_sample_loses_more_than_it_is(lost: float) -> None:
    with pytest.raises(ValueError, match="lost_g must lie"):
        find_evaporated(1.35, 100, lost)
