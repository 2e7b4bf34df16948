import pytest
from hypothesis import given
from hypothesis import strategies as st

from server.reports.table_figures.axis import Axis, draw_estimate, span
from server.reports.table_figures.canvas import draw_on
from server.reports.table_figures.themes import THEMES
from server.stats.results import Interval
from tests.reports.table_figures.reading import list_marks

INK, PAPER = THEMES["light"].ink, THEMES["light"].paper


def draw(value: float, interval: Interval | None) -> bytes:
    axis = Axis(0, 10, 100, 200)
    return draw_on(lambda canvas: draw_estimate(canvas, axis, 10, value, interval), 20, "light")


@given(st.lists(st.floats(-100, 100), min_size=1), st.sampled_from([None, (0.0, 10.0)]))
def test_an_axis_holds_all_its_values(values, ends):
    low, high = span(values, ends)
    assert low <= min(values) <= max(values) <= high
    assert low < high


def test_one_value_alone_still_has_an_axis():
    assert span([0.0]) == (-0.5, 0.5)


@pytest.mark.parametrize(("low", "high"), [(0, 1), (-1, 1), (0, 0.037), (1, 9), (-3.2, 117)])
def test_ticks_stay_within_the_ends(low, high):
    ticks = Axis(low, high, 0, 100).list_ticks()
    assert len(ticks) >= 2
    assert all(low - 1e-6 <= tick <= high + 1e-6 for tick in ticks)


def test_a_dot_stands_at_its_value():
    assert list_marks(draw(2.5, Interval(1, 4)), INK) == [(125.0, 10.0)]


def test_a_dot_without_limits_is_hollow():
    assert list_marks(draw(2.5, None), PAPER) == [(125.0, 10.0)]


def test_limits_beyond_the_axis_get_an_arrow():
    assert (
        draw(2.5, Interval(1, 40)).count(b"<path") == draw(2.5, Interval(1, 4)).count(b"<path") + 1
    )
