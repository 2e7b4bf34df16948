import pytest

from server.methods.a_not_a import A_NOT_A
from server.methods.base import InvalidAnswer
from server.methods.registry import YES_NO
from server.methods.same_different import SAME_DIFFERENT
from server.methods.two_kinds import can_reach, find_power, find_servings, find_share

CODES = ("412", "587")


@pytest.mark.parametrize("method", YES_NO.values(), ids=lambda method: method.name)
def test_half_of_the_orders_are_of_either_kind(method):
    assert 2 * len(method.first) == len(method.orders)
    assert method.first < set(method.orders)


@pytest.mark.parametrize("method", YES_NO.values(), ids=lambda method: method.name)
def test_one_of_both_answers_is_right(method):
    codes = CODES[: method.cups]
    for order in method.orders:
        right = {said: method.is_correct({"said": said}, codes, order) for said in ("yes", "no")}
        assert right == {"yes": order in method.first, "no": order not in method.first}


@pytest.mark.parametrize("method", YES_NO.values(), ids=lambda method: method.name)
def test_an_answer_that_is_neither_is_refused(method):
    for form in ({}, {"said": "maybe"}):
        with pytest.raises(InvalidAnswer, match="Choose one answer"):
            method.parse_answer(form, CODES[: method.cups])


def test_an_order_of_another_method_is_refused():
    with pytest.raises(ValueError, match="order must be one of A, B, not AB"):
        A_NOT_A.is_correct({"said": "yes"}, ["412"], "AB")
    with pytest.raises(ValueError, match="codes must be 2, not 1"):
        SAME_DIFFERENT.is_correct({"said": "yes"}, ["412"], "AB")


def test_so_many_servings_are_the_fewest_whole_blocks_that_find_the_size():
    for name, block in (("a-not-a", 2), ("same-different", 4)):
        needed = find_servings(name, 0.05, 0.8, 0.5)
        assert needed % block == 0
        assert find_power(name, needed, 0.05, 0.5) >= 0.8
        assert find_power(name, needed + block, 0.05, 0.5) >= 0.8
        assert find_power(name, needed - block, 0.05, 0.5) < 0.8 or needed == block


def test_a_size_next_to_guessing_needs_more_than_anybody_can_plan():
    assert find_servings("a-not-a", 0.05, 0.8, 0.01) is None


def test_the_smallest_share_has_the_power_asked_for():
    share = find_share("same-different", 40, 0.05, 0.8)
    assert find_power("same-different", 40, 0.05, share) == pytest.approx(0.8, abs=1e-4)


def test_a_few_right_answers_may_be_too_few():
    # Four pairs of changes: 1/16 > .05; five: 1/32. One set of pairs: 1/6; two: 1/36.
    assert [can_reach("a-not-a", n, 0.05) for n in (8, 10)] == [False, True]
    assert [can_reach("same-different", n, 0.05) for n in (4, 8)] == [False, True]
