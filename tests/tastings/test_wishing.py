from decimal import Decimal

import pytest

from server.tastings.refusals import Invalid
from server.tastings.wishing import MESSAGES, Wish, empty_wish, read_wish


def test_an_untouched_form_is_the_default_wish():
    assert read_wish(empty_wish()) == Wish()


@pytest.mark.parametrize("name", ["d_prime", "assessors", "rounds", "days"])
@pytest.mark.parametrize("typed", ["x", "", "0", "1e9"])
def test_a_number_that_cannot_be_taken_has_its_words(name, typed):
    with pytest.raises(Invalid) as refused:
        read_wish(empty_wish() | {"size": "own", name: typed})
    assert refused.value.messages == {name: MESSAGES[name]}


@pytest.mark.parametrize("name", ["aim", "known", "size", "mind"])
def test_a_choice_nobody_offered_is_refused(name):
    with pytest.raises(Invalid) as refused:
        read_wish(empty_wish() | {name: "else"})
    assert list(refused.value.messages) == [name]


def test_a_distance_that_is_folded_away_is_not_read():
    assert read_wish(empty_wish() | {"d_prime": "far"}) == Wish()


def test_a_distance_may_have_a_comma():
    wish = read_wish(empty_wish() | {"size": "own", "d_prime": "1,25"})
    assert (wish.d_prime, wish.distance) == (Decimal("1.25"), 1.25)


def test_whoever_tastes_alone_is_one_person():
    assert read_wish(empty_wish() | {"alone": "on", "assessors": "9"}).people == 1
