"""Numbers that the trade looks up, recomputed exactly.

Critical numbers of 12 to 24 triads agree with a printed table of triangle tests, retrieved;
all the others were computed by exact binomial sums.
"""

import pytest

from server.stats.binomial import critical_number, p_value, power, tail
from server.stats.similarity import largest_passing
from server.stats.thurstone import pc_from_share
from server.stats.trials import trials_for_power

THIRD, HALF = 1 / 3, 1 / 2
TRIADS = {
    6: (5, 6), 8: (6, 7), 9: (6, 7), 10: (7, 8), 12: (8, 9), 15: (9, 10), 18: (10, 12),
    20: (11, 13), 24: (13, 15), 30: (15, 17), 36: (18, 20), 48: (22, 25), 60: (27, 30),
    72: (32, 34), 100: (42, 46),
}  # fmt: skip
PAIRS = {8: 7, 10: 9, 12: 10, 15: 12, 18: 13, 20: 15, 24: 17, 30: 20, 36: 24, 48: 31, 60: 37}
FIVES = {5: 3, 10: 4, 15: 5, 20: 5}
POWERS = {
    12: (0.14, 0.2646, 0.44, 0.63),  # a hand-made list has .27 here; 8 of 12 at .5333 is .2646
    18: (0.30, 0.52, 0.74, 0.89),
    24: (0.30, 0.55, 0.79, 0.93),
    36: (0.41, 0.72, 0.92, 0.99),
    60: (0.65, 0.92, 0.99, 1.00),
}
SIMILAR = {
    0.3: {30: 11, 36: 13, 60: 25, 72: 30, 90: 39},
    0.2: {30: 9, 60: 21, 72: 26, 90: 33, 108: 41},
}


@pytest.mark.parametrize(("trials", "needed"), TRIADS.items())
def test_fewest_right_triads(trials: int, needed: tuple[int, int]) -> None:
    found = tuple(critical_number(trials, THIRD, alpha) for alpha in (0.05, 0.01))
    assert found == needed


def test_nine_of_sixteen_triads_are_enough_though_print_rounds_them_to_the_level() -> None:
    assert critical_number(16, THIRD, 0.05) == 9
    assert f"{p_value(9, 16, THIRD):.5f}" == "0.04996"


@pytest.mark.parametrize(("trials", "needed"), PAIRS.items())
def test_fewest_right_pairs(trials: int, needed: int) -> None:
    assert critical_number(trials, HALF, 0.05) == needed


@pytest.mark.parametrize(("trials", "needed"), FIVES.items())
def test_fewest_right_twos_of_five(trials: int, needed: int) -> None:
    assert critical_number(trials, 0.1, 0.05) == needed


@pytest.mark.parametrize(
    ("right", "trials", "p"),
    [(8, 12, 0.0188), (7, 10, 0.0197), (13, 24, 0.0284), (11, 20, 0.0376), (4, 5, 0.0453),
     (4, 4, 0.0123), (3, 3, 0.0370)],
)  # fmt: skip
def test_p_of_right_triads(right: int, trials: int, p: float) -> None:
    assert p_value(right, trials, THIRD) == pytest.approx(p, abs=6e-5)


@pytest.mark.parametrize(("trials", "powers"), POWERS.items())
def test_power_of_triads_by_the_share_that_tells_them_apart(
    trials: int, powers: tuple[float, ...]
) -> None:
    found = [
        power(trials, THIRD, 0.05, pc_from_share(share, THIRD)) for share in (0.2, 0.3, 0.4, 0.5)
    ]
    assert found == pytest.approx(powers, abs=0.0051)


@pytest.mark.parametrize(("share", "trials"), [(0.5, 16), (0.4, 25), (0.3, 42), (0.2, 94)])
def test_triads_for_four_chances_in_five(share: float, trials: int) -> None:
    found = trials_for_power(THIRD, 0.05, 0.8, pc_from_share(share, THIRD))
    assert trials in (found.trials, found.trials_stable)


@pytest.mark.parametrize(
    ("limit", "trials", "most"),
    [(limit, n, most) for limit, rows in SIMILAR.items() for n, most in rows.items()],
)
def test_most_right_triads_that_show_few_notice(limit: float, trials: int, most: int) -> None:
    assert largest_passing(trials, THIRD, limit, 0.05) == most


@pytest.mark.parametrize(
    ("trials", "chance"), [(30, 0.43), (60, 0.66), (72, 0.74), (108, 0.87), (150, 0.95)]
)
def test_how_often_two_like_samples_pass_as_such(trials: int, chance: float) -> None:
    most = largest_passing(trials, THIRD, 0.2, 0.05)
    assert most is not None
    assert 1 - tail(most + 1, trials, THIRD) == pytest.approx(chance, abs=0.0051)


@pytest.mark.parametrize(("trials", "chance"), [(18, 0.124), (40, 0.165)])
def test_looking_after_every_triad_makes_false_alarms(trials: int, chance: float) -> None:
    going, alarms = {0: 1.0}, 0.0
    for n in range(1, trials + 1):
        needed = critical_number(n, THIRD, 0.05)
        after: dict[int, float] = {}
        for right, part in going.items():
            for more, p in ((0, 2 / 3), (1, THIRD)):
                after[right + more] = after.get(right + more, 0.0) + part * p
        stopped = {k for k in after if needed is not None and k >= needed}
        alarms += sum(after.pop(k) for k in stopped)
        going = after
    assert alarms == pytest.approx(chance, abs=0.0006)


@pytest.mark.parametrize(("tests", "chance"), [(10, 0.40), (12, 0.46)])
def test_many_tests_make_one_false_alarm_likely(tests: int, chance: float) -> None:
    assert 1 - 0.95**tests == pytest.approx(chance, abs=0.005)
