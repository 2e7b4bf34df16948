import numpy as np
import pytest
from scipy import stats

from server.stats.assessors import analyse_assessors
from server.stats.ratings import Ratings, build_ratings
from server.stats.subsets import leave_out
from server.stats.upside_down import BEYOND, BY_ARITHMETIC, CHANCE, find_upside_down

SAMPLES = np.array([2.0, 3, 5, 6, 8, 9])


def build(rows: np.ndarray) -> Ratings:
    people = [f"a{i}" for i, _ in np.ndindex(rows.shape)]
    names = [f"s{j}" for _, j in np.ndindex(rows.shape)]
    return build_ratings(people, names, rows.ravel().tolist())


@pytest.fixture
def reversed_panel() -> Ratings:
    rows = SAMPLES + np.random.default_rng(6).normal(0, 0.5, size=(6, 6))
    rows[4] = 10 - rows[4]
    return build(rows)


def test_who_uses_the_scale_the_other_way_round_is_named(reversed_panel):
    [found] = find_upside_down(analyse_assessors(reversed_panel))
    assert found.assessor == "a4"
    assert found.reason.startswith("a4 goes against the rest of the panel: r = -")
    assert found.reason.endswith(f"on 6 samples{BEYOND}.")


def test_pointing_out_drops_nobody(reversed_panel):
    found = analyse_assessors(reversed_panel)
    find_upside_down(found)
    assert len(found.assessors) == 6


def test_without_them_nobody_is_left_upside_down(reversed_panel):
    assert find_upside_down(analyse_assessors(leave_out(reversed_panel, "a4"))) == ()


def test_the_p_value_is_one_sided_of_a_correlation(reversed_panel):
    means = reversed_panel.means()
    rest = np.delete(means, 4, axis=0).mean(axis=0)
    expected = stats.pearsonr(means[4], rest, alternative="less")
    [found] = find_upside_down(analyse_assessors(reversed_panel))
    assert (found.r, found.p_value) == pytest.approx((expected.statistic, expected.pvalue))


def test_a_weak_negative_agreement_may_be_chance():
    rows = np.array([SAMPLES, SAMPLES + 1, SAMPLES - 1, [5.0, 5, 6, 4, 5, 5]])
    [found] = find_upside_down(analyse_assessors(build(rows)))
    assert found.p_value > 0.05
    assert found.reason.endswith(f"{CHANCE}.")


def test_the_worst_stands_first():
    rows = np.array([SAMPLES, *[SAMPLES] * 4, [5.0, 5, 6, 4, 5, 5], -SAMPLES])
    assert [one.assessor for one in find_upside_down(analyse_assessors(build(rows)))] == [
        "a6",
        "a5",
    ]


def test_perfect_reversal_has_probability_zero():
    rows = np.array([SAMPLES, SAMPLES, SAMPLES, -SAMPLES])
    [found] = find_upside_down(analyse_assessors(build(rows)))
    assert found.p_value == pytest.approx(0, abs=1e-12)


def test_two_samples_prove_nothing():
    found = find_upside_down(analyse_assessors(build(np.array([[1.0, 3], [2, 5], [4, 3.5]]))))
    assert found[0].p_value is None
    assert BY_ARITHMETIC in found[0].reason
