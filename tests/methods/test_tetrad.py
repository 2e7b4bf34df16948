import pytest

from server.methods.tetrad import TETRAD


@pytest.mark.parametrize(
    ("percepts", "right"),
    [
        ((0, 1, 2, 3), True),
        ((3, 2, 0, 1), True),
        ((0, 2, 1, 3), False),
        ((0, 3, 1, 2), False),  # one sample around the other
        ((1, 2, 0, 3), False),
        ((0, 1, 1, 3), False),  # a tie at the border of the pairs
    ],
)
def test_the_two_weakest_and_the_two_strongest_are_paired(percepts, right):
    assert TETRAD.decide(percepts).item() is right
