import pytest

from server.stats.series import Answer, Step, check_concentration, order_steps, pool


def test_answers_are_summed_over_assessors():
    answers = [Answer("ann", 3, 1), Answer("bo", 1, 2, 4), Answer("bo", 3, 0)]
    assert pool(answers) == (Step(1, 2, 4), Step(3, 1, 2))


def test_steps_come_in_rising_order():
    steps = [Step(9, 3, 3), Step(0.5, 1, 3), Step(3, 2, 3)]
    assert [step.concentration for step in order_steps(steps)] == [0.5, 3, 9]


@pytest.mark.parametrize("concentration", [0, -1, float("nan"), float("inf"), 1e-16, 2e15])
def test_a_concentration_without_a_usable_logarithm_is_refused(concentration):
    with pytest.raises(ValueError, match=f"concentration must be above 0, .* not {concentration}"):
        check_concentration(concentration)


@pytest.mark.parametrize(
    ("steps", "message"),
    [
        ([], "steps must hold at least one step"),
        ([Step(0, 1, 2)], "concentration must be above 0"),
        ([Step(1, 3, 2)], r"correct must be .* \(2\), not 3"),
        ([Step(1, 0, 0)], "trials must be"),
        ([Step(2, 1, 2), Step(1, 1, 2), Step(2.0, 2, 2)], "must rise at every step, not stay 2"),
    ],
)
def test_steps_that_make_no_series_are_refused(steps, message):
    with pytest.raises(ValueError, match=message):
        order_steps(steps)


def test_impossible_counts_are_refused_before_a_sum_hides_them():
    with pytest.raises(ValueError, match="not 2"):
        pool([Answer("ann", 1, 2, 1), Answer("bo", 1, 0, 1)])
