import dataclasses
import functools
import json
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import optimize, stats

from server.stats.forced_choice import (
    DUO_TRIO,
    PAIRED_PREFERENCE,
    TETRAD,
    THREE_AFC,
    TRIANGLE,
    TWO_AFC,
    TWO_OF_FIVE,
    TWO_OF_FIVE_WIDEST_GAP,
)
from server.stats.likelihood import (
    ALL_CORRECT,
    AT_CHANCE,
    BELOW_CHANCE,
    NEAR_CHANCE,
    describe_d_prime,
    find_likelihood_interval,
)

MODELS = (TRIANGLE, DUO_TRIO, TWO_AFC, THREE_AFC, TETRAD, TWO_OF_FIVE_WIDEST_GAP)
counts = st.integers(1, 200).flatmap(lambda n: st.tuples(st.integers(0, n), st.just(n)))
models = st.sampled_from(MODELS)


@pytest.mark.parametrize(
    ("model", "correct", "trials", "d", "se", "low", "high"),
    # Computed independently: estimate, delta-method error, profile-likelihood limits at 95 %.
    [
        (TRIANGLE, 14, 24, 1.89123506, 0.50829016, 0.769461, 2.889204),
        (TWO_AFC, 27, 40, 0.64171664, 0.29099073, 0.078647, 1.221154),
        (TETRAD, 30, 48, 1.44628948, 0.23470589, 0.965031, 1.900754),
    ],
)
def test_single_results_equal_computed_values(model, correct, trials, d, se, low, high):
    found = describe_d_prime(model, correct, trials)
    assert (found.estimate, found.se) == pytest.approx((d, se), abs=5.1e-9)
    assert found.likelihood_interval == pytest.approx((low, high), abs=5.1e-7)


def test_exactly_at_chance_there_is_an_upper_limit_and_no_error():
    # 20 of 60 in a triangle test, upper limit computed independently.
    found = describe_d_prime(TRIANGLE, 20, 60)
    assert (found.estimate, found.se, found.wald_interval) == (0, None, None)
    assert found.likelihood_interval == pytest.approx((0, 1.237688), abs=5.1e-7)
    assert found.notes == (AT_CHANCE,)


def test_below_chance_the_limit_counts_from_guessing():
    found = describe_d_prime(TRIANGLE, 5, 60)
    assert (found.estimate, found.likelihood_interval.low) == (0, 0)
    assert found.notes == (AT_CHANCE, BELOW_CHANCE)


def test_fewer_correct_answers_below_chance_still_lower_the_limit():
    uppers = [find_likelihood_interval(TRIANGLE, k, 60).high for k in range(60)]
    assert uppers == sorted(set(uppers))


def test_nothing_correct_has_the_upper_limit_in_closed_form():
    # 2 n log((2/3) / (1 - pc)) is the chi-square quantile.
    pc = 1 - 2 / 3 * math.exp(-stats.chi2.ppf(0.95, 1) / 48)
    limit = find_likelihood_interval(TRIANGLE, 0, 24).high
    assert limit == pytest.approx(TRIANGLE.d_prime(pc), abs=1e-9)


def test_all_correct_has_a_lower_limit_alone_in_closed_form():
    # -2 n log(pc) is the chi-square quantile.
    found = describe_d_prime(TRIANGLE, 24, 24)
    pc = math.exp(-stats.chi2.ppf(0.95, 1) / 48)
    assert found.likelihood_interval.low == pytest.approx(TRIANGLE.d_prime(pc), abs=1e-9)
    assert (found.likelihood_interval.high, found.estimate, found.se) == (None, None, None)
    assert found.notes == (ALL_CORRECT,)


def test_one_answer_sets_one_limit():
    assert find_likelihood_interval(TRIANGLE, 1, 1) == (0, None)
    assert find_likelihood_interval(TRIANGLE, 0, 1).high > 4


def test_near_chance_there_is_no_wald_interval():
    # Triangle: 21 of 60 is more than chance, but guessing alone is likely enough.
    found = describe_d_prime(TRIANGLE, 21, 60)
    assert found.estimate > 0
    assert (found.se, found.wald_interval, found.notes) == (None, None, (NEAR_CHANCE,))


def deviance(model, correct, trials, d):
    best = model.d_prime(correct / trials)
    top, here = (stats.binom.logpmf(correct, trials, model.pc(at)) for at in (best, d))
    return 2 * (top - here)


@given(models, counts, st.floats(0.5, 0.999))
def test_a_limit_put_back_lies_at_the_chi_square_quantile(model, count, level):
    correct, trials = count
    if correct < trials:
        low, high = find_likelihood_interval(model, correct, trials, level)
        most = stats.chi2.ppf(level, 1)
        assert deviance(model, correct, trials, high) == pytest.approx(most, rel=1e-6)
        assert low == 0 or deviance(model, correct, trials, low) == pytest.approx(most, rel=1e-5)
        assert low > 0 or deviance(model, correct, trials, 0) <= most * (1 + 1e-9)


@pytest.mark.parametrize("model", MODELS, ids=lambda model: model.name)
def test_limits_equal_those_of_a_search_over_the_distance(model):
    # scipy.optimize.brentq on the log-likelihood of scipy.stats.binom.
    correct, trials, most = 40, 55, stats.chi2.ppf(0.9, 1)
    best = model.d_prime(correct / trials)

    def beyond(d):
        return deviance(model, correct, trials, d) - most

    expected = (optimize.brentq(beyond, 0, best), optimize.brentq(beyond, best, 9))
    found = find_likelihood_interval(model, correct, trials, 0.9)
    assert found == pytest.approx(expected, abs=1e-8)


@given(models, counts)
def test_the_interval_holds_the_estimate_and_grows_with_the_level(model, count):
    found = describe_d_prime(model, *count, level=0.9)
    wider = find_likelihood_interval(model, *count, 0.99)
    low, high = found.likelihood_interval
    assert wider.low <= low <= (math.inf if found.estimate is None else found.estimate)
    assert high is None or found.estimate <= high < wider.high


@given(models, st.integers(1, 200))
def test_more_correct_answers_never_lower_a_limit(model, trials):
    limits = [find_likelihood_interval(model, k, trials) for k in {0, trials // 2, trials}]
    lows, highs = zip(*sorted(limits, key=lambda one: one.high or math.inf), strict=True)
    assert list(lows) == sorted(lows)
    assert [high for high in highs if high] == sorted(high for high in highs if high)


@functools.cache
def find_interval(model, k):
    return find_likelihood_interval(model, k, 100, 0.95)


@pytest.mark.parametrize("d", [0, 0.5, 1, 1.5, 2, 3])
@pytest.mark.parametrize("model", [TRIANGLE, TWO_AFC, TETRAD], ids=lambda model: model.name)
def test_the_interval_covers_the_truth_about_as_often_as_it_says(model, d):
    # Exactly, over all results of 100 answers; not above 1 - 1/100 where the limit is one-sided.
    covered = 0.0
    for k, chance in enumerate(stats.binom.pmf(range(101), 100, model.pc(d))):
        low, high = find_interval(model, k)
        covered += chance * (low <= d <= (math.inf if high is None else high))
    assert covered == pytest.approx(0.95, abs=0.035)
    assert d > 0 or covered > 0.95


@given(models, counts, st.floats(0.5, 0.999))
def test_whatever_is_not_given_has_a_sentence(model, count, level):
    found = describe_d_prime(model, *count, level=level)
    values = (found.estimate, found.se, found.wald_interval, found.likelihood_interval.high)
    assert (None in values) == bool(found.notes)


@pytest.mark.parametrize("model", [TWO_OF_FIVE, PAIRED_PREFERENCE], ids=lambda model: model.name)
def test_without_a_distance_there_is_only_the_reason(model):
    found = describe_d_prime(model, 7, 12)
    values = (found.estimate, found.se, found.wald_interval, found.likelihood_interval)
    assert values == (None,) * 4
    assert found.notes == (model.without_d_prime,)


@pytest.mark.parametrize("correct", [0, 8, 9, 14, 24])
def test_a_description_is_plain_data(correct):
    described = dataclasses.asdict(describe_d_prime(TRIANGLE, correct, 24))
    assert json.loads(json.dumps(described, allow_nan=False))["correct"] == correct


def test_a_level_near_0_or_1_still_gives_limits_on_the_right_side():
    assert find_likelihood_interval(TRIANGLE, 24, 24, 1e-12).low > 8
    assert find_likelihood_interval(TRIANGLE, 14, 24, 1 - 1e-16).high > 6


def test_a_million_answers_give_a_narrow_interval():
    found = describe_d_prime(TRIANGLE, 600_000, 1_000_000)
    assert found.likelihood_interval == pytest.approx(found.wald_interval, abs=1e-6)


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: describe_d_prime(TRIANGLE, 13, 12), r"correct .* not 13"),
        (lambda: describe_d_prime(TRIANGLE, 1, 0), r"trials .* not 0"),
        (lambda: describe_d_prime(TWO_OF_FIVE, 1, 12, 95), r"level .* not 95"),
        (lambda: find_likelihood_interval(TRIANGLE, -1, 12), r"correct .* not -1"),
        (lambda: find_likelihood_interval(TRIANGLE, 1, 12, 1.0), r"level .* not 1.0"),
        (lambda: find_likelihood_interval(TWO_OF_FIVE, 1, 12), r"model must have a d′"),
    ],
)
def test_impossible_arguments_are_refused_by_name_and_value(call, message):
    with pytest.raises(ValueError, match=message):
        call()
