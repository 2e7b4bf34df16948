import pytest

from server.reports.table_figures.interaction import build_interaction, describe, tabulate
from server.reports.table_figures.interaction_drawing import draw
from server.reports.table_figures.shown import Names, show_value
from server.reports.table_figures.themes import THEMES
from server.sheets.scores import collect_ratings, group_scores
from tests.reports.table_figures.reading import list_marks, list_words, read_axis

LIGHT = THEMES["light"]
DI = "Di with a rather long name indeed"


def test_the_table_holds_the_means_of_the_cells(make_table):
    analysis, scores = make_table(gaps=0.1)
    found = tabulate(build_interaction(analysis, scores))
    ratings = collect_ratings(group_scores(scores)["bitterness"])
    rows = {row[1]: dict(zip(found.head[2:], row[2:], strict=True)) for row in found.rows[:9]}
    for who, means in zip(ratings.assessors, ratings.means().tolist(), strict=True):
        for sample, mean in zip(ratings.samples, means, strict=True):
            assert rows[who][sample] == ("–" if mean != mean else show_value(mean))


def test_the_panel_comes_first_and_its_samples_fall(make_table):
    analysis, scores = make_table()
    for panel in build_interaction(analysis, scores).panels:
        assert list(panel.means) == sorted(panel.means, reverse=True)


def test_thick_dots_stand_at_the_means_of_the_panel(make_table):
    analysis, scores = make_table(attributes=1)
    svg = draw(build_interaction(analysis, scores, Names(ends={"bitterness": (0, 100)})), "light")
    value_at = read_axis(svg, "0", "100")
    drawn = [value_at(x) for x, _ in list_marks(svg, LIGHT.accent)]
    means = sorted(analysis.attributes["bitterness"].samples.means.values(), reverse=True)
    assert drawn == pytest.approx(means, abs=0.06)


def test_who_goes_against_the_rest_is_named_in_the_picture_and_in_words(make_table):
    analysis, scores = make_table(attributes=1)
    data = build_interaction(analysis, scores)
    assert f"{DI} goes against the rest in bitterness." in describe(data)
    assert f"{DI}: against the rest" in [one.words for one in list_words(draw(data, "print"))]


def test_dashes_tell_those_against_the_rest_without_colour(make_table):
    analysis, scores = make_table(attributes=1)
    dashed = draw(build_interaction(analysis, scores), "print").count(b"stroke-dasharray")
    assert dashed == 2  # the line and the piece of it before the name


def test_with_nobody_against_the_rest_the_words_say_what_was_looked_for(make_table):
    analysis, scores = make_table(attributes=1, down=())
    said = describe(build_interaction(analysis, scores))
    assert said.endswith("Nobody goes against the rest more than chance would explain.")


def test_a_missing_cell_interrupts_its_line_and_a_lonely_mean_gets_a_dot(tell):
    table = {
        "ann": {"X": (1,), "Y": (None,), "Z": (3,)},
        "bo": {"X": (1,), "Y": (2,), "Z": (4,)},
    }
    analysis, scores = tell(table)
    svg = draw(build_interaction(analysis, scores), "light")
    assert len(list_marks(svg, LIGHT.soft)) == 2


def test_zero_variance_is_drawn(tell):
    analysis, scores = tell({who: {"X": (4,), "Y": (4,)} for who in ("ann", "bo")})
    data = build_interaction(analysis, scores)
    assert data.panels[0].ends == (3.5, 4.5)
    assert draw(data, "dark")
