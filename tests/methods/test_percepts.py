import numpy as np
import pytest

from server.methods.percepts import read_percepts


def test_percepts_come_cup_by_cup():
    cups = read_percepts(np.arange(12.0).reshape(2, 2, 3), 3)
    assert [cup.tolist() for cup in cups] == [
        [[0, 3], [6, 9]],
        [[1, 4], [7, 10]],
        [[2, 5], [8, 11]],
    ]


@pytest.mark.parametrize("percepts", [[1.0, 2.0], [[1.0], [2.0]], 3.0, []])
def test_another_number_of_cups_is_refused(percepts):
    with pytest.raises(ValueError, match="percepts must hold 3 cups"):
        read_percepts(percepts, 3)


def test_a_percept_that_is_no_number_is_refused():
    with pytest.raises(ValueError, match=r"percepts .* not nan"):
        read_percepts([0.5, np.nan], 2)
