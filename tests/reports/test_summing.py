"""What is tested where answers may be for neither sample, against every case that can come out."""

from math import comb
from types import SimpleNamespace

import pytest

from server.reports.summing import Count, settle_neither
from server.stats.binomial import p_value, reaches

SPLIT = SimpleNamespace(no_preference="split_evenly")
LEFT_OUT = SimpleNamespace(no_preference="left_out")
FORCED = SimpleNamespace(no_preference="forced")


def test_left_out_the_others_remain():
    assert settle_neither(LEFT_OUT, Count(11, 6, 4)) == (11, 17)


def test_forced_there_is_nothing_to_settle():
    assert settle_neither(FORCED, Count(11, 6)) == (11, 17)


def test_split_evenly_each_sample_gets_half():
    assert settle_neither(SPLIT, Count(11, 6, 4)) == (13, 21)


@pytest.mark.parametrize(("count", "settled"), [((11, 6, 3), 12), ((6, 11, 3), 8)])
def test_the_odd_one_goes_to_the_sample_that_is_behind(count, settled):
    assert settle_neither(SPLIT, Count(*count)) == (settled, sum(count))


def test_splitting_treats_both_samples_alike():
    for b, a, neither in ((9, 2, 3), (9, 2, 4), (5, 4, 1), (3, 3, 2)):
        k, n = settle_neither(SPLIT, Count(b, a, neither))
        mirrored, _ = settle_neither(SPLIT, Count(a, b, neither))
        assert p_value(k, n, 0.5, "two") == p_value(mirrored, n, 0.5, "two")


@pytest.mark.parametrize("answers", range(1, 31))
def test_a_split_test_never_errs_more_often_than_planned(answers):
    # Given how many named a sample, the count of B is binomial with 1/2 if neither is ahead;
    # holding for every such number, the level holds whatever share names neither.
    for neither in range(answers + 1):
        named = answers - neither
        for alpha in (0.01, 0.05, 0.1, 0.2):
            risk = sum(
                comb(named, b) / 2**named
                for b in range(named + 1)
                if reaches(
                    p_value(*settle_neither(SPLIT, Count(b, named - b, neither)), 0.5, "two"), alpha
                )
            )
            assert risk <= alpha


def test_what_is_given_up_counts_against_the_sample_that_is_ahead():
    assert Count(2, 7).add_against(3) == Count(5, 7)
    assert Count(7, 2).add_against(3) == Count(7, 5)
