from dataclasses import replace
from xml.etree import ElementTree

from server.reports.ladder_figure import describe_ladder, draw_ladder, pick_steps
from server.reports.ladders import Right
from tests.reports.test_ladders import STEP

TWO = (("no part", Right(0.5, 0.26, 0.74, 0.5)), ("2 parts", Right(0.75, 0.5, 0.9, 0.5)))


def test_the_bytes_depend_on_the_numbers_alone():
    drawn = draw_ladder(TWO)
    assert ElementTree.fromstring(drawn).get("width") == "360pt"
    assert draw_ladder(TWO) == drawn
    assert draw_ladder(TWO[::-1]) != drawn


def test_the_picture_is_told_step_by_step():
    assert describe_ladder(TWO) == (
        "Right answers step by step, with exact 95% limits; guessing gives 50%. "
        "no part: 50% (26% to 74%); 2 parts: 75% (50% to 90%)."
    )


def test_steps_that_were_asked_differently_share_no_picture():
    one = replace(STEP, right=TWO[0][1])
    assert len(pick_steps([one, one])) == 2
    assert pick_steps([one, replace(one, asked=("triangle", "", "", "panel"))]) == ()
    assert pick_steps([one]) == ()
    assert pick_steps([]) == ()
