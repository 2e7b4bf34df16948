"""What every method that is served keeps: a complete set of orders, and one right answer."""

from collections import Counter
from itertools import permutations

import pytest

from server.methods.asked import find_orders
from server.methods.base import InvalidAnswer
from server.methods.registry import METHODS, get_method
from server.methods.served import swap_samples
from server.methods.traits import picks_a_cup
from tests.answers import list_answers

CODES = ("412", "587", "936", "263", "745")
PICKED = [name for name, method in METHODS.items() if picks_a_cup(method)]


@pytest.mark.parametrize("name", METHODS)
def test_no_order_comes_twice_and_all_have_as_many_cups(name):
    method = get_method(name)
    assert len(set(method.orders)) == len(method.orders)
    assert {len(order) for order in method.orders} == {method.cups}


@pytest.mark.parametrize("name", METHODS)
def test_every_arrangement_of_the_cups_that_are_judged_is_among_the_orders(name):
    # A complete set, as ISO 4120, ISO 10399 and ISO 5495 ask for: position tells nothing.
    method = get_method(name)
    for order in method.orders:
        held, judged = (order[:1], order[1:]) if method.reference else ("", order)
        assert {held + "".join(one) for one in permutations(judged)} <= set(method.orders)


@pytest.mark.parametrize("name", METHODS)
def test_one_answer_to_every_order_is_right(name):
    method = get_method(name)
    codes = CODES[: method.cups]
    bodies = [method.parse_answer(form, codes) for form in list_answers(method, codes)]
    for order in method.orders:
        assert sum(method.is_correct(body, codes, order) for body in bodies) == 1


@pytest.mark.parametrize("name", METHODS)
def test_every_answer_is_right_in_as_many_orders_as_any_other(name):
    method = get_method(name)
    codes = CODES[: method.cups]
    bodies = [method.parse_answer(form, codes) for form in list_answers(method, codes)]
    rights = {sum(method.is_correct(one, codes, o) for o in method.orders) for one in bodies}
    assert len(rights) == 1


@pytest.mark.parametrize("name", METHODS)
def test_an_answers_body_can_be_sent_again_as_a_form(name):
    method = get_method(name)
    codes = CODES[: method.cups]
    for form in list_answers(method, codes):
        body = method.parse_answer(form, codes)
        again = {member: "" if value is False else value for member, value in body.items()}
        assert method.parse_answer(again, codes) == body


@pytest.mark.parametrize("name", METHODS)
def test_no_answer_at_all_is_refused(name):
    method = get_method(name)
    with pytest.raises(InvalidAnswer):
        method.parse_answer({}, CODES[: method.cups])


@pytest.mark.parametrize("name", PICKED)
def test_the_right_cup_stands_equally_often_in_every_place_that_may_be_picked(name):
    method = get_method(name)
    codes = CODES[: method.cups]
    places = Counter(
        place
        for order in method.orders
        for place, code in enumerate(codes)
        if method.is_correct({"pick": code}, codes, order)
    )
    assert set(places) == set(range(method.reference, method.cups))
    assert len(set(places.values())) == 1


@pytest.mark.parametrize("name", METHODS)
def test_guessing_is_right_as_often_as_the_model_says(name):
    method = get_method(name)
    choices = list_answers(method, CODES[: method.cups])
    assert 1 / len(choices) == pytest.approx(method.model.chance)


@pytest.mark.parametrize(("more", "odd"), [("A", "A"), ("B", "B")])
def test_one_cup_of_three_is_of_the_sample_with_more(make_plan, more, odd):
    plan = make_plan(method="3-afc", direction={"attribute": "bitter", "more": more})
    assert {order.count(odd) for order in find_orders(plan)} == {1}


@pytest.mark.parametrize("name", ["triangle", "duo-trio", "2-afc", "tetrad", "two-out-of-five"])
def test_swapping_the_samples_of_a_balanced_set_changes_nothing(name):
    orders = get_method(name).orders
    assert set(swap_samples(orders)) == set(orders)


def test_with_a_constant_reference_it_is_always_sample_a():
    assert {order[0] for order in get_method("duo-trio-constant").orders} == {"A"}
