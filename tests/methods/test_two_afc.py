import pytest

from server.methods.two_afc import TWO_AFC


@pytest.mark.parametrize(("weaker", "stronger", "right"), [(0, 1, True), (1, 0, False)])
def test_the_larger_percept_is_said_to_be_stronger(weaker, stronger, right):
    assert TWO_AFC.decide([weaker, stronger]).item() is right
