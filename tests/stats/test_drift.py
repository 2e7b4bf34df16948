"""The example of the NIST/SEMATECH e-Handbook, section 6.3.2.4.

Data and printed results from memory of it; all digits recomputed independently in two programs.
"""

import dataclasses
import json

import numpy as np
import pytest

from server.stats.drift import smooth_series

VALUES = [52.0, 47.0, 53.0, 49.3, 50.1, 47.0, 51.0, 50.1, 51.2, 50.5]
VALUES += [49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1]
PRINTED = [50.00, 50.60, 49.52, 50.56, 50.18, 50.16, 49.21, 49.75, 49.85, 50.26]
PRINTED += [50.33, 50.11, 49.36, 49.52, 50.05, 49.38, 49.92, 50.73, 51.23, 51.94]
COMPUTED = [50, 50.6, 49.52, 50.564, 50.1848, 50.15936, 49.211552, 49.7480864, 49.85366048]
COMPUTED += [50.25756234, 50.33029364, 50.11120554, 49.35784388, 49.52049072, 50.0543435]
COMPUTED += [49.37804045, 49.92462832, 50.72723982, 51.22906787, 51.94034751, 51.98824326]


@pytest.fixture
def handbook():
    return smooth_series(VALUES, target=50, sd=2.0539, weight=0.3, width=3)


def test_the_smoothed_series_is_that_of_the_handbook(handbook):
    assert [round(z, 2) for z in handbook.smoothed[:20]] == PRINTED


def test_the_smoothed_series_equals_computed_values(handbook):
    assert handbook.smoothed == pytest.approx(COMPUTED, rel=1e-9)


def test_the_limits_are_those_of_the_handbook(handbook):
    # Printed as 52.5884 and 47.4115; the second digit by digit is 47.41157.
    low, high = handbook.final_limits
    assert (high, low) == pytest.approx((52.58843174, 47.41156826), rel=1e-9)


def test_the_handbooks_process_is_in_control(handbook):
    assert handbook.outside == ()


def test_the_result_is_plain_data(handbook):
    assert json.loads(json.dumps(dataclasses.asdict(handbook), allow_nan=False))["target"] == 50


def test_the_limits_widen_to_the_final_ones(handbook):
    widths = [high - low for low, high in handbook.limits]
    assert widths == sorted(widths)
    assert widths[0] == pytest.approx(2 * 3 * 2.0539 * 0.3)
    assert widths[-1] == pytest.approx(np.ptp(handbook.final_limits), rel=1e-6)


def test_weight_one_smooths_nothing():
    found = smooth_series([4.0, 7, 5], target=5, sd=1, weight=1)
    assert found.smoothed == (5, 4, 7, 5)
    assert found.limits[0] == found.final_limits == (2, 8)


def test_a_lasting_shift_is_found_at_its_number():
    assert smooth_series([5.0] * 3 + [7.0] * 4, target=5, sd=1).outside == (6, 7)


def test_the_spread_of_the_smoothed_value_is_that_of_the_formula():
    noise = np.random.default_rng(7).normal(5, 2, size=(4000, 4))
    ends = [smooth_series(row.tolist(), target=5, sd=2).smoothed[-1] for row in noise]
    half = np.ptp(smooth_series([0.0] * 4, target=5, sd=2).limits[-1]) / 6
    assert np.std(ends) == pytest.approx(half, rel=0.05)


@pytest.mark.parametrize(
    ("changed", "message"),
    [
        ({"values": []}, "values must hold at least one value"),
        ({"values": [1.0, float("nan")]}, "values must be finite, not nan"),
        ({"target": float("inf")}, "target must be finite, not inf"),
        ({"sd": 0}, "sd must be above 0 and finite, not 0"),
        ({"weight": 0}, "weight must be above 0 and at most 1, not 0"),
        ({"weight": 1.5}, "weight must be above 0 and at most 1, not 1.5"),
        ({"width": -3}, "width must be above 0 and finite, not -3"),
    ],
)
def test_bad_arguments_are_refused(changed, message):
    with pytest.raises(ValueError, match=message):
        smooth_series(**({"values": [5.0], "target": 5, "sd": 1} | changed))
