import itertools
import math

import numpy as np
import pytest
from scipy import special, stats

from server.stats.overdispersed import log_pmf
from server.stats.replicate_likelihood import build_likelihood
from server.stats.replicate_maximum import build_deviance, maximise
from server.stats.replicated_similarity import (
    FEWER_THAN_GUESSING,
    ONE_PERSON,
    PLANNED_AHEAD,
    bound_mean_share,
    judge_replicated_similarity,
)

THIRD = 1 / 3


def drop_at_limit(panel: tuple[int, ...], each: int, limit: float) -> float:
    """Return the signed root of the deviance at a share; above 0 if the estimate is lower."""
    likelihood = build_likelihood(panel, [each] * len(panel), THIRD)
    top = maximise(likelihood)
    root = math.sqrt(build_deviance(likelihood, top, "mean")(limit))
    return math.copysign(root, limit - top.mean)


@pytest.mark.parametrize(
    ("gamma", "expected", "digits"),
    [
        # AS 2542.2.4 clause 6.2 (read): pooled replicates serve no similarity test. With 12
        # assessors of 6 answers, pd limit 0.3 and beta 0.05, 30 of 72 pass; the risk is
        # 0.0311 if nobody differs (recomputed) and, with gamma 0.3, 0.0669 in panels that were
        # drawn independently; the sum of 12 such assessors has it exactly, 0.06746.
        (0.0, 0.0311, 5e-5),
        (0.3, 0.0669, 1e-3),
        (0.3, 0.06746, 5e-6),
    ],
)
def test_pooled_replicates_pass_too_easily_where_people_differ(gamma, expected, digits):
    one = np.exp(log_pmf(6, THIRD, 0.3, gamma))
    total = np.array([1.0])
    for _ in range(12):
        total = np.convolve(total, one)
    assert total[:31].sum() == pytest.approx(expected, abs=digits)


def test_the_limit_keeps_its_risk_where_pooled_replicates_do_not():
    # The same panel, 600 times, seeded; only those with few correct answers can pass.
    draw = np.random.default_rng(1).multinomial(12, np.exp(log_pmf(6, THIRD, 0.3, 0.3)), 600)
    panels, times = np.unique(draw, axis=0, return_counts=True)
    low = panels @ np.arange(7) <= 31
    drops = [
        drop_at_limit(tuple(np.repeat(np.arange(7), panel).tolist()), 6, 0.3)
        for panel in panels[low]
    ]
    by_t, by_normal = (np.array(drops) >= z for z in (stats.t.ppf(0.95, 11), stats.norm.ppf(0.95)))
    assert times[low] @ by_t / 600 < 0.055
    assert times[low] @ by_normal / 600 > 0.055  # why the quantile is that of t


@pytest.fixture(scope="module")
def passing():
    """Every panel of 10 people with 2 answers each that passes at the limit 0.4."""
    panels = itertools.combinations_with_replacement(range(3), 10)
    few = [panel for panel in panels if 7 <= sum(panel) <= 11]  # fewer: no conclusion
    return [p for p in few if judge_replicated_similarity(p, [2] * 10, THIRD, 0.4).similar]


@pytest.mark.parametrize("gamma", [0.0, 0.4, 1.0])
def test_all_small_panels_together_pass_no_more_often_than_beta(passing, gamma):
    # Their probabilities, where the mean share is 0.4, are exact.
    logs = log_pmf(2, THIRD, 0.4, gamma)
    counts = np.array([np.bincount(panel, minlength=3) for panel in passing])
    ways = special.gammaln(11) - special.gammaln(counts + 1).sum(axis=1)
    assert 0 < np.exp(ways + counts @ logs).sum() < 0.05


def test_the_limit_is_where_the_likelihood_has_dropped_by_the_quantile():
    answers = [2, 3, 1, 2, 3, 2, 5, 1, 2, 4]
    upper = bound_mean_share(answers, [6] * 10, THIRD, 0.95)
    likelihood = build_likelihood(answers, [6] * 10, THIRD)
    drop = build_deviance(likelihood, maximise(likelihood), "mean")(upper)
    assert math.sqrt(drop) == pytest.approx(stats.t.ppf(0.95, 9), abs=1e-7)


def test_many_people_who_do_not_differ_have_nearly_the_exact_binomial_limit():
    # Clopper & Pearson for 160 of 400, by the reference library; 200 people, 2 answers each.
    counts = [0] * 72 + [1] * 96 + [2] * 32
    exact = stats.binomtest(160, 400).proportion_ci(0.9, method="exact").high
    upper = bound_mean_share(counts, [2] * 200, THIRD, 0.95)
    assert upper == pytest.approx((exact - THIRD) * 1.5, abs=0.005)


def test_people_who_differ_more_leave_a_higher_limit():
    alike, nearly_alike, different = (
        bound_mean_share(panel, [6] * 12, THIRD, 0.95)
        for panel in ([2] * 6 + [3] * 6, [1, 2, 2, 2, 2, 2, 2, 3, 3, 3, 4, 4],
                      [1, 1, 1, 1, 2, 2, 2, 2, 2, 4, 6, 6])
    )  # fmt: skip
    # As many correct answers, and gamma 0: the limit is the binomial one in both.
    assert nearly_alike == pytest.approx(alike, abs=1e-9)
    assert different > alike + 0.1


def test_a_lower_risk_asks_for_a_higher_limit():
    answers, trials = [2, 3, 1, 2, 3, 2, 5, 1], [6] * 8
    limits = [bound_mean_share(answers, trials, THIRD, level) for level in (0.8, 0.95, 0.999)]
    assert limits == sorted(limits)


def test_the_decision_is_that_of_the_limit():
    upper = bound_mean_share([2, 3, 1, 3, 3, 2], [6] * 6, THIRD, 0.95)
    found = [
        judge_replicated_similarity([2, 3, 1, 3, 3, 2], [6] * 6, THIRD, limit)
        for limit in (upper - 0.001, upper + 0.001)
    ]
    assert [result.similar for result in found] == [False, True]
    assert found[0].upper == upper
    assert found[0].notes == (PLANNED_AHEAD,)


def test_fewer_correct_answers_than_guessing_gives_allow_no_conclusion():
    # ISO 4120, clause 8.2, for single answers; the same is asked of replicates.
    result = judge_replicated_similarity([1, 1, 2, 1, 2, 1], [6] * 6, THIRD, 0.5)
    assert (result.similar, FEWER_THAN_GUESSING in result.notes) == (None, True)


def test_one_person_allows_no_conclusion_about_people():
    result = judge_replicated_similarity([20], [60], THIRD, 0.3)
    assert (result.similar, result.upper, ONE_PERSON in result.notes) == (None, None, True)


def test_two_people_allow_hardly_any():
    assert bound_mean_share([20, 21], [60, 60], THIRD, 0.99) > 0.5


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: judge_replicated_similarity([2], [6], THIRD, 0.0), r"limit .* not 0.0"),
        (lambda: judge_replicated_similarity([2], [6], THIRD, 0.3, 1.0), r"beta .* not 1.0"),
        (lambda: judge_replicated_similarity([2], [6], THIRD, 0.3, 0.6), r"level .* not 0.4"),
        (lambda: bound_mean_share([2, 2], [6, 6], 0.0, 0.95), r"chance .* not 0.0"),
        (lambda: bound_mean_share([7, 2], [6, 6], THIRD, 0.95), r"correct .* not 7"),
    ],
)
def test_impossible_arguments_are_refused_by_name_and_value(call, message):
    with pytest.raises(ValueError, match=message):
        call()
