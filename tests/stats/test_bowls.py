"""Bowls of one sample: which of them stands apart, and with what risk."""

from itertools import product

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from server.stats.bowls import NO_BOWLS, NO_ERROR, NO_SPREAD, ONE_BOWL, compare_bowls
from server.stats.ratings import Ratings, build_ratings


def build(values: "np.ndarray[tuple[int, int, int], np.dtype[np.float64]]") -> Ratings:
    """Ratings of shape (samples, assessors, bowls); NaN is missing."""
    rows = [
        (f"a{i}", f"S{j}", f"S{j}b{k}", float(values[j, i, k]))
        for j, i, k in product(*map(range, values.shape))
        if np.isfinite(values[j, i, k])
    ]
    who, what, bowl, value = zip(*rows, strict=True)
    return build_ratings(who, what, value, bowl)


def draw(
    seed: int, shape: tuple[int, int, int] = (3, 6, 4), bowl: float = 0.0
) -> "np.ndarray[tuple[int, int, int], np.dtype[np.float64]]":
    rng = np.random.default_rng(seed)
    samples, people, bowls = shape
    return np.asarray(
        rng.normal(0, 2, (samples, people, 1))
        + rng.normal(0, bowl, (samples, 1, bowls))
        + rng.normal(0, 1, shape)
    )


def fit_general(ratings: Ratings) -> "tuple[object, object]":
    """The same model by a general library: assessors within samples, bowls within samples."""
    import pandas as pd
    from statsmodels.formula.api import ols
    from statsmodels.stats.anova import anova_lm

    assert ratings.bowl is not None
    table = pd.DataFrame(
        {"y": ratings.value, "cell": ratings.assessor * 100 + ratings.sample, "bowl": ratings.bowl}
    )
    # Dummies without redundant columns: one bowl of each sample is left out.
    first = set(dict(zip(ratings.sample, ratings.bowl, strict=True)).values())
    for bowl in range(len(ratings.bowls)):
        if bowl not in first:
            table[f"b{bowl}"] = (ratings.bowl == bowl).astype(float)
    columns = " + ".join(name for name in table if name.startswith("b") and name != "bowl")
    less = ols("y ~ C(cell)", table).fit()
    more = ols(f"y ~ C(cell) + {columns}", table).fit()
    return anova_lm(less, more), more


@pytest.mark.parametrize("seed", [1, 2])
def test_the_test_of_bowls_is_that_of_a_general_library(seed: int) -> None:
    ratings = build(draw(seed, bowl=0.5))
    compared, _ = fit_general(ratings)
    found = compare_bowls(ratings).test
    assert found is not None
    assert found.f == pytest.approx(compared["F"][1], rel=1e-9)
    assert found.p_value == pytest.approx(compared["Pr(>F)"][1], rel=1e-7)


def test_gaps_are_fitted_as_a_general_library_fits_them() -> None:
    values = draw(3, bowl=0.5)
    values[0, 1, 2] = values[1, 4, 0] = values[2, 0, 3] = np.nan
    ratings = build(values)
    compared, more = fit_general(ratings)
    found = compare_bowls(ratings)
    assert found.test is not None
    assert found.test.f == pytest.approx(compared["F"][1], rel=1e-9)
    assert found.error == pytest.approx(more.mse_resid**0.5, rel=1e-9)


# With two bowls the comparison with "the others" is the paired t test, here of Student's
# own sleep data (Biometrika 6, 1908; ten patients, two drugs): t = 4.0621, p = .00283.
def test_two_bowls_are_a_paired_t_test() -> None:
    first = (0.7, -1.6, -0.2, -1.2, -0.1, 3.4, 3.7, 0.8, 0.0, 2.0)
    second = (1.9, 0.8, 1.1, 0.1, -0.1, 4.4, 5.5, 1.6, 4.6, 3.4)
    found = compare_bowls(build(np.array([np.transpose([first, second])])))
    assert found.bowls[1].t == pytest.approx(4.0621, abs=5e-5)
    assert found.bowls[1].p_value == pytest.approx(0.00283, abs=5e-6)
    assert found.bowls[1].distance == pytest.approx(1.58)


@pytest.mark.parametrize("panels", [12, pytest.param(30, marks=pytest.mark.long)])
def test_the_spread_of_bowls_is_free_of_the_panels_own_error(panels: int) -> None:
    spreads = [
        compare_bowls(build(draw(seed, (4, 8, 5), bowl=1.5))).spread or 0 for seed in range(panels)
    ]
    error = 0.86 / panels**0.5  # by simulation, single squares stray so much
    assert np.mean(np.square(spreads)) == pytest.approx(1.5**2, abs=2.5 * error)


def count_false_alarms(tables: int) -> int:
    return sum(bool(compare_bowls(build(draw(seed, (3, 5, 3)))).apart) for seed in range(tables))


# Alike bowls are set apart in at most 5 of 100 tables: of 60 tables at most 3 on average, and
# more than 8 with a chance of .002 (binomial).
def test_alike_bowls_are_hardly_ever_set_apart() -> None:
    assert count_false_alarms(60) <= 8


# Of 2,000 at most 100 on average, standard deviation 9.7.
@pytest.mark.long
def test_alike_bowls_are_set_apart_no_more_often_than_the_risk_allows() -> None:
    assert 40 < count_false_alarms(2000) < 130


def test_an_odd_bowl_is_found_and_its_neighbours_are_not() -> None:
    values = draw(5, (4, 8, 5))
    values[2, :, 3] -= 4
    assert compare_bowls(build(values)).apart == ("S2b3",)


@given(st.integers(0, 500), st.floats(-5, 5), st.floats(0.1, 9))
def test_shifting_and_stretching_the_scale_changes_no_test(
    seed: int, shift: float, factor: float
) -> None:
    values = draw(seed, (2, 3, 3), bowl=0.5)
    plain, other = (compare_bowls(build(one)) for one in (values, shift + factor * values))
    assert [one.t for one in other.bowls] == pytest.approx([one.t for one in plain.bowls])


@given(st.integers(0, 500))
def test_what_an_assessor_thinks_of_a_sample_says_nothing_of_its_bowls(seed: int) -> None:
    values = draw(seed, (2, 3, 3), bowl=0.5)
    moved = values + np.random.default_rng(seed).normal(0, 5, (2, 3, 1))
    plain, other = (compare_bowls(build(one)) for one in (values, moved))
    assert [one.distance for one in other.bowls] == pytest.approx(
        [one.distance for one in plain.bowls]
    )


@pytest.mark.parametrize(
    ("values", "note"),
    [
        ([[[5.0]], [[6.0]]], ONE_BOWL),
        ([[[5.0, 6.0, 4.0]]], NO_ERROR),
        ([[[5.0, 6.0], [7.0, 8.0]]], NO_SPREAD),
        ([[[5.0, np.nan], [np.nan, 8.0]]], ONE_BOWL),
    ],
)
def test_what_cannot_be_tested_says_why(values: object, note: str) -> None:
    found = compare_bowls(build(np.array(values)))
    assert (found.test, found.apart, found.notes) == (None, (), (note,))


def test_one_person_still_sees_how_far_a_bowl_lies_from_the_others() -> None:
    found = compare_bowls(build(np.array([[[5.0, 6.0, 1.0]]])))
    assert [one.distance for one in found.bowls] == pytest.approx([1.5, 3.0, -4.5])
    assert {one.t for one in found.bowls} == {None}


def test_own_cups_have_no_bowls() -> None:
    found = compare_bowls(build_ratings(["ann", "bo"], ["X", "X"], [1, 2]))
    assert found.notes == (NO_BOWLS,)


def test_a_level_out_of_range_is_refused() -> None:
    with pytest.raises(ValueError, match="alpha"):
        compare_bowls(build(draw(1)), alpha=0)
