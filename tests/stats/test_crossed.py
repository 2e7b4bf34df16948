import numpy as np
import pytest

from server.stats.anova import analyse_balanced
from server.stats.crossed import read_crossed, split_crossed
from tests.panels import read_fish

NO = None
# Two blocks of assessors and samples that never meet.
APART = [[1, 2, NO, NO], [3, 5, NO, NO], [NO, NO, 4, 4], [NO, NO, 6, 9]]


def with_gaps(seed: int, gaps: int = 8) -> np.ndarray:
    rng = np.random.default_rng(seed)
    table = rng.normal(size=(7, 5)) + rng.normal(size=(7, 1)) + rng.normal(size=5)
    table.ravel()[rng.choice(35, gaps, replace=False)] = np.nan
    return table


def left_over(table: np.ndarray, *factors: int) -> float:
    """Residual sum of squares of a least-squares fit on dummies of the factors."""
    places = np.argwhere(~np.isnan(table))
    dummies = [np.eye(table.shape[factor])[places[:, factor]] for factor in factors]
    x, y = np.hstack(dummies), table[~np.isnan(table)]
    return float(((y - x @ np.linalg.lstsq(x, y, rcond=None)[0]) ** 2).sum())


def test_a_whole_table_splits_as_in_the_analysis_of_variance_of_fish():
    # Cell means count three values each in that analysis.
    split, anova = split_crossed(read_fish().means()), analyse_balanced(read_fish())
    for one, other in (("sample", "sample"), ("assessor", "assessor"), ("error", "interaction")):
        whole = getattr(anova, other).sum_of_squares
        assert 3 * getattr(split, one).sum_of_squares == pytest.approx(whole)
        assert getattr(split, one).df == getattr(anova, other).df


@pytest.mark.parametrize("seed", range(4))
def test_a_table_with_gaps_splits_as_dummies_of_both_factors_do(seed):
    table = with_gaps(seed)
    split = split_crossed(table)
    both, people, samples = left_over(table, 0, 1), left_over(table, 0), left_over(table, 1)
    assert split.error.sum_of_squares == pytest.approx(both)
    assert split.sample.sum_of_squares == pytest.approx(people - both)
    assert split.assessor.sum_of_squares == pytest.approx(samples - both)
    assert (split.within.sum_of_squares, split.error.df) == (pytest.approx(samples), 27 - 11)


@pytest.mark.parametrize(("table", "connected"), [(APART, False), ([*APART, [NO, 1, 2, NO]], True)])
def test_samples_that_share_no_assessor_by_any_chain_are_not_connected(table, connected):
    assert split_crossed(read_crossed(table)).connected is connected


def test_degrees_of_freedom_add_up_where_parts_never_meet():
    split = split_crossed(read_crossed(APART))
    assert (split.sample.df, split.assessor.df, split.error.df) == (2, 2, 2)


def test_rows_and_columns_without_values_are_left_out():
    split = split_crossed(read_crossed([[1, 2, NO], [NO, NO, NO], [2, 5, NO]]))
    assert (split.assessors, split.samples, split.complete) == (2, 2, True)


def test_the_overlap_is_the_number_of_assessors_without_gaps():
    assert split_crossed(with_gaps(1, gaps=0)).overlap == pytest.approx(7)


def test_floating_point_dust_is_no_error():
    table = np.add.outer([1 / 3, 2 / 3, 0.1], [0.1, 1 / 7, 0.3])
    assert split_crossed(read_crossed(table)).error.mean_square == 0


@pytest.mark.parametrize(
    ("table", "told"),
    [
        ([1.0, 2.0], "assessors and samples, not 1 dimensions"),
        ([[1.0, float("inf")]], "finite values, not inf"),
        ([[NO, NO]], "at least one value, not none"),
    ],
)
def test_what_is_no_table_is_refused(table, told):
    with pytest.raises(ValueError, match=told):
        read_crossed(table)
