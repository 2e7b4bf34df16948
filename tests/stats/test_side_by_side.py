import dataclasses
import json

import pytest

from server.methods.registry import COUNTED
from server.stats.forced_choice import PAIRED_COMPARISON, TETRAD, TRIANGLE, TWO_AFC, TWO_OF_FIVE
from server.stats.side_by_side import TOO_MANY, Candidate, compare_methods
from server.stats.trials import trials_for_power

THREE = [Candidate(TRIANGLE, "one", 3), Candidate(TETRAD, "one", 4), Candidate(TWO_AFC, "one", 2)]


def test_the_needs_are_those_of_published_and_computed_plans(trials_for_d_prime_row):
    # Ennis & Jesionka (2011), abstract, and independent computation: see the file's head.
    row = trials_for_d_prime_row
    method = COUNTED[row["method"]]
    found = compare_methods([Candidate(method.model, method.sided, 1)], float(row["d"]))
    need = found.methods[0]
    assert (need.trials, need.trials_stable) == (int(row["first_05_80"]), int(row["stable_05_80"]))


def test_a_tetrad_needs_a_third_of_the_answers_of_a_triangle():
    # Ennis & Jesionka (2011), abstract: 61 and 202 at d' = 1, alpha 0.05, power 0.80.
    needs = {need.method: need for need in compare_methods(THREE, 1.0).methods}
    assert (needs["tetrad"].trials, needs["triangle"].trials) == (61, 202)
    assert (needs["tetrad"].cups, needs["triangle"].cups) == (4 * 61, 3 * 202)


def test_the_method_with_the_fewest_cups_comes_first():
    assert [need.method for need in compare_methods(THREE, 1.0).methods] == [
        "2-afc",
        "tetrad",
        "triangle",
    ]


def test_a_two_sided_test_needs_more_answers_than_a_one_sided_one():
    pair = [Candidate(TWO_AFC, "one", 2), Candidate(PAIRED_COMPARISON, "two", 2)]
    one, two = compare_methods(pair, 1.0).methods
    assert one.trials < two.trials
    assert two.trials == trials_for_power(0.5, 0.05, 0.8, TWO_AFC.pc(1.0), "two").trials


def test_a_method_without_distance_comes_last_with_its_reason():
    last = compare_methods([Candidate(TWO_OF_FIVE, "one", 5), *THREE], 1.0).methods[-1]
    assert (last.method, last.pc, last.trials, last.cups) == ("two-out-of-five", None, None, None)
    assert last.note == TWO_OF_FIVE.without_d_prime


@pytest.mark.parametrize("d", [0.05, 1e-3, 1e-9])
def test_a_distance_too_small_for_one_method_leaves_the_others_theirs(d):
    needs = {need.method: need for need in compare_methods(THREE, d).methods}
    assert (needs["triangle"].trials, needs["triangle"].note) == (None, TOO_MANY)
    assert (needs["2-afc"].trials is None) == (d < 0.01)


def test_what_a_method_asks_of_tasters_is_kept():
    asked = Candidate(TWO_AFC, "one", 2, "The direction must be known.")
    assert compare_methods([asked], 1.0).methods[0].note == "The direction must be known."


@pytest.mark.parametrize("d", [0.01, 1.0, 60.0])
def test_results_are_plain_data(d):
    found = dataclasses.asdict(compare_methods(THREE, d))
    assert json.loads(json.dumps(found, allow_nan=False))["d_prime"] == d


@pytest.mark.parametrize(
    ("d", "alpha", "power", "message"),
    [
        (0.0, 0.05, 0.8, r"d_prime must be above 0, not 0"),
        (-1.0, 0.05, 0.8, r"d_prime .* not -1"),
        (float("inf"), 0.05, 0.8, r"d_prime .* not inf"),
        (1.0, 1.0, 0.8, r"alpha .* not 1.0"),
        (1.0, 0.05, 0.0, r"power .* not 0.0"),
    ],
)
def test_impossible_comparisons_are_refused_by_name_and_value(d, alpha, power, message):
    with pytest.raises(ValueError, match=message):
        compare_methods(THREE, d, alpha, power)
