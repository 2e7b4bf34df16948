import math

import numpy as np
import pytest

from server.reports.table_figures.map_drawing import draw
from server.reports.table_figures.maps import Map, Point, count_overlaps, describe, tabulate
from server.reports.table_figures.own_words import build_own_words
from server.reports.table_figures.sample_map import build_sample_map
from server.reports.table_figures.shown import Names, show_value
from server.reports.table_figures.themes import THEMES
from server.reports.table_figures.word_map import build_word_map
from server.sheets.scores import collect_ratings, group_scores
from server.stats.consensus import find_consensus
from server.stats.consensus_chance import ConsensusTest, judge_consensus
from server.stats.ellipse import Ellipse
from server.stats.profiles import build_profile
from server.stats.sample_map import draw_map
from server.stats.tick_all import analyse_ticks
from tests.reports.table_figures.conftest import PEOPLE, SAMPLES
from tests.reports.table_figures.reading import list_marks, list_words

LIGHT = THEMES["light"]


def map_table(scores, draws=50):
    ratings = {name: collect_ratings(rows) for name, rows in group_scores(scores).items()}
    return draw_map(build_profile(ratings), draws=draws)


def tick(people: int, samples: int, own: float = 0.9, seed: int = 1):
    """Every sample has a word of its own that most tick, and chance ticks besides."""
    rng = np.random.default_rng(seed)
    names = ["papery", "musty", "fruit", "jam", "cedar"]
    return analyse_ticks(
        {
            (who, sample, word): bool(rng.random() < (own if n % 5 == k else 0.15))
            for who in PEOPLE[:people]
            for n, sample in enumerate(SAMPLES[:samples])
            for k, word in enumerate(names)
        }
    )


def choose_words(people: int, samples: int = 6, common: float = 3.0, seed: int = 1):
    rng = np.random.default_rng(seed)
    base = rng.normal(size=(samples, 2))
    tables = [
        common * base @ rng.normal(size=(2, 3)) + rng.normal(size=(samples, 3))
        for _ in range(people)
    ]
    chosen = {who: ["round", "ash", "green"] for who in PEOPLE[:people]}
    found = find_consensus(tables, PEOPLE[:people], SAMPLES[:samples])
    return found, judge_consensus(tables, draws=99), chosen


@pytest.mark.parametrize(
    ("people", "samples", "reason"),
    [
        (8, 3, "No map: it takes 4 samples or more, not 3."),
        (5, 6, "No map: it takes 6 assessors or more who rated everything, not 5."),
    ],
)
def test_a_small_table_has_a_reason_instead_of_a_map(make_table, people, samples, reason):
    _, scores = make_table(people=people, samples=samples, attributes=3)
    data = build_sample_map(map_table(scores))
    assert (data.reason, describe(data), tabulate(data).rows) == (reason, reason, ())


def test_the_reason_is_drawn_in_words():
    said = "No map: it takes 4 samples or more, not 3."
    assert said in " ".join(one.words for one in list_words(draw(Map(reason=said), "print")))


def test_nobody_who_rated_everything_is_a_reason(make_table):
    _, scores = make_table(people=6, samples=4, attributes=2, gaps=0.6, repeats=1)
    found = map_table(scores)
    assert found.components is None
    assert build_sample_map(found).reason.endswith("who rated everything, not 0.")


def test_one_attribute_alone_makes_no_map(make_table):
    _, scores = make_table(attributes=1)
    data = build_sample_map(map_table(scores))
    assert data.reason == "No map: the samples differ along one line at most."


def test_the_table_holds_scores_ellipses_and_correlations(make_table):
    _, scores = make_table()
    found = map_table(scores)
    rows = tabulate(build_sample_map(found)).rows
    for row, place, ellipse in zip(rows, found.components.scores, found.ellipses, strict=False):
        assert row[2:] == tuple(show_value(one) for one in (*place[:2], *ellipse.semi_axes))
    for row, place in zip(rows[6:], found.components.correlations, strict=True):
        assert row[2:4] == (show_value(place[0]), show_value(place[1]))


def test_distances_in_the_picture_are_those_of_the_scores(make_table):
    _, scores = make_table()
    found = map_table(scores)
    drawn = list_marks(draw(build_sample_map(found), "light"), LIGHT.accent)
    places = [one[:2] for one in found.components.scores]
    ratios = [
        math.dist(drawn[0], drawn[at]) / math.dist(places[0], places[at]) for at in range(1, 6)
    ]
    assert ratios == pytest.approx([ratios[0]] * 5, rel=0.01)


def test_up_in_the_plane_is_up_in_the_picture(make_table):
    _, scores = make_table()
    found = map_table(scores)
    drawn = list_marks(draw(build_sample_map(found), "light"), LIGHT.accent)
    highest = max(range(6), key=lambda at: found.components.scores[at][1])
    assert min(range(6), key=lambda at: drawn[at][1]) == highest


def test_the_words_tell_share_distance_and_overlap(make_table):
    _, scores = make_table(down=())
    data = build_sample_map(map_table(scores))
    overlaps, pairs = count_overlaps(data.samples)
    assert describe(data).startswith("Map of 6 samples by 6 attributes, ")
    assert describe(data).endswith(f"{overlaps} of {pairs} pairs of ellipses overlap.")


def test_an_ellipse_far_larger_than_the_map_does_not_shrink_it():
    huge = Ellipse((0.0, 0.0), (900.0, 1.0), 0.0, 0.0, 0.95)
    points = [
        Point(name, x, y, huge)
        for name, x, y in zip("WXYZ", (1, -1, 0, 0), (0, 0, 1, -1), strict=True)
    ]
    data = Map(tuple(points), title="t", others_title="o", shares=(0.6, 0.3))
    drawn = list_marks(draw(data, "light"), LIGHT.accent)
    assert math.dist(drawn[0], drawn[1]) > 100


def test_touching_ellipses_of_no_width_do_not_divide_by_zero():
    flat = Ellipse((0.0, 0.0), (1.0, 0.0), 0.0, 0.0, 0.95)
    assert count_overlaps([Point("X", 0, 0, flat), Point("Y", 0, 0, flat)]) == (0, 1)


def test_ticked_words_and_samples_stand_in_one_map():
    found = tick(8, 5)
    data = build_word_map(found)
    said = " ".join(one.words for one in list_words(draw(data, "light")))
    assert all(word in said for word in found.words)
    assert len(data.samples) == 5


def test_words_that_differ_by_their_own_test_are_named():
    found = tick(12, 5)
    differ = [name for name, word in found.words.items() if word.finding]
    assert differ
    assert all(name in describe(build_word_map(found)) for name in differ[:4])


def test_no_word_beyond_chance_is_said_as_that():
    found = tick(8, 5, own=0.15)
    assert not any(word.finding for word in found.words.values())
    assert "no word is ticked more often for one sample" in describe(build_word_map(found))


@pytest.mark.parametrize(
    ("people", "samples", "reason"),
    [
        (8, 3, "No map: it takes 4 samples or more that anything was ticked for, not 3."),
        (5, 5, "No map: it takes 6 assessors or more, not 5."),
    ],
)
def test_few_ticks_have_a_reason_instead_of_a_map(people, samples, reason):
    assert build_word_map(tick(people, samples)).reason == reason


def test_nothing_ticked_has_a_reason():
    none = {(who, what, "papery"): False for who in PEOPLE[:6] for what in SAMPLES[:5]}
    assert build_word_map(analyse_ticks(none)).reason.endswith("was ticked for, not 0.")


def test_own_words_stand_with_their_chance_check():
    found, check, chosen = choose_words(7)
    data = build_own_words(found, check, chosen)
    assert check.p_value <= 0.05
    assert (data.check, data.caution) == (
        f"{100 * found.ratio:.1f}% in common; by chance alone {100 * check.mean_by_chance:.1f}% on "
        f"average, p = {check.p_value:.4f}.",
        "",
    )


def test_a_consensus_no_larger_than_chance_is_not_to_be_read():
    found, check, chosen = choose_words(6, common=0.0)
    data = build_own_words(found, check, chosen)
    assert check.p_value > 0.05
    assert describe(data).endswith("Not beyond chance: read nothing into it.")
    assert data.caution in [one.words for one in list_words(draw(data, "light"))]


def test_an_unknown_chance_is_said_as_that():
    found, _, chosen = choose_words(6)
    unknown = ConsensusTest(None, None, None, 9, 1, ())
    data = build_own_words(found, unknown, chosen)
    assert "whether that is beyond chance is not estimable" in describe(data)


def test_every_word_of_everybody_stands_in_the_table():
    found, check, chosen = choose_words(7)
    rows = tabulate(build_own_words(found, check, chosen, Names(assessors={"Ann": "Seat 1"}))).rows
    assert len([row for row in rows if row[0] == "word"]) == 21
    assert sorted(row[1] for row in rows if "Seat 1" in row[1]) == [
        "ash (Seat 1)", "green (Seat 1)", "round (Seat 1)",
    ]  # fmt: skip


def test_each_assessor_stands_around_each_sample():
    found, check, chosen = choose_words(7)
    data = build_own_words(found, check, chosen)
    assert data.samples[2].around[4] == found.turned[4][2][:2]
    assert len(list_marks(draw(data, "light"), LIGHT.soft)) == 6 * 7


def test_words_must_be_as_many_as_were_scored():
    found, check, chosen = choose_words(6)
    with pytest.raises(ValueError, match="chosen must hold 3 words of Bo, not 1"):
        build_own_words(found, check, chosen | {"Bo": ["round"]})


def test_few_with_own_words_have_a_reason():
    found, check, chosen = choose_words(4)
    assert (
        "6 assessors or more with words of their own, not 4"
        in build_own_words(found, check, chosen).reason
    )
