import numpy as np
import pytest

from server.stats import psychometric
from server.stats.psychometric import REACH, REACH_OF_GAPS

SERIES = [
    (psychometric.tetrad_specified, psychometric.tetrad_specified_slope, REACH),
    (psychometric.two_of_five_specified, psychometric.two_of_five_specified_slope, REACH),
    (psychometric.two_of_five_widest_gap, psychometric.two_of_five_widest_gap_slope, REACH_OF_GAPS),
]

every_series = pytest.mark.parametrize(("curve", "slope", "reach"), SERIES)


@every_series
def test_a_series_ends_where_it_has_reached_1(curve, slope, reach):
    d = np.array([reach - 1e-9, reach, reach + 1e-9])
    assert curve(d) == pytest.approx([1, 1, 1], abs=1e-15)
    assert slope(d).max() < 1e-16


@every_series
def test_slopes_are_positive_beyond_the_series(curve, slope, reach):
    d = np.linspace(reach, 30, 50)
    assert (slope(d) > 0).all()
    assert (curve(d) == 1).all()


@every_series
def test_a_series_equals_the_sum_of_its_slope(curve, slope, reach):
    nodes, weights = np.polynomial.legendre.leggauss(80)
    for start, end in [(0, 2), (1, 4), (0.5, reach)]:
        half = (end - start) / 2
        gained = slope(start + half * (nodes + 1)) @ weights * half
        assert np.diff(curve(np.array([start, end])))[0] == pytest.approx(gained, abs=1e-13)
