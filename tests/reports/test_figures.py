import subprocess
import sys
from xml.etree import ElementTree

import pytest

from server.reports.figures import (
    describe_guessing,
    describe_share,
    draw_guessing,
    draw_share,
)

SVG = "{http://www.w3.org/2000/svg}"
# Right answers, tasters, rounds: none, all, one short of and at the critical number.
CASES = [(0, 1, 1), (1, 1, 1), (3, 1, 3), (0, 6, 3), (9, 6, 3), (10, 6, 3), (18, 6, 3), (60, 20, 3)]


@pytest.mark.parametrize("draw", [draw_guessing, draw_share])
@pytest.mark.parametrize(("right", "assessors", "rounds"), CASES)
def test_every_count_can_be_drawn(tell_whole, draw, right, assessors, rounds):
    analysis = tell_whole(right, assessors=assessors, rounds=rounds).analyse()
    assert ElementTree.fromstring(draw(analysis)).tag == f"{SVG}svg"


@pytest.mark.parametrize("draw", [draw_guessing, draw_share])
def test_the_bytes_depend_on_the_numbers_alone(tell_whole, draw):
    assert draw(tell_whole(11).analyse()) == draw(tell_whole(11).analyse())


@pytest.mark.parametrize("draw", [draw_guessing, draw_share])
def test_other_counts_give_another_picture(tell_whole, draw):
    assert draw(tell_whole(11).analyse()) != draw(tell_whole(12).analyse())


@pytest.mark.parametrize("draw", [draw_guessing, draw_share])
def test_a_picture_carries_no_date_no_program_and_no_font(tell_whole, draw):
    drawn = draw(tell_whole(11).analyse()).decode()
    assert "dc:date" not in drawn
    assert "Matplotlib" not in drawn
    assert "<text" not in drawn


@pytest.mark.parametrize("draw", [draw_guessing, draw_share])
def test_a_picture_is_no_wider_than_a_phone_in_points(tell_whole, draw):
    root = ElementTree.fromstring(draw(tell_whole(11).analyse()))
    assert root.get("width") == "360pt"


@pytest.mark.parametrize("draw", [draw_guessing, draw_share])
def test_without_answers_there_is_nothing_to_draw(make_story, draw):
    with pytest.raises(ValueError, match="analysis must have counted answers, not 0"):
        draw(make_story().close("nobody").unseal().analyse())


def test_the_first_picture_is_described_with_its_counts(tell_whole):
    assert describe_guessing(tell_whole(11).analyse()) == (
        "How many of 18 answers guessing alone gets right, as bars; reached: 11; needed: 10."
    )


def test_the_second_picture_is_described_with_estimate_and_limits(tell_whole):
    # 8 of 12: estimate 0.5; two-sided limits of the share by scipy.stats.
    from scipy.stats import binomtest

    limits = binomtest(8, 12).proportion_ci(0.95, method="exact")
    low, high = (max(0.0, (limit - 1 / 3) / (2 / 3)) for limit in (limits.low, limits.high))
    described = describe_share(tell_whole(8, assessors=4).analyse())
    assert described.startswith(
        "Estimated share that noticed the difference: 50%, "
        f"limits {100 * low:.1f}% to {100 * high:.1f}%;"
    )


def test_below_guessing_is_described_as_not_estimable(tell_whole):
    assert "not estimable: below guessing" in describe_share(tell_whole(0).analyse())


def test_reports_load_without_the_drawing_library_and_scipy():
    code = (
        "import sys, server.reports.figures, server.reports.exports;"
        "print([m for m in ('matplotlib', 'scipy') if m in sys.modules])"
    )
    shown = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert shown.stdout.strip() == "[]"
