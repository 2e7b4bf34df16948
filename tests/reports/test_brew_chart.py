"""The chart of brews: what shares a mark, what has no place, what names may hold. All invented."""

import re

import pytest

from server.brewing.brewed import read_brewed
from server.brewing.chart import REGIONS
from server.brewing.extraction import Brewer, Form
from server.brewing.strength import find_strength
from server.brewing.yields import BrewYield
from server.reports.brew_chart import (
    MARKS,
    ChartBrew,
    describe_chart,
    draw_chart,
    list_notes,
    make_point,
    sort_brews,
)
from server.reports.brew_words import NO_COMPARING

DRIP = {"dose_g": "20", "water_g": "320", "beverage_g": "279", "tds": ["1.31"]}
STEEPED = {"dose_g": "20", "water_g": "320", "tds": ["1.31"]}


def point(sample="A", how=Brewer.PERCOLATION, numbers=DRIP, name="A1"):
    return make_point(name, sample, how, read_brewed(numbers))


def test_brews_of_one_sample_by_two_forms_share_no_mark_and_do_not_compare():
    brews = [point(), point(how=Brewer.IMMERSION, numbers=STEEPED, name="A2")]
    first, second = sort_brews(brews)
    assert first.endswith("A, from the weighed beverage")
    assert second.endswith("A, from all the water, solids counted")
    assert NO_COMPARING in list(list_notes(brews))


def test_brews_by_one_form_share_a_mark_by_sample_without_a_word_of_forms():
    brews = [point(), point("B", name="B1"), point(name="A2")]
    sorted_ = sort_brews(brews)
    assert [[one.name for one in mine] for mine in sorted_.values()] == [["A1", "A2"], ["B1"]]
    assert NO_COMPARING not in list(list_notes(brews))


def test_more_kinds_than_marks_still_differ_in_filling():
    assert len(MARKS) % 2 == 1  # so that a mark met again is filled the other way


def test_a_yield_above_the_whole_dose_has_no_place_and_breaks_no_picture():
    wild = point(how=Brewer.IMMERSION, numbers={**STEEPED, "dose_g": "1"}, name="A2")
    assert not wild.is_placed
    assert any("A2" in note and "cannot be of one brew" in note for note in list_notes([wild]))
    assert b"<svg" in draw_chart([point(), wild], REGIONS[0])
    assert "A2" not in describe_chart([point(), wild], None)


def test_limits_beyond_the_whole_dose_are_cut_at_it():
    strength = find_strength([9.0])
    brew = ChartBrew("1", "A", Brewer.IMMERSION, BrewYield(99.9, Form.SOLIDS, strength, 3.0))
    assert b"<svg" in draw_chart([brew], None)


@pytest.mark.parametrize(
    "name", ["two $ and $ more", r"$\nothing$", "_first", "x" * 120, "one\nline", "a\x01b"]
)
def test_whatever_a_recipe_is_called_it_is_drawn(name):
    assert b"<svg" in draw_chart([point(sample=name, name=name)], None)


def test_a_name_with_two_dollar_signs_is_drawn_as_typed():
    plain, dollars = (
        set(re.findall(rb'id="(DejaVu[^"]+)"', draw_chart([point(one)], None)))
        for one in ("x", "$x$")
    )
    (dollar,) = dollars - plain
    assert b"Oblique" not in dollar  # which letters of a formula would be


def test_the_picture_in_words_names_every_brew_and_the_source_of_the_region():
    said = describe_chart([point()], REGIONS[0])
    assert "A1 at 1.31 %TDS and 18.3 %" in said
    assert REGIONS[0].source in said


def test_nothing_to_draw_is_refused():
    with pytest.raises(ValueError, match="brews must hold one with a yield"):
        draw_chart([], None)
