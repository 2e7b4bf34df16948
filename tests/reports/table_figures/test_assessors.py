import pytest

from server.reports.table_figures.assessors import build_assessors, describe, tabulate
from server.reports.table_figures.assessors_drawing import draw
from server.reports.table_figures.shown import show_value
from server.reports.table_figures.themes import THEMES
from server.sheets.analysis import analyse_scores
from server.sheets.scores import Score
from tests.panels import read_fish
from tests.reports.table_figures.reading import list_marks, list_words

LIGHT = THEMES["light"]


def find_row(rows, who):
    return next(row for row in rows if row[0] == who)


def test_the_three_figures_are_those_of_the_analysis(make_table):
    analysis, scores = make_table(attributes=1)
    data = build_assessors(analysis, scores, "bitterness")
    works = analysis.attributes["bitterness"].assessors
    for row in data.rows:
        work = works[row.assessor]
        assert row.repeats.value**2 == pytest.approx(work.repeatability_mse)
        assert row.agrees.value == work.agreement_r
        assert row.tells_apart.interval is None or (row.tells_apart.interval.low > 0) == (
            work.discrimination_p < 0.025
        )


def test_a_published_panel_has_its_known_repeat_errors_in_the_table():
    # ISO 8586, table C.2: mean squares within batches .5556 and 2.9444 of assessors 1 and 2.
    ratings = read_fish()
    rows = zip(ratings.assessor, ratings.sample, ratings.value, strict=True)
    scores = [
        Score(ratings.assessors[who], ratings.samples[what], "flavour", float(value))
        for who, what, value in rows
    ]
    found = tabulate(build_assessors(analyse_scores(scores), scores, "flavour"))
    assert [row[3] for row in found.rows[:2]] == [show_value(0.5556**0.5), show_value(2.9444**0.5)]


def test_dots_stand_where_the_correlations_are(make_table):
    analysis, scores = make_table(attributes=1, down=())
    data = build_assessors(analysis, scores, "bitterness")
    svg = draw(data, "light")
    numbers = {one.words: one.x for one in list_words(svg) if one.words in ("−1", "0", "1")}
    right = [x for x, _ in list_marks(svg, LIGHT.accent) if x > numbers["−1"] - 1]
    middle = (numbers["−1"] + numbers["1"]) / 2
    drawn = [(x - middle) / (numbers["1"] - middle) for x in right]
    assert drawn == pytest.approx([row.agrees.value for row in data.rows], abs=0.005)


def test_who_goes_against_the_rest_is_named_in_the_picture_and_in_words(make_table):
    analysis, scores = make_table(attributes=1)
    data = build_assessors(analysis, scores, "bitterness")
    assert "Di with a rather long name indeed goes against the rest." in describe(data)
    assert [one.words for one in list_words(draw(data, "print"))].count("against the rest") == 1


def test_without_repeats_two_columns_say_not_estimable(make_table):
    analysis, scores = make_table(people=3, samples=4, attributes=1, repeats=1, down=())
    data = build_assessors(analysis, scores, "bitterness")
    said = [one.words for one in list_words(draw(data, "light"))]
    assert said.count("not estimable") == 6
    assert describe(data).endswith(
        "Nobody repeated a sample, so who tells them apart and who repeats is not estimable."
    )


def test_one_assessor_agrees_with_nobody_in_words(tell):
    analysis, scores = tell({"ann": {"X": (3, 4), "Y": (6, 7)}})
    [row] = tabulate(build_assessors(analysis, scores, "body")).rows
    assert row[5:7] == ("not estimable", "not estimable")


def test_exact_repeats_are_a_hollow_dot_at_0(tell):
    table = {"ann": {"X": (3, 3), "Y": (6, 6)}, "bo": {"X": (3, 4), "Y": (6, 6)}}
    analysis, scores = tell(table)
    row = build_assessors(analysis, scores, "body").rows[0]
    assert (row.repeats.value, row.repeats.interval, row.tells_apart) == (0.0, None, None)
    assert "ann: the repeat error came out 0, of which there are no limits." in row.reasons


def test_somebody_without_any_score_keeps_a_row():
    scores = [
        Score("ann", "X", "body", 3),
        Score("ann", "Y", "body", 4),
        Score("bo", "X", "body", None),
    ]
    data = build_assessors(analyse_scores(scores), scores, "body")
    assert tabulate(data).rows[1] == ("bo", *["not estimable"] * 6, "0")
    assert draw(data, "dark")


def test_limits_from_one_repeat_end_in_an_arrow_and_leave_the_others_readable(tell):
    table = {
        "ann": {"X": (3, 4), "Y": (6,), "Z": (2,)},
        "bo": {"X": (3, 4), "Y": (6, 5), "Z": (2, 1)},
    }
    analysis, scores = tell(table)
    data = build_assessors(analysis, scores, "body")
    ann, bo = data.rows
    assert ann.repeats.interval.high > 20
    assert draw(data, "light") != draw(type(data)(data.attribute, (bo, bo), data.level), "light")


def test_a_name_may_be_longer_than_the_picture(tell):
    who = "somebody " * 20
    analysis, scores = tell({who: {"X": (3, 4), "Y": (6, 7)}})
    svg = draw(build_assessors(analysis, scores, "body"), "light")
    assert all(one.box.right <= 320 for one in list_words(svg))
