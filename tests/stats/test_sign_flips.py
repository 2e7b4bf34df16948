"""Paired differences by all their signs, against Fisher's count and against scipy."""

from itertools import product
from random import Random

import numpy as np
import pytest
from scipy import stats

from server.stats.sign_flips import flip_signs

# Darwin's plants of Zea mays, crossed less self-fertilised, in eighths of an inch; the data
# and the count of the signs (1,726 of 32,768 on both sides) are in Fisher (1935), The Design
# of Experiments, sections 17 and 21 (from memory).
PLANTS = (49, -67, 8, 16, 6, 23, 28, 41, 14, 29, 56, 24, 75, 60, -48)


def test_darwins_plants_give_fishers_count() -> None:
    assert flip_signs(PLANTS).p_value == 863 / 2**15


@pytest.mark.parametrize("seed", range(6))
def test_p_is_that_of_all_permutations_in_scipy(seed: int) -> None:
    chance = Random(seed)
    differences = [chance.randint(-3, 5) / 2 for _ in range(9)]
    found = stats.permutation_test(
        (np.array(differences),), np.sum, permutation_type="samples", alternative="greater"
    )
    assert flip_signs(differences).p_value == pytest.approx(found.pvalue, abs=1e-12)


@pytest.mark.parametrize("seed", range(12))
def test_the_lower_limit_is_above_zero_just_where_p_reaches_the_level(seed: int) -> None:
    chance = Random(seed)
    differences = [chance.randint(-2, 5) / 3 for _ in range(8)]
    for alpha in (0.01, 0.025, 0.05, 0.2):
        found = flip_signs(differences, alpha)
        assert found.p_value is not None
        above = found.lower is not None and found.lower > 0
        assert above == (found.p_value <= alpha)


def test_limits_are_means_of_subsets_counted_one_by_one() -> None:
    differences = [1, 4, -2, 3, 3, 0, 5]
    subsets = [one for one in product((0, 1), repeat=7) if any(one)]
    means = sorted(np.dot(one, differences) / sum(one) for one in subsets)
    found = flip_signs(differences, 0.05)
    at = int(0.05 * 2**7)
    assert [found.lower, found.upper] == pytest.approx([means[at - 1], means[-at]])


def test_turning_all_differences_turns_the_limits() -> None:
    one, other = flip_signs([1, 4, -2, 3, 3, 0, 5]), flip_signs([-1, -4, 2, -3, -3, 0, -5])
    assert (one.lower, one.upper) == (-(other.upper or 0), -(other.lower or 0))


def test_limits_cover_the_centre_as_often_as_they_say() -> None:
    rng = np.random.default_rng(5)
    low = 0
    for _ in range(600):
        found = flip_signs(list(rng.integers(-3, 4, 8) + 2.0), 0.1)
        assert found.lower is not None
        low += found.lower > 2
    assert low / 600 <= 0.1 + 0.03


def test_no_difference_at_all_is_no_evidence() -> None:
    found = flip_signs([0] * 8)
    assert (found.p_value, found.lower, found.upper) == (1.0, 0.0, 0.0)


def test_one_point_more_by_everybody_is_the_smallest_p_there_is() -> None:
    found = flip_signs([1] * 8)
    assert (found.p_value, found.least, found.lower) == (1 / 256, 1 / 256, 1.0)


def test_four_people_have_no_limit_at_five_percent() -> None:
    found = flip_signs([2, 1, 3, 2])
    assert (found.p_value, found.lower, found.upper) == (1 / 16, None, None)


def test_sixty_people_are_counted_exactly_too() -> None:
    found = flip_signs([1] * 40 + [-1] * 20)
    assert found.p_value == pytest.approx(stats.binom.sf(39, 60, 0.5), rel=1e-12)


def test_differences_that_are_no_simple_fractions_have_no_exact_p() -> None:
    found = flip_signs([2**0.5, 3**0.5, 1.0])
    assert found.p_value is None
    assert found.mean == pytest.approx(1.382, abs=1e-3)


def test_no_pairs_are_refused() -> None:
    with pytest.raises(ValueError, match="at least one pair, not none"):
        flip_signs([])
