import json
import math
from dataclasses import asdict
from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import special, stats

from server.stats.bayes import (
    BEYOND_NUMBERS,
    DEPENDS_ON_PRIOR,
    FEWER_THAN_GUESSING,
    INDEPENDENT,
    Prior,
    describe_posterior,
)
from server.stats.binomial import distribution, p_value
from server.stats.thurstone import share_from_pc

THIRD = 1 / 3
CHANCES = (1 / 2, 1 / 3, 1 / 6, 1 / 10)

counts = st.integers(1, 60).flatmap(lambda n: st.tuples(st.integers(0, n), st.just(n)))
chances = st.sampled_from(CHANCES)
priors = st.builds(Prior, st.floats(0.3, 20), st.floats(0.3, 20))
# 16 of 30 at chance 1/3 and 60 of 100 at 1/2: computed twice, by the cut-off beta distribution
# and by numerical integration. 5 of 6 at 1/2: the setting of a worked problem that was read
# (prior density 2 from 1/2 to 1, answers as probable as 1/64 under guessing), values recomputed.
COMPUTED = [
    (16, 30, THIRD),
    (5, 6, 0.5),
    (60, 100, 0.5),
]


@pytest.mark.parametrize(
    ("counted", "mean", "median", "low", "high"),
    [
        (COMPUTED[0], 0.3006537123, 0.2997152852, 0.06048301673, 0.5482430204),
        (COMPUTED[1], 0.54375, 0.5665677143, 0.06305885778, 0.9290934648),
        (COMPUTED[2], 0.2015737213, 0.2001716879, 0.03235950701, 0.3822742124),
    ],
)
def test_the_posterior_equals_computed_values(counted, mean, median, low, high):
    found = describe_posterior(*counted)
    assert (found.mean, found.median) == pytest.approx((mean, median), abs=5e-11)
    assert found.interval == pytest.approx((low, high), abs=5e-11)


@pytest.mark.parametrize(
    ("counted", "above", "far_above"),
    [
        (COMPUTED[0], 0.776808604, 0.05957189244),
        (COMPUTED[1], 0.8974609067, 0.5920572917),
        (COMPUTED[2], 0.5007207827, 0.0004243924924),
    ],
)
def test_exceedances_equal_computed_values(counted, above, far_above):
    found = describe_posterior(*counted, limits=[0.2, 0.5]).above
    assert [x.probability for x in found] == pytest.approx([above, far_above], rel=1e-9)
    assert [x.share for x in found] == [0.2, 0.5]


@pytest.mark.parametrize(
    ("counted", "factor"),
    [(COMPUTED[0], 4.135006519), (COMPUTED[1], 20 / 7), (COMPUTED[2], 1.784059032)],
)
def test_the_bayes_factor_equals_a_computed_value(counted, factor):
    assert describe_posterior(*counted).bayes_factor == pytest.approx(factor, rel=1e-9)


@pytest.mark.parametrize(
    ("counted", "share", "p"),
    [
        (COMPUTED[0], 0.3, 0.01879500123),
        (COMPUTED[1], 0.6666666667, 0.109375),
        (COMPUTED[2], 0.2, 0.02844396682),
    ],
)
def test_the_estimate_and_the_exact_p_beside_it_equal_computed_values(counted, share, p):
    correct, trials, chance = counted
    assert share_from_pc(correct / trials, chance) == pytest.approx(share, rel=1e-9)
    assert p_value(correct, trials, chance) == pytest.approx(p, rel=1e-9)


def test_sixty_heads_of_a_hundred_are_as_probable_as_printed():
    # A lecture's worked example of a fair coin, read: 0.010844 (0.01084386671 recomputed).
    assert distribution(100, 0.5)[60] == pytest.approx(0.01084386671, rel=1e-9)


def test_without_the_guessing_floor_the_same_answers_speak_for_guessing():
    # The same example, read: with p uniform from 0 to 1 the factor is below 1 (0.9130497785
    # recomputed). That prior is uniform above 1/2 with probability a half and below it as well,
    # and 60 correct below 1/2 are 40 above, so it is the mean of two of our factors.
    with_floor = [describe_posterior(k, 100, 0.5).bayes_factor for k in (60, 40)]
    assert np.mean(with_floor) == pytest.approx(0.9130497785, rel=1e-9)
    assert with_floor[0] > 1


def test_cutting_off_draws_below_guessing_is_another_posterior():
    # Draws of Beta(x + 1, n - x + 1) set to guessing where below it, as is sometimes done,
    # heap up at 0; here a sixth of them and more for 9 of 24 triangles.
    draws = np.random.default_rng(4).beta(10, 16, 100_000)
    cut = np.maximum((draws - THIRD) / (1 - THIRD), 0)
    found = describe_posterior(9, 24, THIRD)
    assert np.mean(cut == 0) > 1 / 6
    assert found.interval.low > 0
    assert found.mean > cut.mean() + 0.02


@given(counts, chances, st.floats(0.01, 0.99))
def test_with_a_uniform_prior_it_is_a_beta_distribution_cut_off_at_guessing(count, chance, share):
    # scipy.stats.beta
    correct, trials = count
    found = describe_posterior(correct, trials, chance, limits=[share])
    whole = stats.beta(correct + 1, trials - correct + 1)
    expected = whole.sf(chance + (1 - chance) * share) / whole.sf(chance)
    assert found.above[0].probability == pytest.approx(expected, rel=1e-8, abs=1e-12)


@given(counts, chances, priors)
def test_the_mean_equals_an_integration(count, chance, prior):
    # scipy.special.roots_jacobi: a Gauss rule with the prior as its weight is exact for
    # polynomials of degree 2 x 40 - 1, and the likelihood times the share has 61 at most.
    correct, trials = count
    nodes, weights = special.roots_jacobi(40, prior.b - 1, prior.a - 1)
    shares = (nodes + 1) / 2
    weights = weights * (chance + (1 - chance) * shares) ** correct
    weights = weights * (1 - shares) ** (trials - correct)
    found = describe_posterior(correct, trials, chance, prior)
    assert found.mean == pytest.approx(weights @ shares / weights.sum(), rel=1e-8)


@pytest.mark.parametrize(("correct", "prior"), [(3, (1, 1)), (3, (2, 3)), (0, (1, 4)), (5, (3, 1))])
def test_mean_and_factor_equal_exact_fractions(correct, prior):
    # 5 answers at chance 1/3 and a prior with whole parameters: polynomials, integrated exactly.
    chance, a, b = Fraction(1, 3), *prior

    def integrate_power(power):  # of share^power times likelihood and prior density
        total = Fraction()
        for j in range(correct + 1):
            ways = math.comb(correct, j) * chance ** (correct - j) * (1 - chance) ** j
            ways *= (1 - chance) ** (5 - correct)
            up, down = a + j + power, b + 5 - correct
            total += ways * Fraction(
                math.factorial(up - 1) * math.factorial(down - 1), math.factorial(up + down - 1)
            )
        return total * Fraction(
            math.factorial(a + b - 1), math.factorial(a - 1) * math.factorial(b - 1)
        )

    found = describe_posterior(correct, 5, THIRD, Prior(*prior))
    guessing = chance**correct * (1 - chance) ** (5 - correct)
    assert found.mean == pytest.approx(float(integrate_power(1) / integrate_power(0)), rel=1e-12)
    assert found.bayes_factor == pytest.approx(float(integrate_power(0) / guessing), rel=1e-12)


@given(counts, chances, priors, st.floats(0.5, 0.999))
def test_the_quantiles_have_their_probabilities(count, chance, prior, level):
    first = describe_posterior(*count, chance, prior, level)
    ends = (first.interval.low, first.median, first.interval.high)
    above = describe_posterior(*count, chance, prior, level, limits=ends).above
    expected = [(1 + level) / 2, 0.5, (1 - level) / 2]
    assert [x.probability for x in above] == pytest.approx(expected, abs=1e-7)


@given(st.integers(1, 60), chances, priors)
def test_more_correct_answers_raise_every_value(trials, chance, prior):
    found = [describe_posterior(k, trials, chance, prior) for k in (0, trials // 2, trials)]
    for value in ("mean", "median", "log_bayes_factor"):
        values = [getattr(x, value) for x in found]
        assert values == sorted(values)


def test_the_interval_covers_what_the_prior_draws():
    # 100,000 shares drawn from the prior, each answered 20 times; with a fixed seed.
    rng = np.random.default_rng(8)
    prior = Prior(2, 3)
    shares = rng.beta(*prior, 100_000)
    correct = rng.binomial(20, THIRD + 2 / 3 * shares)
    found = [describe_posterior(k, 20, THIRD, prior, 0.9) for k in range(21)]
    low, high = np.array([x.interval for x in found])[correct].T
    assert np.mean((low < shares) & (shares < high)) == pytest.approx(0.9, abs=0.004)
    assert np.mean(shares) == pytest.approx(np.mean([found[k].mean for k in correct]), abs=0.003)


@pytest.mark.parametrize("prior", [Prior(), Prior(2, 5)])
@pytest.mark.parametrize("chance", CHANCES)
def test_the_factor_averages_to_1_under_guessing(prior, chance):
    # The sum over all counts of their probability under the prior is 1.
    found = [describe_posterior(k, 25, chance, prior).bayes_factor for k in range(26)]
    assert distribution(25, chance) @ np.array(found) == pytest.approx(1, rel=1e-11)


@pytest.mark.parametrize("correct", [2500, 3333, 5000, 10_000])
def test_ten_thousand_answers_are_no_trouble(correct):
    # The logarithm of the cut-off beta distribution, scipy.stats.
    found = describe_posterior(correct, 10_000, THIRD)
    whole = stats.beta(correct + 1, 10_001 - correct)
    log_factor = whole.logsf(THIRD) - math.log(2 / 3) - math.log(10_001)
    log_factor -= stats.binom.logpmf(correct, 10_000, THIRD)
    assert found.log_bayes_factor == pytest.approx(log_factor, rel=1e-8)
    assert (found.bayes_factor is None) == (abs(log_factor) > 700)
    assert 0 <= found.interval.low < found.median < found.interval.high <= 1


def test_ten_thousand_wrong_answers_are_no_trouble():
    # By hand: Beta(1, 10 001), and a factor of its integral 1/10 001; scipy's tail is 0 here.
    found = describe_posterior(0, 10_000, THIRD)
    assert found.bayes_factor == pytest.approx(1 / 10_001, rel=1e-9)
    assert found.interval.high == pytest.approx(-math.expm1(math.log(0.025) / 10_001), rel=1e-9)


@pytest.mark.parametrize("correct", [0, 1])
def test_one_answer_gives_a_posterior(correct):
    # By hand: the density of the proportion is 2(1-p) or 2p, cut off below 1/2.
    found = describe_posterior(correct, 1, 0.5)
    assert found.mean == pytest.approx(5 / 9 if correct else 1 / 3, rel=1e-12)
    assert found.bayes_factor == pytest.approx(1.5 if correct else 0.5, rel=1e-12)


def test_all_wrong_answers_leave_the_prior_with_more_against_it():
    # Every wrong answer did not notice: Beta(2, 3) becomes Beta(2, 3 + 7).
    found = describe_posterior(0, 7, THIRD, Prior(2, 3))
    assert found.mean == pytest.approx(2 / 12, rel=1e-12)
    assert found.interval == pytest.approx(stats.beta(2, 10).interval(0.95), rel=1e-9)


def test_notes_say_what_it_rests_on():
    assert describe_posterior(16, 30, THIRD).notes == (DEPENDS_ON_PRIOR, INDEPENDENT)
    assert FEWER_THAN_GUESSING in describe_posterior(9, 30, THIRD).notes
    assert BEYOND_NUMBERS in describe_posterior(9000, 10_000, THIRD).notes


def test_the_result_becomes_strict_json():
    found = describe_posterior(9000, 10_000, THIRD, limits=[0.2])
    members = json.loads(json.dumps(asdict(found), allow_nan=False))
    assert (members["prior"], members["bayes_factor"]) == ([1.0, 1.0], None)


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        ({"correct": 31}, r"correct .* not 31"),
        ({"trials": 0}, r"trials .* not 0"),
        ({"chance": 0.0}, r"chance must be above 0 and below 1, not 0\.0"),
        ({"level": 1.0}, r"level must be above 0 and below 1, not 1\.0"),
        ({"limits": [1.5]}, r"limits must be from 0 to 1, not 1\.5"),
        ({"prior": Prior(0, 1)}, r"prior a must be above 0 and finite, not 0"),
        ({"prior": Prior(1, math.inf)}, r"prior b must be above 0 and finite, not inf"),
    ],
)
def test_impossible_arguments_are_refused_by_name_and_value(arguments, message):
    with pytest.raises(ValueError, match=message):
        describe_posterior(**{"correct": 16, "trials": 30, "chance": THIRD, **arguments})
