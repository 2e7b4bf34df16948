import numpy as np
import pytest

from server.sheets.order import examine_order, number_sittings
from server.sheets.scores import Score, collect_ratings

ORDERS = ("XYZ", "YZX", "ZXY", "XZY", "ZYX", "YXZ")


def serve(first: float = 0.0) -> list[Score]:
    """Six orders of three samples in each of two sittings; the first cup is raised."""
    rng = np.random.default_rng(5)
    return [
        Score(f"p{place}", name, "sweet", value, None, at, str(sitting))
        for place in range(6)
        for sitting in (1, 2)
        for at, name in enumerate(ORDERS[(place + sitting) % 6], 1)
        for value in [ord(name) + first * (at == 1) + rng.normal()]
    ]


def examine(scores):
    return examine_order(scores, collect_ratings(scores))


def test_a_raised_first_cup_is_seen():
    assert examine(serve(first=3))[0].position.p_value < 0.001


def test_an_order_without_effect_is_not_seen():
    found, _ = examine(serve())
    tests = (found.position, found.carry_over, found.sitting, found.drift)
    assert min(test.p_value for test in tests) > 0.05


def test_without_positions_nothing_is_said():
    assert examine([score._replace(position=None) for score in serve()]) == (None, ())


def test_a_position_that_is_missing_is_said():
    scores = serve()
    found, notes = examine([scores[0]._replace(position=None), *scores[1:]])
    assert found.position is None
    assert notes[0].endswith("1 of 36 scores have no position.")


def test_a_position_taken_twice_is_said():
    found, notes = examine([score._replace(sitting=None) for score in serve()])
    assert found.position is None
    assert "positions must differ within a sitting" in notes[0]


def test_a_missing_value_needs_no_position():
    scores = [*serve(), Score("p0", "X", "sweet", None)]
    assert examine(scores)[0].position is not None


@pytest.mark.parametrize(
    ("sittings", "numbers"),
    [
        (["2", "10"], [2, 10]),
        (["2031-05-14", "2031-05-02", "2031-05-14"], [2, 1, 2]),
        (["1", "later"], [1, 2]),
        ([None, None], [1, 1]),
    ],
)
def test_sittings_are_numbered_in_order_of_time(sittings, numbers):
    assert number_sittings(sittings) == numbers
