"""Answers by brew: exact tests, and what a brew must do before it is named."""

from collections.abc import Iterator
from itertools import combinations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import binomtest, fisher_exact

from server.stats.binomial import p_value
from server.stats.by_brew import BrewsResult, Served, count_by_brew

PAIRS = {f"{sample}{n}": (sample, n) for n in (1, 2, 3) for sample in "AB"}
TWO_POTS = {f"{sample}{n}": (sample, 1) for sample in "AB" for n in (1, 2)}
HALF, THIRD = 1 / 2, 1 / 3


def serve_pairs(right: tuple[int, ...], of: int) -> list[Served]:
    """A pair a person and round; so many are right in each round."""
    return [
        Served(n < k, frozenset({f"A{r}", f"B{r}"}), f"B{r}", (f"A{r}",), f"{'AB'[n < k]}{r}")
        for r, k in enumerate(right, 1)
        for n in range(of)
    ]


def count(answers: list[Served], groups: dict[str, tuple[str, int]], chance: float) -> BrewsResult:
    return count_by_brew(answers, groups, chance, 0.05)


# Fisher, The Design of Experiments (1935), chapter 2: eight cups, four of each kind, all
# rightly told: one chance in 70.
def test_all_right_with_a_brew_and_none_without_it_is_the_tea_tasting() -> None:
    found = count(serve_pairs((4, 0), 4), PAIRS, HALF)
    assert found.counts[0].p_more == pytest.approx(1 / 70)


@pytest.mark.parametrize("right", [(9, 4, 5), (12, 6, 6), (0, 12, 3), (5, 5, 5)])
def test_right_answers_with_and_without_a_brew_are_compared_as_scipy_does(
    right: tuple[int, ...],
) -> None:
    for one in count(serve_pairs(right, 12), PAIRS, HALF).counts:
        table = [
            [one.right, one.served - one.right],
            [one.right_without, one.without - one.right_without],
        ]
        assert one.p_more == pytest.approx(fisher_exact(table, alternative="greater").pvalue)


def test_what_is_left_without_a_brew_has_its_own_exact_p() -> None:
    found = count(serve_pairs((12, 6, 5), 12), PAIRS, HALF).counts[0]
    assert (found.right_without, found.without) == (11, 24)
    expected = binomtest(11, 24, 0.5, alternative="greater").pvalue
    assert found.p_without == pytest.approx(expected)


# Of wrong answers each of two like cups gets its half: a sign test.
def test_wrong_picks_among_like_cups_are_a_sign_test() -> None:
    brews = frozenset({"A1", "A2", "B1"})
    picked = ["A1"] * 7 + ["A2"]
    answers = [Served(False, brews, "B1", ("A1", "A2"), one) for one in picked]
    found = {one.brew: one for one in count(answers, TWO_POTS, THIRD).counts}
    expected = binomtest(7, 8, 0.5, alternative="greater").pvalue
    assert found["A1"].p_stands_out == pytest.approx(expected)
    assert (found["A1"].as_other, found["A1"].picked_as_other) == (8, 7)


def test_right_picks_fall_on_fellows_as_every_way_to_deal_them_says() -> None:
    outcomes = (True, True, True, False, False, True)
    targets = ("B1", "B1", "B1", "B2", "B2", "B2")
    answers = [
        Served(
            right, frozenset({"A1", "A2", target}), target, ("A1", "A1"), target if right else ""
        )
        for right, target in zip(outcomes, targets, strict=True)
    ]
    found = {one.brew: one for one in count(answers, TWO_POTS, THIRD).counts}
    ways = [sum(outcomes[place] for place in mine) for mine in combinations(range(6), 3)]
    expected = sum(way >= 3 for way in ways) / len(ways)
    assert found["B1"].p_stands_out == pytest.approx(expected)


def test_a_pot_that_alone_makes_the_difference_is_named_with_what_stood_beside_it() -> None:
    found = count(serve_pairs((12, 7, 6), 12), PAIRS, HALF)
    assert p_value(25, 36, 0.5) <= 0.05
    assert found.carrying == ("A1", "B1")


def test_where_every_round_does_its_part_no_brew_is_named() -> None:
    assert count(serve_pairs((9, 9, 9), 12), PAIRS, HALF).carrying == ()


def test_fewer_answers_alone_make_no_brew_carry_it() -> None:
    found = count(serve_pairs((8, 8, 8), 12), PAIRS, HALF)
    assert all(one.p_without is not None and one.p_without > 0.05 for one in found.counts)
    assert found.carrying == ()


def test_what_was_not_found_is_carried_by_nothing() -> None:
    assert count(serve_pairs((9, 3, 3), 12), PAIRS, HALF).carrying == ()


def test_one_pot_of_each_sample_tells_nothing_of_a_pot() -> None:
    found = count(serve_pairs((12,), 12), PAIRS, HALF)
    assert found.notes == ("one brew of each sample: nothing tells a brew from its sample",)
    assert [(one.without, one.p_without, one.adjusted, one.carries) for one in found.counts] == [
        (0, None, None, False)
    ] * 2


def test_a_brew_for_every_cup_is_never_named() -> None:
    groups = {f"{s}{n}": (s, 1) for s in "AB" for n in range(1, 13)}
    answers = [
        Served(n < 10, frozenset({f"A{n + 1}", f"B{n + 1}"}), f"B{n + 1}", (f"A{n + 1}",))
        for n in range(12)
    ]
    assert count(answers, groups, HALF).carrying == ()


def test_no_answers_have_no_brews() -> None:
    assert count([], PAIRS, HALF) == BrewsResult((), (), ())


def test_a_brew_that_nobody_made_is_refused() -> None:
    with pytest.raises(ValueError, match="answers must name brews of the groups"):
        count([Served(True, frozenset({"Z9"}))], PAIRS, HALF)


def simulate(seed: int, shift: float, distance: float) -> Iterator[tuple[bool, tuple[str, ...]]]:
    """Play 12 people and 3 rounds of pairs; one pot may be shifted. Tell what was found."""
    rng = np.random.default_rng(seed)
    for _ in range(150):
        first = rng.normal(size=(3, 12))
        second = rng.normal(distance, 1, (3, 12)) + np.array([[shift], [0], [0]])
        right = tuple((second > first).sum(axis=1).tolist())
        found = p_value(sum(right), 36, 0.5) <= 0.05
        yield found, count(serve_pairs(right, 12), PAIRS, HALF).carrying


def test_brews_that_are_alike_are_seldom_named() -> None:
    played = list(simulate(11, 0, 0.9))
    named = sum(bool(carrying) for _, carrying in played)
    assert named <= 0.08 * sum(found for found, _ in played)


def test_an_odd_pot_that_makes_the_finding_is_mostly_named() -> None:
    played = list(simulate(12, 4, 0))
    named = sum(carrying == ("A1", "B1") for _, carrying in played)
    assert named >= 0.75 * sum(found for found, _ in played) > 0


@given(st.lists(st.tuples(st.integers(0, 8)), min_size=3, max_size=3))
def test_brews_that_always_stand_together_are_judged_alike(right: list[tuple[int]]) -> None:
    counts = count(serve_pairs(tuple(k for (k,) in right), 8), PAIRS, HALF).counts
    for first, second in zip(counts[::2], counts[1::2], strict=True):
        assert (first.right, first.p_more) == (second.right, second.p_more)
