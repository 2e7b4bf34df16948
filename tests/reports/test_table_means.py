"""Differences of two samples' means, held against scipy's paired t test."""

import pytest
from scipy import stats

from server.reports.table_means import list_means, read_means, write_means
from tests.scored_tables import analyse, draw, give_means

MEANS = {"A": 30.0, "B": 44.0, "C": 31.0}


@pytest.fixture(scope="module")
def pair():
    return analyse(draw(2), give_means({"A": 30.0, "B": 44.0}))


def find_question(analysis):
    [question] = list_means(analysis).questions
    return question


def test_two_samples_differ_within_the_limits_of_a_paired_t_test(pair):
    given = {level: {} for level in "AB"}
    for one in pair.scores:
        given[one.sample][one.assessor] = one.value
    people = sorted(given["A"])
    ours, its = ([given[level][one] for one in people] for level in "BA")
    low, high = stats.ttest_rel(ours, its).confidence_interval(0.95)
    value, limits = find_question(pair).subtract("B", "A")
    assert (value, *limits) == pytest.approx(((low + high) / 2, low, high))


def test_what_is_told_apart_is_so_in_either_order(pair):
    question = find_question(pair)
    assert question.declared
    assert question.is_apart("A", "B")
    assert question.is_apart("B", "A")


def test_a_pair_that_shares_a_letter_is_not_told_apart():
    question = find_question(analyse(draw(3), give_means(MEANS)))
    assert [question.is_apart("A", other) for other in "BC"] == [True, False]


def test_a_sample_without_scores_has_no_difference(pair):
    assert find_question(pair).subtract("B", "Z") is None


def test_means_come_back_as_they_were_written(pair):
    assert read_means(write_means(pair)) == list_means(pair)
