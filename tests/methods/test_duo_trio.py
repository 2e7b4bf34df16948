import pytest

from server.methods.duo_trio import DUO_TRIO


@pytest.mark.parametrize(
    ("reference", "same", "other", "right"),
    [(0, 1, 2, True), (0, -1, 2, True), (0, 2, 1, False), (0, -2, 1, False), (0, 1, -1, False)],
)
def test_the_cup_nearer_to_the_reference_is_said_to_match(reference, same, other, right):
    assert DUO_TRIO.decide([reference, same, other]).item() is right
