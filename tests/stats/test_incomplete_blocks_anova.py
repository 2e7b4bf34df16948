import dataclasses
import json
from itertools import combinations

import numpy as np
import pandas as pd
import pytest
import statsmodels.formula.api as smf
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats
from statsmodels.stats.anova import anova_lm

from server.stats.anova import analyse_balanced
from server.stats.differences import UNEQUAL
from server.stats.incomplete_blocks_anova import (
    NO_ERROR,
    NO_FREEDOM,
    REPEATED,
    WITHIN_BLOCKS,
    analyse_incomplete,
)
from server.stats.ratings import build_ratings

# Reaction time of four catalysts, three in each of four batches: Montgomery, Design and
# Analysis of Experiments, section on balanced incomplete blocks (data and results from memory).
CATALYST = [
    ("1", 1, 73), ("1", 2, 74), ("1", 4, 71), ("2", 2, 75), ("2", 3, 67), ("2", 4, 72),
    ("3", 1, 73), ("3", 2, 75), ("3", 3, 68), ("4", 1, 75), ("4", 3, 72), ("4", 4, 75),
]  # fmt: skip
CATALYSTS = build_ratings(
    [f"batch {batch}" for _, batch, _ in CATALYST],
    [name for name, _, _ in CATALYST],
    [time for _, _, time in CATALYST],
)


def table_of(ratings):
    return pd.DataFrame(
        {
            "y": ratings.value,
            "block": [ratings.assessors[at] for at in ratings.assessor],
            "sample": [ratings.samples[at] for at in ratings.sample],
        }
    )


def scatter(seed, blocks, samples, missing):
    """Ratings of a design with holes at random, chained so that all hangs together."""
    rng = np.random.default_rng(seed)
    cells = [
        (f"b{block}", f"s{sample}")
        for block in range(blocks)
        for sample in range(samples)
        if sample in (block % samples, (block + 1) % samples) or rng.random() > missing
    ]
    return build_ratings(*zip(*cells, strict=True), rng.normal(50, 9, len(cells)))


def test_catalysts_have_the_published_sums_of_squares():
    found = analyse_incomplete(CATALYSTS)
    lines = (found.block, found.sample, found.error)
    assert [line.sum_of_squares for line in lines] == pytest.approx([55, 22.75, 3.25], rel=1e-9)
    assert [line.df for line in lines] == [3, 3, 5]


def test_catalysts_have_the_published_f():
    # 11.67, p .0107; further digits recomputed independently (two programs).
    found = analyse_incomplete(CATALYSTS).sample_test
    assert (found.f, found.df) == (pytest.approx(11.66666667, rel=1e-9), (3, 5))
    assert found.p_value == pytest.approx(0.01073866484, rel=1e-8)


def test_the_f_of_raw_catalyst_means_is_not_what_is_reported():
    # 5.98 (recomputed): samples with batches left in them, over the right error.
    found = analyse_incomplete(CATALYSTS)
    wrong = anova_lm(smf.ols("y ~ sample + block", table_of(CATALYSTS)).fit())["F"]["sample"]
    assert wrong == pytest.approx(5.982905983, rel=1e-9)
    assert found.sample_test.f != pytest.approx(wrong, abs=1)
    assert WITHIN_BLOCKS in found.notes


def test_catalysts_have_the_computed_adjusted_means():
    # Recomputed independently (two programs).
    found = analyse_incomplete(CATALYSTS)
    assert found.means == pytest.approx((71.375, 71.625, 72, 75), rel=1e-12)
    assert found.raw_means == pytest.approx((72.66666667, 71.33333333, 72, 74), rel=1e-9)


def test_catalysts_have_one_standard_error_and_the_efficiency_of_the_design():
    found = analyse_incomplete(CATALYSTS)
    assert [x.se for x in found.differences.pairs] == pytest.approx([0.6982120022] * 6, rel=1e-9)
    assert (found.design.together, found.design.efficiency) == (2, pytest.approx(8 / 9))


def test_one_catalyst_stands_apart_from_all_others():
    # q(.05; 4, 5) = 5.22 of printed tables (from memory) gives 5.22 x 0.698 / √2 = 2.58.
    found = analyse_incomplete(CATALYSTS).differences
    assert found.hsd == pytest.approx(2.58, abs=0.01)
    assert found.letters_hsd == ("b", "b", "b", "a")


@pytest.mark.parametrize("seed", range(4))
def test_any_design_equals_a_general_least_squares_program(seed):
    ratings = scatter(seed, blocks=7, samples=5, missing=0.5)
    found = analyse_incomplete(ratings)
    lines = anova_lm(smf.ols("y ~ block + sample", table_of(ratings)).fit())
    assert [
        found.block.sum_of_squares,
        found.sample.sum_of_squares,
        found.error.sum_of_squares,
    ] == (pytest.approx(lines["sum_sq"].tolist(), rel=1e-9))
    assert found.sample_test.p_value == pytest.approx(lines["PR(>F)"]["sample"], rel=1e-8)


@pytest.mark.parametrize("seed", range(4))
def test_pairs_of_any_design_equal_contrasts_of_a_general_program(seed):
    ratings = scatter(seed, blocks=7, samples=5, missing=0.5)
    fit = smf.ols("y ~ block + sample", table_of(ratings)).fit()
    found = analyse_incomplete(ratings)
    pairs = [pair for pair in found.differences.pairs if pair.first == 0]
    names = [f"sample[T.{ratings.samples[pair.second]}]" for pair in pairs]
    assert [-pair.difference for pair in pairs] == pytest.approx(fit.params[names].tolist())
    assert [pair.se for pair in pairs] == pytest.approx(fit.bse[names].tolist())
    assert UNEQUAL in found.differences.notes


@pytest.mark.parametrize("seed", range(4))
def test_adjusted_means_are_predictions_averaged_over_all_blocks(seed):
    ratings = scatter(seed, blocks=7, samples=5, missing=0.5)
    fit = smf.ols("y ~ block + sample", table_of(ratings)).fit()
    blocks = list(ratings.assessors)
    expected = [
        fit.predict(pd.DataFrame({"block": blocks, "sample": [name] * len(blocks)})).mean()
        for name in ratings.samples
    ]
    assert analyse_incomplete(ratings).means == pytest.approx(expected)


def test_complete_blocks_give_the_balanced_analysis_of_one_value_a_cell():
    ratings = scatter(1, blocks=6, samples=4, missing=0)
    found, balanced = analyse_incomplete(ratings), analyse_balanced(ratings)
    assert found.sample_test.f == pytest.approx(balanced.sample_test.f, rel=1e-9)
    assert (found.means, found.design.efficiency) == (pytest.approx(balanced.means), 1)
    assert WITHIN_BLOCKS not in found.notes


@given(st.lists(st.integers(-40, 40), min_size=4, max_size=4))
def test_shifting_whole_blocks_changes_no_test_and_no_difference(shifts):
    value = CATALYSTS.value + np.array(shifts)[CATALYSTS.assessor]
    moved = analyse_incomplete(dataclasses.replace(CATALYSTS, value=value))
    still = analyse_incomplete(CATALYSTS)
    assert moved.sample_test.f == pytest.approx(still.sample_test.f, rel=1e-6)
    assert np.subtract(moved.means, still.means) == pytest.approx([np.mean(shifts)] * 4)


def test_a_repeated_value_counts_as_a_mean_and_adds_no_freedom():
    table = table_of(CATALYSTS)
    doubled = build_ratings(*(list(table[name]) * 2 for name in ("block", "sample", "y")))
    found = analyse_incomplete(doubled)
    assert found.sample_test == analyse_incomplete(CATALYSTS).sample_test
    assert REPEATED in found.notes


def test_groups_that_nobody_links_are_not_compared():
    found = analyse_incomplete(build_ratings("aabbcc", "VWXYXY", [1, 2, 3, 5, 2, 6]))
    assert (found.sample_test, found.means, found.differences) == (None, None, None)
    assert found.notes == (
        "Nobody compared samples of one of these groups with samples of another: V, W / X, Y.",
    )


def test_a_design_without_freedom_for_error_has_means_but_no_test():
    found = analyse_incomplete(build_ratings("aabb", "XYYZ", [1, 3, 2, 6]))
    assert (found.sample_test, found.error.mean_square) == (None, None)
    assert np.diff(found.means) == pytest.approx([2, 4])
    assert NO_FREEDOM in found.notes


def test_values_that_leave_no_error_have_no_f():
    found = analyse_incomplete(build_ratings("aaabbb", "XYZXYZ", [1, 2, 4, 3, 4, 6]))
    assert (found.sample_test, found.error.mean_square) == (None, 0)
    assert NO_ERROR in found.notes


def simulate_alarms(tables):
    """How often samples that do not differ are said to, at 5 %, among blocks that do differ."""
    rng = np.random.default_rng(8)
    held = [
        (block, sample) for block, pair in enumerate(combinations(range(5), 3)) for sample in pair
    ]
    blocks, samples = zip(*held, strict=True)
    labels = [f"b{block}" for block in blocks], [f"s{sample}" for sample in samples]
    alarms = 0
    for _ in range(tables):
        value = rng.normal(0, 3, 10)[list(blocks)] + rng.normal(0, 1, 30)
        alarms += analyse_incomplete(build_ratings(*labels, value)).sample_test.p_value <= 0.05
    return alarms / tables


def test_samples_that_do_not_differ_raise_alarms_at_the_level():
    # 1 to 11 of 100 tables; a chance of one in a hundred that a right test fails this.
    least, most = stats.binom.interval(0.98, 100, 0.05)
    assert least <= 100 * simulate_alarms(100) <= most


@pytest.mark.long
def test_samples_that_do_not_differ_raise_alarms_at_the_level_over_many_tables():
    assert simulate_alarms(2_000) == pytest.approx(0.05, abs=0.015)


def test_one_sample_is_refused():
    with pytest.raises(ValueError, match="ratings must be of two samples or more, not 1"):
        analyse_incomplete(build_ratings("ab", "XX", [1, 2]))


def test_the_result_is_strict_json():
    found = dataclasses.asdict(analyse_incomplete(CATALYSTS))
    assert json.loads(json.dumps(found, allow_nan=False))["sample_test"]["df"] == [3, 5]
