"""Samples against a blind control: each person their own pair, Holm over the samples."""

from random import Random

import numpy as np
import pytest
from scipy import stats

from server.stats.against_control import compare_with_control
from server.stats.sign_flips import TOO_FINE


def invent(people: int, samples: str, seed: int = 3) -> dict[str, dict[str, float]]:
    """Invent scores 0 to 6, the later samples further off; A is the control."""
    chance = Random(seed)
    return {
        f"p{n}": {one: float(min(6, max(0, chance.randint(-1, 2) + at)))
                  for at, one in enumerate(samples)}
        for n in range(people)
    }  # fmt: skip


def test_p_values_are_scipys_permutations_adjusted_by_hand() -> None:
    scores = invent(9, "ABCD")
    found = compare_with_control(scores, "A", "ABCD")
    raw = []
    for sample in "BCD":
        given = np.array([mine[sample] - mine["A"] for mine in scores.values()])
        test = stats.permutation_test(
            (given,), np.sum, permutation_type="samples", alternative="greater"
        )
        raw.append(test.pvalue)
    assert [one.p_value for one in found.samples] == pytest.approx(raw, abs=1e-12)
    order = np.argsort(raw)
    by_hand = np.maximum.accumulate(np.minimum(1, np.array(raw)[order] * [3, 2, 1]))
    assert [found.samples[at].p_adjusted for at in order] == pytest.approx(list(by_hand))


def test_scores_as_high_as_those_of_the_control_itself_are_no_difference() -> None:
    """Everybody finds 4 of 6, in the control too: the raw score says nothing."""
    found = compare_with_control({f"p{n}": {"A": 4, "B": 4} for n in range(12)}, "A", ["B"])
    (one,) = found.samples
    assert (found.base, one.mean, one.p_adjusted, one.apart) == (4, 4, 1.0, False)


def test_a_sample_closer_than_the_control_is_not_apart() -> None:
    found = compare_with_control({f"p{n}": {"A": 4, "B": 1} for n in range(12)}, "A", ["B"])
    assert (found.samples[0].p_value, found.samples[0].apart) == (1.0, False)


def test_whoever_did_not_score_both_is_left_out_of_that_pair_alone() -> None:
    scores = invent(8, "ABC")
    del scores["p1"]["B"]
    found = compare_with_control(scores, "A", ["B", "C"])
    assert [one.people for one in found.samples] == [7, 8]


def test_a_sample_nobody_scored_is_told_and_still_counts_in_the_family() -> None:
    scores = {f"p{n}": {"A": 0.0, "B": 2.0} for n in range(6)}
    found = compare_with_control(scores, "A", ["B", "C"])
    assert [one.p_adjusted for one in found.samples] == [2 / 64, None]
    assert "Nobody scored C and the control." in found.notes


def test_too_few_people_are_told_before_anybody_hopes() -> None:
    found = compare_with_control(invent(5, "ABC"), "A", ["B", "C"])
    assert any("With 5 people" in one for one in found.notes)


def test_fine_scores_are_told_to_be_too_fine() -> None:
    scores = {f"p{n}": {"A": n**0.5, "B": 2.0 * n} for n in range(2, 8)}
    assert compare_with_control(scores, "A", ["B"]).notes == (TOO_FINE,)


def test_the_level_holds_where_nothing_differs() -> None:
    rng = np.random.default_rng(11)
    wrong = 0
    for _ in range(400):
        scores = {str(n): dict(zip("ABCD", rng.integers(0, 5, 4).tolist(), strict=True))
                  for n in range(10)}  # fmt: skip
        wrong += any(one.apart for one in compare_with_control(scores, "A", "ABCD").samples)
    assert wrong / 400 <= 0.05 + 0.025


def test_a_control_alone_is_refused() -> None:
    with pytest.raises(ValueError, match="one beside the control"):
        compare_with_control({"p": {"A": 1}}, "A", ["A"])
