"""What holds for every figure: bytes, weight, room for words, and the table beside it."""

import re
import subprocess
import sys
from collections.abc import Callable
from itertools import combinations
from typing import Any

import numpy as np
import pytest

from server.reports.table_figures import flags, right
from server.reports.table_figures.assessors import build_assessors
from server.reports.table_figures.interaction import build_interaction
from server.reports.table_figures.pictures import (
    Figure,
    describe_figure,
    draw_figure,
    tabulate_figure,
)
from server.reports.table_figures.profile import build_profile
from server.reports.table_figures.sample_map import build_sample_map
from server.reports.table_figures.word_map import build_word_map
from tests.reports.table_figures.conftest import ATTRIBUTES, PEOPLE, SAMPLES
from tests.reports.table_figures.reading import list_words, read_picture
from tests.reports.table_figures.test_maps import map_table, tick

THEMES = ("light", "dark", "print")
TYPICAL = {"people": 8, "samples": 6, "attributes": 6}
LARGEST = {"people": 12, "samples": 12, "attributes": 12, "down": (3, 5)}


def flag_cups(people: int, samples: int) -> Figure:
    rng = np.random.default_rng(3)
    found = ["musty", "papery", "phenolic, like a plaster", "sour", "potato"]
    return flags.build_flags(
        "off-taste",
        [
            flags.Flag(who, sample, who, found[rng.integers(5)] if rng.random() < 0.15 else "", 2)
            for who in PEOPLE[:people]
            for sample in SAMPLES[:samples]
        ],
        3,
    )


def answer_right(people: int, samples: int, attributes: int) -> Figure:
    rng = np.random.default_rng(3)
    return right.build_right(
        {
            name: {
                sample: rng.multinomial(people, [0.1, 0.2, 0.4, 0.2, 0.1]).tolist()
                for sample in SAMPLES[:samples]
            }
            for name in ATTRIBUTES[:attributes]
        }
    )


@pytest.fixture(scope="session")
def build(make_table) -> Callable[[str, dict[str, Any]], Figure]:
    """Any figure by its name, of a table of any size."""

    def built(name: str, size: dict[str, Any]) -> Figure:
        people, samples, attributes = (size[one] for one in ("people", "samples", "attributes"))
        if name == "flags":
            return flag_cups(people, samples)
        if name == "right":
            return answer_right(people, samples, attributes)
        if name == "word map":
            return build_word_map(tick(people, samples))
        analysis, scores = make_table(**size)
        if name == "profile":
            return build_profile(analysis, scores)
        if name == "interaction":
            return build_interaction(analysis, scores)
        if name == "assessors":
            return build_assessors(analysis, scores, ATTRIBUTES[1])
        return build_sample_map(map_table(scores))

    return built


NAMES = ["profile", "interaction", "assessors", "flags", "right", "sample map", "word map"]
ROWS = NAMES[:5]
every_figure = pytest.mark.parametrize("name", NAMES)
every_theme = pytest.mark.parametrize("theme", THEMES)


@every_figure
@every_theme
def test_a_picture_is_the_same_for_the_same_data(build, name, theme):
    data = build(name, TYPICAL)
    first = draw_figure(data, theme)
    assert draw_figure(data, theme) == first
    assert read_picture(first).get("width") == "320pt"


@every_figure
def test_a_typical_picture_weighs_less_than_sixty_kilobytes(build, name):
    data = build(name, TYPICAL)
    assert len(draw_figure(data, "light")) < 60_000


@pytest.mark.parametrize("make", [build_profile, build_interaction])
def test_one_attribute_of_the_largest_table_weighs_less_than_thirty_kilobytes(make_table, make):
    data = make(*make_table(**LARGEST), attributes=[ATTRIBUTES[1]])
    assert len(draw_figure(data, "light")) < 30_000


@every_figure
def test_print_holds_no_colour(build, name):
    data = build(name, TYPICAL)
    used = set(re.findall(r"#([0-9a-f]{6})\b", draw_figure(data, "print").decode()))
    assert all(one[:2] == one[2:4] == one[4:] for one in used)


@every_figure
@pytest.mark.parametrize("size", [TYPICAL, LARGEST], ids=["typical", "largest"])
def test_words_stay_on_the_picture(build, name, size):
    data = build(name, size)
    svg = draw_figure(data, "light")
    height = float(read_picture(svg).get("height").removesuffix("pt"))
    for one in list_words(svg):
        assert one.box.left >= 0, one
        assert one.box.right <= 320, one
        assert one.box.top >= 0, one
        assert one.box.bottom <= height, one


@pytest.mark.parametrize("name", ROWS)
@pytest.mark.parametrize("size", [TYPICAL, LARGEST], ids=["typical", "largest"])
def test_no_words_lie_over_others(build, name, size):
    data = build(name, size)
    written = sorted(list_words(draw_figure(data, "light")), key=lambda one: one.box.top)
    over = [
        (one.words, other.words)
        for one, other in combinations(written, 2)
        if other.box.top < one.box.bottom and one.box.overlap(other.box) > 0.5
    ]
    assert over == []


@pytest.mark.parametrize("name", ["sample map", "word map"])
@pytest.mark.parametrize("size", [TYPICAL, LARGEST], ids=["typical", "largest"])
def test_names_of_a_map_lie_over_no_others(build, name, size):
    data = build(name, size)
    written = list_words(draw_figure(data, "light"))
    over = [
        (one.words, other.words)
        for one, other in combinations(written, 2)
        if one.box.overlap(other.box) > 0.5
    ]
    assert over == []


@every_figure
def test_words_are_large_enough_for_a_phone(build, name):
    # At 390 px, a picture of 320 points is about as many pixels wide: a point is a pixel.
    data = build(name, LARGEST)
    sizes = re.findall(r"font-size: ([\d.]+)px", draw_figure(data, "light").decode())
    assert min(float(size) for size in sizes) >= 8.5


@every_figure
def test_every_figure_has_a_table_as_wide_as_its_head_and_words(build, name):
    data = build(name, TYPICAL)
    found = tabulate_figure(data)
    assert found.rows
    assert {len(row) for row in found.rows} == {len(found.head)}
    assert describe_figure(data).endswith(".")


@every_figure
def test_words_claim_no_more_than_tests_do(build, name):
    data = build(name, TYPICAL)
    said = describe_figure(data).lower()
    assert not re.search(r"\b(prove[sd]?|safe|identical|no difference|compl(y|ies))\b", said)


def test_figures_load_without_the_drawing_library_and_scipy():
    code = (
        "import sys, server.reports.table_figures.pictures; "
        "print([m for m in ('matplotlib', 'scipy') if m in sys.modules])"
    )
    shown = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert shown.stdout.strip() == "[]"


def test_drawing_never_loads_the_slow_half_of_scipy():
    code = (
        "import sys; from server.sheets.analysis import analyse_scores; "
        "from server.sheets.scores import Score; "
        "from server.reports.table_figures.assessors import build_assessors; "
        "from server.reports.table_figures.assessors_drawing import draw; "
        "scores = [Score(w, s, 'body', v) for v, (w, s) in enumerate([(w, s) for w in 'abc' "
        "for s in 'XYZXYZ'])]; "
        "draw(build_assessors(analyse_scores(scores), scores, 'body'), 'light'); "
        "print('scipy.stats' in sys.modules)"
    )
    shown = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert shown.stdout.strip() == "False"
