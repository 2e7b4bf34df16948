"""An exact test of trend in shares of right answers."""

from itertools import product
from math import comb

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import fisher_exact, norm

from server.stats.brew_trend import Dose, TrendResult, find_trend

RISING = [Dose(0, 4, 0), Dose(1, 4, 2), Dose(2, 4, 4)]


def enumerate_p(doses: list[Dose], sided: str) -> float:
    """Go through every way to deal the right answers."""
    right = sum(one.correct for one in doses)
    reached = sum(one.score * one.correct for one in doses)
    mean = right * sum(d.score * d.trials for d in doses) / sum(d.trials for d in doses)
    ways = {"all": 0, "far": 0}
    for dealt in product(*(range(one.trials + 1) for one in doses)):
        if sum(dealt) != right:
            continue
        weight = int(np.prod([comb(d.trials, k) for d, k in zip(doses, dealt, strict=True)]))
        total = sum(d.score * k for d, k in zip(doses, dealt, strict=True))
        ways["all"] += weight
        far = abs(total - mean) >= abs(reached - mean) - 1e-9
        ways["far"] += weight * (far if sided == "two" else total >= reached)
    return ways["far"] / ways["all"]


# Agresti, Categorical Data Analysis (from memory): mothers' drinks a day, scores 0, 0.5, 1.5,
# 4 and 7, and malformed infants. Cochran-Armitage z = 2.56, one-sided p = .0052 by the normal
# curve; the exact one is larger, for malformations are rare (Agresti prints .017).
def test_a_printed_exact_trend_is_reproduced() -> None:
    doses = [
        Dose(0, 17114, 48),
        Dose(1, 14502, 38),
        Dose(3, 793, 5),
        Dose(8, 127, 1),
        Dose(14, 38, 1),
    ]
    found = find_trend(doses)
    assert found.p_value == pytest.approx(0.017, abs=0.0006)
    assert float(norm.sf(2.563)) < found.p_value


# With two doses it is Fisher's exact test.
@pytest.mark.parametrize(("first", "second"), [(1, 6), (3, 3), (0, 8), (7, 2)])
def test_two_doses_are_fishers_exact_test(first: int, second: int) -> None:
    found = find_trend([Dose(0, 8, first), Dose(5, 8, second)])
    table = [[second, 8 - second], [first, 8 - first]]
    assert found.p_value == pytest.approx(fisher_exact(table, alternative="greater").pvalue)


counts = st.lists(
    st.tuples(st.integers(0, 9), st.integers(1, 5), st.floats(0, 1)), min_size=2, max_size=4,
    unique_by=lambda one: one[0],
)  # fmt: skip


@given(counts, st.sampled_from(["rising", "two"]))
def test_every_way_to_deal_right_answers_gives_the_same(given_doses, sided) -> None:
    doses = [Dose(score, n, round(share * n)) for score, n, share in sorted(given_doses)]
    found = find_trend(doses, sided)
    if found.p_value is not None:
        assert found.p_value == pytest.approx(enumerate_p(doses, sided))


def test_a_shift_or_a_multiple_of_all_scores_changes_nothing() -> None:
    moved = [Dose(30 + 10 * one.score, one.trials, one.correct) for one in RISING]
    assert find_trend(moved).p_value == find_trend(RISING).p_value


def test_doses_of_one_score_are_added_up() -> None:
    found = find_trend([*RISING, Dose(2, 4, 4)])
    assert found.doses[-1] == Dose(2, 8, 8)


def test_far_scores_are_ranked() -> None:
    found = find_trend([Dose(0, 4, 0), Dose(1, 4, 2), Dose(9001, 4, 4)])
    assert found.by_rank
    assert found.p_value == find_trend(RISING).p_value


def test_a_fall_is_no_rise_but_counts_two_sided() -> None:
    fall = [Dose(0, 6, 6), Dose(1, 6, 3), Dose(2, 6, 0)]
    assert find_trend(fall).p_value == pytest.approx(1)
    found = find_trend(fall, "two")
    assert (found.rises, found.monotone) == (False, False)
    assert found.p_value is not None
    assert found.p_value < 0.01


@pytest.mark.parametrize(
    "doses", [[], [Dose(3, 5, 2)], [Dose(0, 5, 0), Dose(1, 5, 0)], [Dose(0, 5, 5), Dose(1, 5, 5)]]
)
def test_where_nothing_can_rise_there_is_no_p(doses: list[Dose]) -> None:
    found: TrendResult = find_trend(doses)
    assert (found.p_value, found.rises) == (None, None)
    assert found.notes


@pytest.mark.parametrize("dose", [Dose(-1, 3, 1), Dose(0, 3, 4), Dose(0, 3, -1)])
def test_numbers_that_do_not_fit_are_refused(dose: Dose) -> None:
    with pytest.raises(ValueError, match="doses must have a score"):
        find_trend([dose, Dose(5, 3, 1)])
