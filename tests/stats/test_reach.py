import dataclasses
import json

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from server.methods.registry import COUNTED
from server.stats.binomial import power
from server.stats.forced_choice import DUO_TRIO, TETRAD, TRIANGLE, TWO_AFC, TWO_OF_FIVE
from server.stats.power import power_of_d_prime
from server.stats.reach import describe_reach, smallest_d_primes
from server.stats.trials import trials_for_power

WITH_D_PRIME = [name for name, one in COUNTED.items() if not one.model.without_d_prime]


@pytest.mark.parametrize(
    ("model", "trials", "d"),
    # Computed independently: the first numbers with power 0.8 at alpha 0.05; 202 for the
    # triangle and 61 for the tetrad also in Ennis & Jesionka (2011), abstract.
    [
        (TRIANGLE, 202, 1),
        (TRIANGLE, 53, 1.5),
        (DUO_TRIO, 228, 1),
        (TWO_AFC, 23, 1),
        (TETRAD, 61, 1),
    ],
)
def test_the_first_number_for_a_distance_finds_it_and_one_less_does_not(model, trials, d):
    before, at = smallest_d_primes(model, [trials - 1, trials], 0.05, 0.8)
    assert at <= d < before


@pytest.mark.parametrize("name", WITH_D_PRIME)
@given(st.integers(8, 300), st.floats(0.02, 0.2), st.floats(0.4, 0.95))
def test_the_smallest_distance_is_found_with_just_the_wanted_power(name, trials, alpha, wanted):
    method = COUNTED[name]
    reach = describe_reach(method.model, trials, alpha, wanted, method.sided)
    found = power_of_d_prime(method.model, trials, alpha, reach.d_prime, method.sided)
    assert float(found) == pytest.approx(wanted, abs=1e-7)


def test_more_answers_find_smaller_distances_wherever_the_critical_number_stays():
    numbers = range(3, 150)
    found = smallest_d_primes(TRIANGLE, numbers, 0.05, 0.8)
    criticals = [describe_reach(TRIANGLE, n).critical for n in numbers]
    assert ((np.diff(found) > 0) == (np.diff(criticals) > 0)).all()


def test_24_triangles_find_a_share_of_two_fifths():
    # 13 of 24 needed (FAO document V7180E); the power at the share is plugged back in.
    reach = describe_reach(TRIANGLE, 24)
    assert (reach.critical, reach.share) == (13, pytest.approx(0.4067, abs=5e-5))
    assert power(24, 1 / 3, 0.05, 1 / 3 + reach.share * 2 / 3) == pytest.approx(0.8, rel=1e-10)


def test_a_share_that_is_found_needs_no_more_answers_than_there_are():
    reach = describe_reach(TWO_AFC, 40, sided="two")
    assert trials_for_power(0.5, 0.05, 0.8, 0.5 + reach.share / 2 + 1e-12, "two").trials <= 40


def test_two_answers_find_nothing_and_say_so():
    reach = describe_reach(TRIANGLE, 2)
    assert (reach.critical, reach.achieved_alpha, reach.share, reach.d_prime) == (None,) * 4
    assert [note[:23] for note in reach.notes] == ["Nothing can be found: t"]


def test_a_method_without_distance_gives_its_reason_beside_the_share():
    reach = describe_reach(TWO_OF_FIVE, 24)
    assert (reach.d_prime, reach.notes) == (None, (TWO_OF_FIVE.without_d_prime,))
    assert 0 < reach.share < 1


def test_a_share_next_to_everybody_has_no_distance():
    reach = describe_reach(TRIANGLE, 3, power=1 - 1e-16)
    assert reach.d_prime is None or reach.d_prime > 6
    assert (reach.d_prime is None) == bool(reach.notes)


def test_a_power_that_guessing_already_has_needs_no_distance():
    reach = describe_reach(TRIANGLE, 24, power=0.01)
    assert (reach.d_prime, len(reach.notes)) == (0, 1)


@pytest.mark.parametrize("name", COUNTED)
@pytest.mark.parametrize("trials", [1, 2, 7, 10_000])
def test_results_are_plain_data(name, trials):
    reach = describe_reach(COUNTED[name].model, trials, sided=COUNTED[name].sided)
    assert json.loads(json.dumps(dataclasses.asdict(reach), allow_nan=False))["trials"] == trials


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: describe_reach(TRIANGLE, 0), r"trials .* not 0"),
        (lambda: describe_reach(TRIANGLE, 24, power=1.0), r"power .* not 1.0"),
        (lambda: describe_reach(TRIANGLE, 24, alpha=0.0), r"alpha .* not 0.0"),
        (lambda: describe_reach(TRIANGLE, 24, sided="two"), r"chance .* 0.5 .* not 0.33"),
        (lambda: smallest_d_primes(TWO_OF_FIVE, [24, 0], 0.05, 0.8), r"trials .* not 0"),
    ],
)
def test_impossible_questions_are_refused_by_name_and_value(call, message):
    with pytest.raises(ValueError, match=message):
        call()
