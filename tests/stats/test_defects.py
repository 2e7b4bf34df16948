import dataclasses
import json
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from server.stats.defects import (
    ALL_FOUND,
    NONE_FOUND,
    analyse_defects,
    count_cups,
    draw_p,
)
from server.stats.several_rates import compare_several_rates

NAMES = ("new", "old", "rinsed", "spare")
counts = st.integers(1, 8).flatmap(lambda n: st.tuples(st.integers(0, n), st.just(n)))
tables = st.lists(counts, min_size=2, max_size=4).map(lambda rows: tuple(zip(*rows, strict=True)))


def analyse(defective, cups, **options):
    return analyse_defects(NAMES[: len(cups)], defective, cups, **options)


@given(tables)
def test_pairs_equal_the_exact_test_of_a_general_library(table):
    defective, cups = table
    for pair in analyse(defective, cups).pairs:
        rows = [(defective[at], cups[at] - defective[at]) for at in map(NAMES.index, pair_of(pair))]
        assert pair.p_value == pytest.approx(stats.fisher_exact(rows).pvalue, rel=1e-9)
        assert pair.p_adjusted >= pair.p_value


def pair_of(pair):
    return pair.first, pair.second


def test_eight_cups_told_apart_give_the_p_value_of_the_tea_tasting():
    # Fisher (1935), The Design of Experiments, chapter 2: one way in 70 (from memory); two-sided 2.
    found = analyse([4, 0], [4, 4])
    assert (found.p_value, found.pairs[0].p_value) == pytest.approx((2 / 70, 2 / 70), rel=1e-12)


def test_two_samples_have_one_test():
    found = analyse([5, 1], [9, 8])
    assert found.p_value == pytest.approx(found.pairs[0].p_adjusted, rel=1e-12)


@given(tables)
def test_pairs_are_adjusted_together(table):
    pairs = analyse(*table).pairs
    smallest = min(pair.p_value for pair in pairs)
    assert min(pair.p_adjusted for pair in pairs) == pytest.approx(min(1, smallest * len(pairs)))


def test_limits_of_no_defect_are_those_of_the_closed_form():
    found = analyse([0, 0], [12, 5])
    assert found.samples[0].interval == pytest.approx((0.0, 1 - 0.025 ** (1 / 12)))


@pytest.mark.parametrize(("defective", "note"), [([0, 0, 0], NONE_FOUND), ([5, 5, 5], ALL_FOUND)])
def test_without_any_variation_nothing_is_told_apart_and_it_is_said(defective, note):
    found = analyse(defective, [5, 5, 5])
    assert (found.p_value, found.notes) == (1.0, (note,))


def test_a_single_sample_has_limits_and_no_test():
    found = analyse([2], [10])
    assert (found.p_value, found.method, found.pairs) == (None, None, ())


def test_small_tables_are_counted():
    found = analyse([4, 1, 0], [6, 6, 6])
    assert found.method == "counted"
    assert found.p_value == compare_several_rates([4, 1, 0], [6, 6, 6]).exact


def test_tables_drawn_come_near_the_count():
    exact = compare_several_rates([4, 1, 0], [6, 6, 6]).exact
    margin = 4 * math.sqrt(exact * (1 - exact) / 50_000)
    assert draw_p([4, 1, 0], [6, 6, 6], draws=50_000, seed=4) == pytest.approx(exact, abs=margin)


def test_large_tables_are_drawn_the_same_for_the_same_seed_and_it_is_said():
    names, cups = [f"sample {at}" for at in range(9)], [9] * 9
    defective = [0, 1, 2, 0, 1, 0, 3, 0, 4]
    one, same = (analyse_defects(names, defective, cups, seed=6) for _ in range(2))
    assert one == same
    assert (one.method, "drawn at random" in one.notes[0]) == ("drawn", True)


def test_a_result_is_strict_json():
    assert json.dumps(dataclasses.asdict(analyse([0, 3, 1], [5, 5, 4])), allow_nan=False)


def test_a_cup_counts_once_however_many_tasted_it():
    samples, cups = ["new"] * 4 + ["old"], ["1", "1", "2", "2", "1"]
    flagged = [True, True, False, True, False]
    assert count_cups(samples, cups, flagged) == {"new": (2, 2), "old": (0, 1)}
    assert count_cups(samples, cups, flagged, needed=2) == {"new": (1, 2), "old": (0, 1)}


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        ((["a"], [1], [0]), "cups must have from 1"),
        ((["a"], [3], [2]), "from 0 to 2, not 3"),
        ((["a", "a"], [1, 1], [2, 2]), "samples must stand there once each, not twice as 'a'"),
        ((["a"], [1, 1], [2, 2]), "samples must be as many as"),
        (([], [], []), "one or more, not 0"),
    ],
)
def test_bad_counts_are_named(arguments, message):
    with pytest.raises(ValueError, match=message):
        analyse_defects(*arguments)


@pytest.mark.parametrize(("cups", "needed"), [(["1", "2"], 1), (["1"], 0)])
def test_rows_that_do_not_fit_are_refused(cups, needed):
    with pytest.raises(ValueError, match="must be"):
        count_cups(["new"], cups, [True], needed)
