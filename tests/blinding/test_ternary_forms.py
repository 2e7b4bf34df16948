from itertools import product
from math import isqrt

import pytest

from server.blinding.ternary_forms import is_solvable


def has_small_solution(a: int, b: int) -> bool:
    """Look for x² = a y² + b z² with y and z up to 30 in size, not both 0."""
    sums = (a * y * y + b * z * z for y, z in product(range(31), repeat=2) if y or z)
    return any(one >= 0 and isqrt(one) ** 2 == one for one in sums)


# Reference: trying all small numbers. A form with coefficients up to 12 that can be solved
# has a solution far below 30 (Holzer 1950, from memory).
@pytest.mark.parametrize("a", [n for n in range(-12, 13) if n])
def test_it_agrees_with_trying_all_small_numbers(a: int) -> None:
    others = [b for b in range(-12, 13) if b]
    assert [is_solvable(a, b) for b in others] == [has_small_solution(a, b) for b in others]


# Fermat: x² + y² = n z² can be solved if and only if n is a sum of two squares.
@pytest.mark.parametrize("number", range(1, 200))
def test_sums_of_two_squares_are_those_of_fermat(number: int) -> None:
    sums = {x * x + y * y for x, y in product(range(15), repeat=2)}
    assert is_solvable(number, -1) == (number in sums)


@pytest.mark.parametrize(("a", "b", "message"), [(0, 1, "a must not be 0"), (1, 0, "b must not")])
def test_a_coefficient_of_nothing_is_refused(a: int, b: int, message: str) -> None:
    with pytest.raises(ValueError, match=message):
        is_solvable(a, b)
