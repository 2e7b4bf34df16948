import dataclasses
import json
import math
from statistics import NormalDist

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from server.stats.results import Interval
from server.stats.shares import (
    BELOW_GUESSING,
    NORMAL_AT_THE_ENDS,
    NORMAL_SMALL,
    UPPER_BELOW_GUESSING,
    fold_interval,
    share_limits,
)

THIRD = 1 / 3
CHANCES = (1 / 2, 1 / 3, 1 / 6, 1 / 10)

counts = st.integers(1, 300).flatmap(lambda n: st.tuples(st.integers(0, n), st.just(n)))

# Triangle, one-sided: the normal form of ISO 4120 and ASTM E1885 (form from memory) and exact
# limits of Clopper & Pearson, mapped; both computed independently of this project.
# Columns: correct, trials, level, share, standard error, normal lower and upper, exact ones.
ONE_SIDED = [
    (8, 12, 0.95, 0.50000000, 0.20412415, 0.16424566, 0.83575434, 0.08629345, 0.81572401),
    (30, 60, 0.95, 0.25000000, 0.09682458, 0.09073773, 0.40926227, 0.08111644, 0.41888356),
    (18, 48, 0.90, 0.06250000, 0.10481569, -0.07182671, 0.19682671, 0.00000000, 0.21641729),
    (12, 21, 0.95, 0.35714286, 0.16198477, 0.09070161, 0.62358410, 0.05785171, 0.63250834),
]


@pytest.mark.parametrize("row", ONE_SIDED)
def test_the_normal_form_equals_computed_limits(row):
    correct, trials, level, share, error, lower, upper, _, _ = row
    found = share_limits(correct, trials, THIRD, level, form="normal")
    assert (found.raw.share, found.standard_error) == pytest.approx((share, error), abs=5e-9)
    assert (found.raw.lower, found.raw.upper) == pytest.approx((lower, upper), abs=5e-9)


@pytest.mark.parametrize("row", ONE_SIDED)
def test_exact_limits_equal_computed_ones(row):
    correct, trials, level, *_, lower, upper = row
    found = share_limits(correct, trials, THIRD, level).bounded
    assert (found.lower, found.upper) == pytest.approx((lower, upper), abs=5e-9)


def test_14_of_24_has_the_normal_limits_of_the_worked_example():
    # In the manner of ASTM E1885: counts and share from memory, limits recomputed.
    found = share_limits(14, 24, THIRD, form="normal").raw
    assert (found.share, found.lower, found.upper) == pytest.approx(
        (0.375, 0.12670632, 0.62329368), abs=5e-9
    )


@pytest.mark.parametrize("counts", [(8, 12), (30, 60), (18, 48), (1, 90)])
def test_the_normal_form_is_the_formula_the_standards_print(counts):
    # ISO 4120 for chance 1/3, ISO 5495 for chance 1/2 (the latter read in a national edition).
    x, n = counts
    z = NormalDist().inv_cdf(0.95)
    spread = z * math.sqrt((n * x - x**2) / n**3)
    triangle = share_limits(x, n, THIRD, form="normal").raw
    paired = share_limits(x, n, 0.5, form="normal").raw
    assert triangle.upper == pytest.approx((1.5 * x / n - 0.5) + 1.5 * spread, abs=1e-12)
    assert paired.lower == pytest.approx((2 * x / n - 1) - 2 * spread, abs=1e-12)


@given(counts, st.sampled_from(CHANCES), st.floats(0.5, 0.999))
def test_exact_limits_are_those_of_the_reference_library_mapped(count, chance, level):
    # scipy.stats.binomtest, method "exact".
    reference = stats.binomtest(*count).proportion_ci(level, method="exact")
    mapped = [(pc - chance) / (1 - chance) for pc in reference]
    found = share_limits(*count, chance, level).raw
    assert [found.low, found.high] == pytest.approx(mapped, abs=1e-9)


@pytest.mark.parametrize("form", ["exact", "normal"])
@pytest.mark.parametrize("folded", [False, True])
@given(count=counts)
def test_bounds_lie_from_0_to_1_around_the_share(form, folded, count):
    found = share_limits(*count, 0.5, form=form, folded=folded).bounded
    if found.high is not None:
        assert 0 <= found.low <= found.share <= found.high <= 1


@pytest.mark.parametrize("form", ["exact", "normal"])
@given(count=counts)
def test_whatever_is_missing_has_a_sentence(form, count):
    found = share_limits(*count, THIRD, form=form)
    missing = None in dataclasses.astuple(found.bounded)
    assert missing == bool(set(found.notes) - {NORMAL_SMALL})


@pytest.mark.parametrize("form", ["exact", "normal"])
@given(count=counts)
def test_folded_limits_do_not_ask_which_sample_was_counted(form, count):
    correct, trials = count
    one = share_limits(correct, trials, 0.5, form=form, folded=True).bounded
    other = share_limits(trials - correct, trials, 0.5, form=form, folded=True).bounded
    assert dataclasses.astuple(one) == pytest.approx(dataclasses.astuple(other), abs=1e-9)


@pytest.mark.parametrize(
    ("raw", "folded"),
    [
        ((0.25, 0.5), (0.25, 0.5)),
        ((-0.5, -0.25), (0.25, 0.5)),
        ((-0.5, 0.25), (0, 0.5)),
        ((-0.25, 1.5), (0, 1)),
    ],
)
def test_limits_fold_at_nothing(raw, folded):
    assert fold_interval(Interval(*raw)) == folded


def test_a_negative_share_is_kept_raw_beside_the_floored_one():
    found = share_limits(5, 24, THIRD)
    assert found.raw.share == pytest.approx(-0.1875)
    assert (found.bounded.share, found.bounded.low) == (0, 0)


def test_far_below_guessing_the_bounds_are_missing_but_the_raw_limits_stand():
    found = share_limits(0, 24, THIRD)
    assert (found.bounded.low, found.bounded.high, found.bounded.upper) == (None, None, None)
    assert found.raw.high < 0
    assert found.notes == (BELOW_GUESSING,)


def test_the_one_sided_upper_limit_alone_may_be_below_guessing():
    found = share_limits(3, 22, THIRD, level=0.95)
    assert found.notes == (UPPER_BELOW_GUESSING,)
    assert found.bounded.upper is None
    assert found.bounded.high > 0


@pytest.mark.parametrize("correct", [0, 24])
def test_the_normal_form_gives_nothing_at_the_ends(correct):
    found = share_limits(correct, 24, THIRD, form="normal")
    assert (found.raw.low, found.raw.upper, found.standard_error) == (None, None, None)
    assert found.notes == (NORMAL_AT_THE_ENDS,)


def test_the_normal_form_may_pass_1_and_is_capped_there():
    found = share_limits(11, 12, THIRD, form="normal")
    assert found.raw.high > 1
    assert found.bounded.high == 1
    assert found.notes == (NORMAL_SMALL,)


@pytest.mark.parametrize("share", [0.0, 0.2, 0.6])
def test_exact_limits_cover_the_true_share_at_least_as_often_as_they_say(share):
    # Every possible result of 40 triangles, weighted by its probability.
    pc = THIRD + share * 2 / 3
    weights = stats.binom.pmf(range(41), 40, pc)
    limits = [share_limits(correct, 40, THIRD, 0.9).raw for correct in range(41)]
    both = sum(w for w, x in zip(weights, limits, strict=True) if x.low <= share <= x.high)
    upper = sum(w for w, x in zip(weights, limits, strict=True) if share <= x.upper)
    assert min(both, upper) >= 0.9


@pytest.mark.parametrize("pc", [0.35, 0.5, 0.55, 0.8])
def test_folded_limits_cover_the_true_distance_at_least_as_often_as_they_say(pc):
    # A simulation of 20,000 paired comparisons of 40 answers; every count is analysed once.
    seen = np.bincount(np.random.default_rng(7).binomial(40, pc, 20_000), minlength=41) / 20_000
    truth = abs(2 * pc - 1)
    found = [share_limits(correct, 40, 0.5, 0.9, folded=True).bounded for correct in range(41)]
    lower = sum(w for w, x in zip(seen, found, strict=True) if x.lower <= truth)
    upper = sum(w for w, x in zip(seen, found, strict=True) if truth <= x.upper)
    assert min(lower, upper) >= 0.9 - 0.007


def test_normal_limits_may_fall_short_of_their_level_where_exact_ones_hold():
    # Why exact is the rule: of all results of 30 triangles at a true share of 0.1, the normal
    # form's one-sided upper 95 % limit covers it in 90.6 %.
    weights = stats.binom.pmf(range(31), 30, THIRD + 0.1 * 2 / 3)
    cover = {"exact": 0.0, "normal": 0.0}
    for form in cover:
        for correct in range(1, 30):
            upper = share_limits(correct, 30, THIRD, form=form).raw.upper
            cover[form] += weights[correct] * (upper >= 0.1)
    assert cover["exact"] >= 0.95
    assert cover["normal"] == pytest.approx(0.906, abs=5e-4)


def test_limits_become_strict_json():
    found = share_limits(0, 24, THIRD, form="normal")
    assert json.loads(json.dumps(dataclasses.asdict(found), allow_nan=False))["correct"] == 0


def test_limits_of_ten_thousand_answers_are_near_the_normal_form():
    exact = share_limits(5000, 10_000, THIRD).raw
    normal = share_limits(5000, 10_000, THIRD, form="normal").raw
    assert dataclasses.astuple(exact) == pytest.approx(dataclasses.astuple(normal), abs=1e-4)


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: share_limits(13, 12, THIRD), "correct .* not 13"),
        (lambda: share_limits(1, 0, THIRD), "trials .* not 0"),
        (lambda: share_limits(1, 12, 1.0), "chance .* not 1.0"),
        (lambda: share_limits(1, 12, THIRD, 95), "level .* not 95"),
        (lambda: share_limits(1, 12, THIRD, form="score"), "form .* not score"),
        (lambda: share_limits(1, 12, THIRD, folded=True), "chance must be 0.5 .* not 0.333"),
    ],
)
def test_impossible_arguments_are_refused_by_name_and_value(call, message):
    with pytest.raises(ValueError, match=message):
        call()
