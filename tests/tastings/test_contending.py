"""Methods side by side for one wish.

Numbers of answers: Ennis & Jesionka (2011), The power of sensory discrimination methods
revisited, Journal of Sensory Studies 26, 371-382, abstract: at d' = 1, alpha 0.05 and
power 0.80 a triangle test needs 202 answers first, a tetrad 61. The stable numbers beside
them were computed independently (tests/stats).
"""

from decimal import Decimal
from fractions import Fraction
from math import comb

import pytest

from server.brewing.cost import CAFFEINE_MG_PER_ML
from server.methods.purposes import Known, find_known, needs_familiar_sample
from server.methods.registry import METHODS
from server.stats.trials import trials_for_power
from server.tastings.contending import list_contenders
from server.tastings.wishing import Aim, Minded, Size, Wish

SMALL = {"size": Size.SMALL, "assessors": 1}  # d′ 1; one person, so that nothing is rounded up


def find(name, **answers):
    return {one.name: one for one in list_contenders(Wish(**answers))}.get(name)


def tail(critical, trials, pc):
    """Chance of `critical` or more right answers among `trials`, by plain counting."""
    ways = range(critical, trials + 1)
    exact = Fraction(pc)
    return float(sum(comb(trials, k) * exact**k * (1 - exact) ** (trials - k) for k in ways))


def test_a_triangle_needs_the_published_answers_and_a_few_more_to_be_sure_of_them():
    one = find("triangle", **SMALL)
    first = trials_for_power(1 / 3, 0.05, 0.8, one.pc).trials
    assert (first, one.need.wanted) == (202, 220)


# tests/reference/trials_for_d_prime.csv, the number from which on the power is always enough.
@pytest.mark.parametrize(
    ("name", "size", "wanted"),
    [
        ("triangle", Size.MIDDLING, 57),
        ("duo-trio", Size.SMALL, 241),
        ("2-afc", Size.SMALL, 26),
        ("2-afc", Size.MIDDLING, 13),
        ("3-afc", Size.SMALL, 22),
    ],
)
def test_what_is_needed_is_what_was_computed_independently(name, size, wanted):
    one = find(name, size=size, assessors=1, known=Known.DIRECTION)
    assert one.need.wanted == wanted


@pytest.mark.parametrize("size", [Size.LARGE, Size.MIDDLING, Size.SMALL])
@pytest.mark.parametrize("assessors", [1, 5, 17])
def test_what_is_said_to_be_needed_has_the_power_that_is_said(size, assessors):
    wish = Wish(size=size, assessors=assessors, known=Known.DIRECTION, familiar=True)
    for one in list_contenders(wish):
        if one.need and one.method.sided == "one":
            answers = one.need.answers
            critical = next(
                k for k in range(answers + 1) if tail(k, answers, one.model.chance) <= 0.05
            )
            assert one.need.power == pytest.approx(tail(critical, answers, one.pc))
            assert one.need.power >= 0.8
            assert answers % assessors == 0


def test_the_people_at_hand_find_what_is_said_four_times_in_five():
    hand = find("triangle", assessors=6, rounds=3).hand
    pc = 1 / 3 + hand.share * 2 / 3
    assert (hand.answers, hand.critical) == (18, 10)  # ISO 4120:2021 table A.1, from memory
    assert tail(10, 18, pc) == pytest.approx(0.8)


def test_servings_of_several_days_add_up():
    assert find("triangle", assessors=6, rounds=3, days=4).hand.answers == 72


def test_cups_pots_and_caffeine_are_those_of_a_plan():
    one = find("triangle", size=Size.LARGE, assessors=6).need
    assert (one.wanted, one.price.each) == (23, 4)
    assert one.price.cups == 7 * 4 * 3  # a spare seat is poured for as well
    assert one.price.pots == 4 * 4  # two brews a sample and round
    assert one.price.caffeine_mg == 12 * Decimal(40) * CAFFEINE_MG_PER_ML


def test_more_days_leave_less_caffeine_on_each():
    one, other = (
        find("triangle", size=Size.LARGE, rounds=2, days=days).need.price for days in (1, 2)
    )
    assert other.caffeine_mg * 2 == one.caffeine_mg
    assert other.minutes < one.minutes


def test_whoever_knows_no_direction_is_offered_no_method_that_needs_one():
    for one in list_contenders(Wish(known=Known.ATTRIBUTE)):
        assert one.known != Known.DIRECTION


def test_a_method_with_a_known_sample_is_offered_only_where_one_is_known():
    known = {name for name, one in METHODS.items() if needs_familiar_sample(one)}
    offered = {one.name for one in list_contenders(Wish())}
    assert known
    assert not known & offered
    assert known <= {one.name for one in list_contenders(Wish(familiar=True))}


def test_which_has_more_is_asked_by_name():
    wish = Wish(aim=Aim.MORE, known=Known.DIRECTION)
    found = list_contenders(wish)
    assert found
    assert all(find_known(one.method) != Known.NOTHING for one in found)
    assert list_contenders(Wish(aim=Aim.MORE)) == ()


def test_alone_a_triangle_has_no_distance_and_says_why():
    one = find("triangle", alone=True)
    assert (one.need, one.hand.d_prime) == (None, None)
    assert "whoever tasted had poured" in one.note
    assert one.hand.share is not None


@pytest.mark.parametrize(
    ("mind", "take"),
    [
        (Minded.CUPS, lambda need: need.price.cups),
        (Minded.ANSWERS, lambda need: need.answers),
        (Minded.POTS, lambda need: need.price.pots),
        (Minded.MINUTES, lambda need: need.price.minutes),
        (Minded.CAFFEINE, lambda need: need.price.caffeine_mg),
    ],
)
def test_what_the_leader_minds_is_least_in_the_first_line(mind, take):
    found = list_contenders(Wish(known=Known.DIRECTION, familiar=True, mind=mind))
    taken = [take(one.need) for one in found if one.need]
    assert taken == sorted(taken)
    assert len(taken) >= 3


def test_servings_of_two_kinds_say_what_share_is_found_but_need_no_number_of_right_answers():
    one = find("same-different", assessors=6, rounds=4)
    assert (one.by_two_rates, one.need, one.hand.power) == (True, None, None)
    assert 0 < one.hand.share < 1
    assert "two rates" in one.note
