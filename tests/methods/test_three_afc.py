import pytest

from server.methods.three_afc import THREE_AFC


@pytest.mark.parametrize(
    ("percepts", "right"),
    [
        ((0, 1, 2), True),
        ((1, 0, 2), True),
        ((0, 2, 1), False),
        ((2, 0, 1), False),
        ((0, 2, 2), False),  # a tie
    ],
)
def test_the_largest_percept_is_said_to_be_strongest(percepts, right):
    assert THREE_AFC.decide(percepts).item() is right
