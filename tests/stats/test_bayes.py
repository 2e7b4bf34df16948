import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import integrate, stats

from server.stats.bayes import TOO_LARGE, posterior_tail, update_share

counts = st.integers(1, 60).flatmap(lambda n: st.tuples(st.integers(0, n), st.just(n)))
chances = st.sampled_from([1 / 3, 1 / 2, 1 / 10])


# Recomputed independently by truncated beta distributions and by integration over pd. 5 of 6 at
# 1/2 is a worked problem that was read: the counts have probability 1/64 by guessing, prior
# density 2 from 1/2 to 1, factor 20/7.
CASES = {
    (16, 30, 1 / 3): {
        "mean": 0.3006537123,
        "median": 0.2997152852,
        "interval": (0.06048301673, 0.5482430204),
        "bayes_factor": 4.135006519,
        0.2: 0.776808604,
        0.5: 0.05957189244,
    },
    (5, 6, 1 / 2): {
        "mean": 0.54375,
        "median": 0.5665677143,
        "interval": (0.06305885778, 0.9290934648),
        "bayes_factor": 20 / 7,
        0.2: 0.8974609067,
        0.5: 0.5920572917,
    },
    (60, 100, 1 / 2): {
        "mean": 0.2015737213,
        "median": 0.2001716879,
        "interval": (0.03235950701, 0.3822742124),
        "bayes_factor": 1.784059032,
        0.2: 0.5007207827,
        0.5: 0.0004243924924,
    },
}


@pytest.mark.parametrize(("case", "expected"), CASES.items(), ids=["triangle", "six", "hundred"])
def test_posteriors_equal_computed_ones(case, expected):
    found = update_share(*case)
    for name in ("mean", "median", "interval", "bayes_factor"):
        assert getattr(found, name) == pytest.approx(expected[name], rel=1e-8)


@pytest.mark.parametrize("share", [0.2, 0.5])
@pytest.mark.parametrize(("case", "expected"), CASES.items(), ids=["triangle", "six", "hundred"])
def test_probabilities_beyond_a_share_equal_computed_ones(case, expected, share):
    assert posterior_tail(*case, share) == pytest.approx(expected[share], rel=1e-8)


def test_without_the_floor_at_guessing_the_verdict_would_turn():
    # 60 of 100 heads, p uniform from 0 to 1: 0.913 slightly favours the fair coin (a worked
    # problem that was read; P = .010844). With the floor the factor is 1.784.
    no_floor = 1 / 101 / stats.binom.pmf(60, 100, 0.5)
    assert stats.binom.pmf(60, 100, 0.5) == pytest.approx(0.01084386671, rel=1e-9)
    assert no_floor == pytest.approx(0.9130497785, rel=1e-9)
    assert update_share(60, 100, 0.5).bayes_factor > 1 > no_floor


@settings(max_examples=30)
@given(counts, chances)
def test_a_uniform_prior_gives_the_beta_distribution_cut_off_at_chance(count, chance):
    correct, trials = count
    beta = stats.beta(correct + 1, trials - correct + 1)
    for share in (0.1, 0.4, 0.8):
        expected = beta.sf(chance + (1 - chance) * share) / beta.sf(chance)
        assert posterior_tail(correct, trials, chance, share) == pytest.approx(expected, rel=1e-7)


@pytest.mark.parametrize("prior", [(1, 1), (0.5, 0.5), (2, 8), (0.3, 4)])
def test_any_beta_prior_agrees_with_integration(prior):
    def weigh(share):
        pc = 1 / 3 + 2 / 3 * share
        return stats.binom.pmf(11, 24, pc) * stats.beta.pdf(share, *prior)

    whole = integrate.quad(weigh, 0, 1, epsabs=0, limit=200)[0]
    found = update_share(11, 24, 1 / 3, prior)
    mean = integrate.quad(lambda share: share * weigh(share), 0, 1, epsabs=0, limit=200)[0] / whole
    assert found.mean == pytest.approx(mean, rel=1e-6)
    assert found.bayes_factor == pytest.approx(whole / stats.binom.pmf(11, 24, 1 / 3), rel=1e-6)


@settings(max_examples=30)
@given(counts, chances)
def test_one_more_correct_answer_moves_the_belief_up(count, chance):
    correct, trials = count
    here, more = (update_share(k, trials + 1, chance) for k in (correct, correct + 1))
    assert here.median < more.median
    assert here.log_bayes_factor < more.log_bayes_factor


@settings(max_examples=30)
@given(counts, chances, st.floats(0.5, 0.99))
def test_the_interval_holds_its_level(count, chance, level):
    low, high = update_share(*count, chance, level=level).interval
    held = posterior_tail(*count, chance, low) - posterior_tail(*count, chance, high)
    assert held == pytest.approx(level, abs=1e-9)


def test_beliefs_are_right_as_often_as_they_say():
    # pd drawn from the prior, 30 triangles each: the 80 % interval holds pd in 80 % of tests.
    rng = np.random.default_rng(1763)
    shares = rng.uniform(size=2000)
    correct = rng.binomial(30, 1 / 3 + 2 / 3 * shares)
    limits = {k: update_share(int(k), 30, 1 / 3, level=0.8).interval for k in set(correct.tolist())}
    held = [
        limits[k][0] <= u <= limits[k][1] for k, u in zip(correct.tolist(), shares, strict=True)
    ]
    assert abs(np.mean(held) - 0.8) < 4 * (0.16 / 2000) ** 0.5


def test_ten_thousand_answers_far_below_guessing_are_no_trouble():
    found = update_share(100, 10_000, 1 / 2)
    assert 0 < found.interval.low < found.interval.high < 0.001
    assert found.bayes_factor < 0.01


def test_a_factor_too_large_to_write_keeps_its_logarithm():
    found = update_share(10_000, 10_000, 1 / 3)
    assert (found.bayes_factor, found.notes) == (None, (TOO_LARGE,))
    # All correct: the integral of pc^n over pd, over g^n, is (1 - g^(n+1)) / ((n+1) (1-g)) g^-n.
    assert found.log_bayes_factor == pytest.approx(
        10_000 * math.log(3) - math.log(10_001 * 2 / 3), rel=1e-9
    )


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: update_share(7, 6, 1 / 2), "correct must be .* not 7"),
        (lambda: update_share(5, 6, 1), "chance must be .* not 1"),
        (lambda: update_share(5, 6, 1 / 2, (0, 1)), r"prior must be .* not \(0, 1\)"),
        (lambda: update_share(5, 6, 1 / 2, level=1), "level must be .* not 1"),
        (lambda: posterior_tail(5, 6, 1 / 2, 1.5), "share must be .* not 1.5"),
    ],
)
def test_impossible_arguments_are_refused(call, message):
    with pytest.raises(ValueError, match=message):
        call()
