import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import optimize

from server.stats.replicate_likelihood import build_likelihood
from server.stats.replicate_maximum import build_deviance, maximise, maximise_given

THIRD = 1 / 3
FIVES = [0, 1, 1, 1, 1, 2, 2, 2, 2, 2, 3, 3, 4, 5, 5, 5]

panels = st.lists(
    st.integers(1, 6).flatmap(lambda n: st.tuples(st.integers(0, n), st.just(n))),
    min_size=2,
    max_size=12,
)
chances = st.sampled_from([0.0, THIRD])


def build(panel, chance):
    return build_likelihood([k for k, _ in panel], [n for _, n in panel], chance)


@given(panels, chances)
def test_no_point_of_a_fine_net_is_above_the_maximum(panel, chance):
    likelihood = build(panel, chance)
    net = np.linspace(0, 1, 41)
    highest = likelihood.log_likelihood(net[:, None], net).max()
    top = maximise(likelihood)
    assert top.log_likelihood >= highest - 1e-10
    assert top.log_likelihood == pytest.approx(
        float(likelihood.log_likelihood(top.mean, top.gamma)), abs=1e-9
    )


@pytest.mark.parametrize("chance", [0.0, THIRD])
def test_the_maximum_equals_that_of_a_general_optimiser(chance):
    # scipy.optimize, L-BFGS-B from five starts.
    likelihood = build_likelihood(FIVES, [5] * 16, chance)
    found = [
        optimize.minimize(
            lambda place: -likelihood.log_likelihood(*place),
            start,
            jac=lambda place: -likelihood.expand(*place)[1],
            bounds=[(1e-6, 1 - 1e-6), (0, 1 - 1e-6)],
            method="L-BFGS-B",
            options={"ftol": 1e-15, "gtol": 1e-9},
        )
        for start in ((0.2, 0.2), (0.5, 0.5), (0.8, 0.8), (0.2, 0.8), (0.8, 0.2))
    ]
    best = min(found, key=lambda result: result.fun)
    top = maximise(likelihood)
    assert (top.mean, top.gamma) == pytest.approx(tuple(best.x), abs=1e-5)
    assert top.log_likelihood == pytest.approx(-best.fun, abs=1e-9)


def test_the_gradient_vanishes_at_an_inner_maximum():
    likelihood = build_likelihood(FIVES, [5] * 16, THIRD)
    top = maximise(likelihood)
    assert likelihood.expand(top.mean, top.gamma)[1] == pytest.approx([0, 0], abs=1e-6)


@given(panels, chances, st.floats(0.02, 0.98))
def test_no_other_value_is_better_where_one_parameter_is_held(panel, chance, held):
    likelihood = build(panel, chance)
    along = np.linspace(0, 1, 201)
    by_mean = maximise_given(likelihood, "mean", held)
    by_gamma = maximise_given(likelihood, "gamma", held)
    assert by_mean.mean == held
    assert by_gamma.gamma == held
    assert by_mean.log_likelihood >= likelihood.log_likelihood(held, along).max() - 1e-10
    assert by_gamma.log_likelihood >= likelihood.log_likelihood(along, held).max() - 1e-10


@pytest.mark.parametrize(
    ("answers", "chance", "mean", "gamma"),
    [
        # Closed forms: the binomial estimate (pc, or (pc - 1/3) / (2/3), not below 0) where
        # people are too alike; the share of people always right where all are all or none.
        ([2, 2, 2, 2], 0.0, 1 / 2, 0.0),
        ([2, 2, 2, 2], THIRD, 1 / 4, 0.0),
        ([1, 1, 1, 1], THIRD, 0.0, 0.0),
        ([0, 0, 0], 0.0, 0.0, 0.0),
        ([4, 4, 4], 0.0, 1.0, 0.0),
        ([4, 4, 4], THIRD, 1.0, 0.0),
        ([0, 4, 4], 0.0, 2 / 3, 1.0),
        # Of two people who are all or none the corrected one knows: k = 4 may be guessed.
        ([0, 4], THIRD, (1 / 2 - THIRD**4) / (1 - THIRD**4), 1.0),
    ],
)
def test_maxima_at_edges_are_found(answers, chance, mean, gamma):
    top = maximise(build_likelihood(answers, [4] * len(answers), chance))
    assert (top.mean, top.gamma) == pytest.approx((mean, gamma), abs=1e-8)


def test_answers_and_misses_change_places_in_the_plain_model():
    misses = [5 - k for k in FIVES]
    top = maximise(build_likelihood(FIVES, [5] * 16, 0.0))
    turned = maximise(build_likelihood(misses, [5] * 16, 0.0))
    assert (1 - turned.mean, turned.gamma) == pytest.approx((top.mean, top.gamma), abs=1e-8)


def test_what_is_impossible_has_no_likelihood():
    likelihood = build_likelihood([1, 2], [4, 4], 0.0)
    assert maximise_given(likelihood, "mean", 1.0).log_likelihood == -math.inf
    assert maximise_given(likelihood, "gamma", 1.0).log_likelihood == -math.inf


def test_the_deviance_of_what_is_impossible_is_large_but_finite():
    likelihood = build_likelihood([1, 2], [4, 4], 0.0)
    deviance = build_deviance(likelihood, maximise(likelihood), "mean")
    assert 20 < deviance(1.0) < math.inf
