import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from server.stats.letters import assign_letters


def told_apart(count: int, *pairs: tuple[int, int]) -> np.ndarray:
    differ = np.zeros((count, count), dtype=bool)
    for one, other in pairs:
        differ[one, other] = differ[other, one] = True
    return differ


# By insert and absorb, Piepho (2004); recomputed independently (two programs).
def test_only_the_first_and_third_of_four_differ():
    assert assign_letters([4, 3, 2, 1], told_apart(4, (0, 2))) == ("a", "ab", "b", "ab")


def test_where_nothing_differs_all_share_one_letter():
    assert assign_letters([4, 3, 2, 1], told_apart(4)) == ("a",) * 4


def test_where_all_differ_nobody_shares():
    assert assign_letters([1, 2, 3], told_apart(3, (0, 1), (0, 2), (1, 2))) == ("c", "b", "a")


@st.composite
def patterns(draw):
    count = draw(st.integers(1, 7))
    means = draw(st.lists(st.integers(0, 9), min_size=count, max_size=count))
    pairs = [(i, j) for i in range(count) for j in range(i)]
    chosen = draw(st.lists(st.sampled_from(pairs), unique=True)) if pairs else []
    return means, told_apart(count, *chosen)


@given(patterns())
def test_two_samples_share_a_letter_exactly_if_they_are_not_told_apart(pattern):
    means, differ = pattern
    letters = assign_letters(means, differ)
    for i in range(len(means)):
        for j in range(i):
            assert bool(set(letters[i]) & set(letters[j])) != differ[i, j]


@given(patterns())
def test_no_letter_could_be_left_out(pattern):
    means, differ = pattern
    letters = assign_letters(means, differ)
    groups = [
        frozenset(i for i, held in enumerate(letters) if x in held) for x in set("".join(letters))
    ]
    assert not any(one < other for one in groups for other in groups)


@pytest.mark.parametrize(
    ("differ", "message"),
    [(told_apart(2), "3 × 3, not"), (np.triu(np.ones((3, 3), dtype=bool)), "symmetric")],
)
def test_a_pattern_that_does_not_fit_is_refused(differ, message):
    with pytest.raises(ValueError, match=message):
        assign_letters([1, 2, 3], differ)
