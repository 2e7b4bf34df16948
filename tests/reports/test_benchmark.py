"""Brews of a recipe summed up and held against another: worked out again by drawing."""

from math import sqrt
from random import Random
from statistics import fmean, median, stdev

import pytest

from server.brewing.brewed import Brewed
from server.brewing.extraction import Brewer, Form
from server.reports.benchmark import Point, find_difference, sum_up, sum_up_brews

READ = 0.006


def make_points(values, shift=0.0):
    return [Point(one, READ, shift) for one in values]


def make_brew(**read):
    return Brewed.model_validate({"dose_g": "20", "water_g": "300"} | read)


def draw(rng, mean, spread, brews):
    return [rng.gauss(mean, spread) for _ in range(brews)]


def test_nothing_read_is_nothing_to_sum_up():
    found = sum_up_brews(Brewer.PERCOLATION, [Brewed(), Brewed()])
    assert (found.brews, found.strength, found.yields, found.times) == (2, None, {}, ())


def test_one_brew_alone_is_as_sure_as_its_reading():
    found = sum_up([Point(1.31, 0.006, 0.017)])
    assert found.plus_minus == pytest.approx(sqrt(3) * sqrt(0.006**2 + 0.017**2))


def test_yields_by_two_forms_are_summed_up_apart():
    brews = [make_brew(tds=["1.40"], beverage_g="260"), make_brew(tds=["1.40"])]
    found = sum_up_brews(Brewer.PERCOLATION, brews)
    assert {form: len(one.points) for form, one in found.yields.items()} == {
        Form.BEVERAGE: 1,
        Form.RETAINED: 1,
    }
    # 20 g, 260 g of beverage at 1.40 %TDS: 18.20 %, worked out by hand.
    assert found.yields[Form.BEVERAGE].middle == pytest.approx(18.2)


def test_what_the_instrument_shifts_is_not_averaged_away():
    found = sum_up(make_points([1.3] * 400, shift=0.017))
    assert found.plus_minus == pytest.approx(sqrt(3) * 0.017, rel=0.01)


@pytest.mark.parametrize("brews", [3, 8])
def test_limits_of_a_median_agree_with_brews_drawn_by_chance(brews):
    rng = Random(31)
    summed = [sum_up(make_points(draw(rng, 1.3, 0.03, brews))) for _ in range(4000)]
    scatter = stdev(one.middle for one in summed)
    told = sqrt(fmean(one.plus_minus**2 for one in summed) / 3)
    assert scatter < told < 1.15 * scatter


def test_limits_of_a_difference_hold_the_truth_as_often_as_they_say():
    rng, held = Random(7), 0
    for _ in range(2000):
        one, house = draw(rng, 1.35, 0.04, 3), draw(rng, 1.30, 0.02, 5)
        low, high = find_difference(sum_up(make_points(one)), sum_up(make_points(house))).limits
        held += low <= 0.05 <= high
    assert held / 2000 == pytest.approx(0.95, abs=0.02)


def test_a_difference_turns_its_sign_with_its_sides():
    one, house = sum_up(make_points([1.3, 1.36])), sum_up(make_points([1.4, 1.41, 1.39]))
    there, back = find_difference(one, house), find_difference(house, one)
    assert there.value == pytest.approx(-back.value)
    assert there.limits == pytest.approx((-back.limits.high, -back.limits.low))


def test_brews_that_read_alike_differ_no_more_surely_than_reading_allows():
    found = find_difference(sum_up(make_points([1.31] * 2)), sum_up(make_points([1.30] * 2)))
    assert found.value == pytest.approx(0.01)
    assert found.limits.high - found.value == pytest.approx(2 * READ)
    assert not found.is_clear


@pytest.mark.parametrize("many", [0, 1])
def test_fewer_than_two_brews_are_not_compared(many):
    assert find_difference(sum_up(make_points([1.3] * many)), sum_up(make_points([1.3, 1.4]))) is (
        None
    )


def test_the_middle_is_the_median_of_the_brews():
    values = [1.2, 1.31, 1.33, 1.9]
    assert sum_up(make_points(values)).middle == median(values)
