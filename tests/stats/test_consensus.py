import dataclasses
import json

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from server.stats.consensus import NO_DIFFERENCES, TOO_FEW, find_consensus
from server.stats.procrustes import turn

NAMES = tuple("abcdefgh")


def draw(seed, assessors=4, samples=6, columns=3):
    return list(np.random.default_rng(seed).normal(size=(assessors, samples, columns)))


def find(configurations, scaled=False):
    samples = [f"sample {at}" for at in range(len(configurations[0]))]
    return find_consensus(configurations, NAMES[: len(configurations)], samples, scaled)


def turn_anyhow(configurations, seed):
    """Rotate, reflect and move every configuration."""
    rng = np.random.default_rng(seed)
    width = configurations[0].shape[1]
    return [
        one @ np.linalg.qr(rng.normal(size=(width, width)))[0] + rng.normal(size=width)
        for one in configurations
    ]


@pytest.mark.parametrize("columns", [1, 2, 5])
def test_one_shape_turned_and_reflected_is_full_consensus(columns):
    shape = draw(1, columns=columns)[0]
    found = find(turn_anyhow([shape] * 4, seed=2))
    assert (found.ratio, found.residual) == pytest.approx((1.0, 0.0), abs=1e-9)


def test_one_shape_stretched_is_full_consensus_with_the_scales_that_undo_it():
    shape, sizes = draw(3)[0], np.array([1.0, 2.0, 0.5, 4.0])
    found = find(turn_anyhow([size * shape for size in sizes], seed=4), scaled=True)
    scales = np.array(found.scales)
    assert found.ratio == pytest.approx(1, abs=1e-9)
    assert scales * sizes == pytest.approx(np.full(4, scales[0]), rel=1e-6)


@pytest.mark.parametrize("scaled", [False, True])
@given(seed=st.integers(0, 10_000))
def test_sums_of_squares_add_up_and_the_total_is_kept(seed, scaled):
    configurations = draw(seed)
    found = find(configurations, scaled)
    total = sum(((one - one.mean(axis=0)) ** 2).sum() for one in configurations)
    assert found.total == pytest.approx(total)
    assert found.consensus + found.residual == pytest.approx(total)
    assert (np.array(found.turned) ** 2).sum() <= total * (1 + 1e-9)


@given(st.integers(0, 10_000))
def test_parts_of_the_residual_add_up(seed):
    found = find(draw(seed))
    assert sum(found.residual_by_assessor) == pytest.approx(found.residual)
    assert sum(found.residual_by_sample) == pytest.approx(found.residual)


@given(st.integers(0, 10_000))
def test_two_configurations_give_half_their_procrustes_distance(seed):
    # The mean lies half way: residual = 2 (d/2)² = d²/2 for the least sum of squared distances d².
    one, other = draw(seed, assessors=2)
    assert find([one, other]).residual == pytest.approx(turn(one, other).residual / 2, rel=1e-6)


@pytest.mark.parametrize("scaled", [False, True])
@pytest.mark.parametrize("seed", range(5))
def test_turning_the_configurations_beforehand_changes_nothing(seed, scaled):
    configurations = draw(seed)
    found, again = find(configurations, scaled), find(turn_anyhow(configurations, 7), scaled)
    assert again.ratio == pytest.approx(found.ratio, rel=1e-6)


@given(st.integers(0, 10_000))
def test_no_configuration_can_be_turned_closer_to_the_others(seed):
    # What ten Berge (1977) asks of a solution: each is turned best onto the sum of the others.
    turned = np.array(find(draw(seed)).turned)
    for place, one in enumerate(turned):
        overlap = (turned.sum(axis=0) - one).T @ one
        expected = np.linalg.svd(overlap, compute_uv=False).sum()
        assert np.trace(overlap) == pytest.approx(expected, rel=1e-5), place


@given(st.integers(0, 10_000))
def test_stretching_never_lowers_the_consensus(seed):
    configurations = draw(seed)
    assert find(configurations, scaled=True).ratio >= find(configurations).ratio - 1e-6


def test_eigenvalues_are_variances_of_the_mean_configuration():
    found = find(draw(8))
    scores = np.array(found.scores)
    assert scores.var(axis=0, ddof=1) == pytest.approx(found.eigenvalues)
    assert np.mean(found.turned, axis=0) == pytest.approx(scores)


def test_personal_words_may_differ_in_number():
    shape = draw(9, columns=2)[0]
    wider = np.c_[shape, np.zeros(len(shape))]
    found = find([shape, *turn_anyhow([wider, wider], seed=1)])
    assert found.ratio == pytest.approx(1, abs=1e-9)
    assert [len(one) for one in found.correlations] == [2, 3, 3]


def test_correlations_are_those_of_own_words_with_the_axes():
    configurations = draw(10)
    found = find(configurations)
    expected = np.corrcoef(configurations[1][:, 0], np.array(found.scores)[:, 0])[0, 1]
    assert found.correlations[1][0][0] == pytest.approx(expected)


def test_who_found_no_differences_is_left_out_by_name():
    configurations = [*draw(11, assessors=3), np.full((6, 2), 0.1)]
    found = find(configurations)
    assert (found.assessors, found.notes) == (("a", "b", "c"), (NO_DIFFERENCES.format("d"),))
    assert found.ratio == pytest.approx(find(configurations[:3]).ratio)


@pytest.mark.parametrize("scaled", [False, True])
def test_one_assessor_has_no_consensus_and_a_reason(scaled):
    found = find(draw(12, assessors=1), scaled)
    assert (found.ratio, found.notes) == (None, (TOO_FEW,))


@pytest.mark.parametrize("scaled", [False, True])
@pytest.mark.parametrize("shape", [(2, 2, 1), (3, 2, 5), (2, 6, 9), (8, 3, 2)])
def test_edges_give_strict_json(shape, scaled):
    found = find(draw(13, *shape), scaled)
    assert json.dumps(dataclasses.asdict(found), allow_nan=False)


@pytest.mark.parametrize(
    ("assessors", "last", "message"),
    [
        ("ab", 3.0, "configurations must be one of each of 2 assessors, one or more, not 1"),
        ("a", 3.0, "configurations must have a row for each of 2 samples, not 3"),
        ("a", float("nan"), "configurations must be finite, not nan"),
    ],
)
def test_bad_arguments_are_named(assessors, last, message):
    with pytest.raises(ValueError, match=message):
        find_consensus([[[1.0], [2.0], [last]]], assessors, "XY")
