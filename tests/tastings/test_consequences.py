"""What follows from a plan, against numbers that other people printed or computed.

Critical numbers: ISO 4120:2021 table A.1 for n 18 and 24 (from memory; the cells are also
printed in the FAO Manual of food quality control, app. A, retrieved), recomputed exactly.
Power: exact binomial sums, recomputed here in fractions.
"""

from decimal import Decimal
from fractions import Fraction
from math import comb

import pytest

from server.stats.yes_no_power import power_in_blocks
from server.tastings.consequences import TOO_SMALL, work_out
from server.tastings.planning import PlanNumbers, read_numbers
from server.tastings.refusals import Invalid


def plan(**changed):
    return PlanNumbers(**({"assessors": 6, "size_percent": 50} | changed))


def tail(critical, trials, pc):
    """Chance of `critical` or more right answers among `trials`, by plain counting."""
    ways = range(critical, trials + 1)
    return float(sum(comb(trials, k) * pc**k * (1 - pc) ** (trials - k) for k in ways))


def test_six_people_and_three_rounds_need_ten_right_answers():
    follow = work_out(plan())
    assert (follow.trials, follow.critical) == (18, 10)


@pytest.mark.parametrize(("assessors", "critical"), [(3, 3), (12, 8), (24, 13), (36, 18), (60, 27)])
def test_critical_numbers_are_those_of_the_printed_table(assessors, critical):
    assert work_out(plan(assessors=assessors, rounds=1)).critical == critical


def test_the_achieved_level_is_the_exact_tail():
    assert work_out(plan()).achieved_alpha == pytest.approx(tail(10, 18, Fraction(1, 3)))


@pytest.mark.parametrize(
    ("percent", "power"),
    # pc = 1/3 + share × 2/3; computed exactly beforehand, the first to two digits only
    [(50, pytest.approx(0.89, abs=0.005)), (30, pytest.approx(0.5208845340))],
)
def test_power_is_that_of_the_exact_test(percent, power):
    pc = Fraction(1, 3) + Fraction(percent, 100) * Fraction(2, 3)
    assert work_out(plan(size_percent=percent)).power == pytest.approx(tail(10, 18, pc))
    assert work_out(plan(size_percent=percent)).power == power


def test_the_findable_share_is_found_four_times_in_five():
    follow = work_out(plan())
    pc = 1 / 3 + follow.findable * 2 / 3
    assert tail(10, 18, pc) == pytest.approx(0.8)


def test_sixteen_servings_find_half_noticed():
    # 16: smallest number of assessors for pd 50 %, α 0.05, β 0.20 in the table of ISO 4120
    # (from memory, recomputed).
    assert work_out(plan()).wanted == 16


def test_too_few_servings_find_nothing():
    follow = work_out(plan(assessors=2, rounds=1))
    assert (follow.critical, follow.achieved_alpha, follow.findable) == (None, None, None)
    assert follow.power == 0


def test_a_size_next_to_guessing_has_no_number_of_servings():
    assert work_out(plan(size_percent=1)).wanted is None


def test_more_servings_never_want_more():
    wanted = [work_out(plan(size_percent=size)).wanted for size in (10, 30, 50, 90)]
    assert wanted == sorted(wanted, reverse=True)


def test_twelve_triads_of_thirty_millilitres_hold_433_mg_of_caffeine():
    # 95 mg in 237 mL of brewed coffee (common food tables, from memory): 1080 mL × 95 / 237.
    cost = work_out(plan(rounds=12, cup_ml=30)).cost
    assert cost.ml_per_person == 1080
    assert round(cost.caffeine_mg_per_person) == 433
    assert cost.over_day


def test_whoever_spits_has_no_estimate():
    assert work_out(plan(swallow=False)).cost.caffeine_mg_per_person is None


def test_six_servings_of_forty_millilitres_take_two_pots_of_each_sample_a_round():
    # All six orders hold 9 cups of each sample, the spare seat at most 2 more; a pot of
    # 500 mL fills 12 cups, and like cups come from two pots: counted by hand.
    follow = work_out(plan())
    assert (follow.pots.pots, follow.pots.cups, follow.cost.pots) == (2, 12, 12)


def test_cups_count_the_spare_seats():
    assert work_out(plan(spare_seats=2)).cost.cups == (6 + 2) * 3 * 3


def test_a_blend_is_one_slot_of_two_brews():
    pots = work_out(plan(pots="blend")).pots
    assert (pots.slots, pots.brews) == (1, 2)


def test_a_pot_smaller_than_a_cup_is_refused_in_plain_words():
    with pytest.raises(Invalid) as refused:
        work_out(plan(cup_ml=Decimal(150), pot_ml=Decimal(100)))
    assert refused.value.messages == {"pot_ml": TOO_SMALL}


def alone(**changed):
    return plan(**{"assessors": 1, "spare_seats": 0, "pourer": "alone", "pots": "blend",
                   "sittings": 6} | changed)  # fmt: skip


def test_alone_all_sittings_count():
    # 18 triads need 10 right: ISO 4120:2021 table A.1, from memory.
    assert (work_out(alone()).trials, work_out(alone()).critical) == (18, 10)


def test_alone_cups_and_pots_are_those_of_all_sittings_and_caffeine_that_of_one():
    # By hand: 6 sittings of 3 triads are 54 cups; a blend of two brews of each sample a
    # sitting is 24 pots; 360 mL a sitting hold 360 × 95 / 237 = 144 mg.
    cost = work_out(alone()).cost
    assert (cost.cups, cost.pots, cost.ml_per_person) == (54, 24, 360)
    assert round(cost.caffeine_mg_per_person) == 144


def test_a_sitting_alone_takes_most_of_an_hour_and_a_panel_has_a_run_card_instead():
    assert 30 < work_out(alone()).minutes < 60
    assert work_out(plan()).minutes is None


def test_alone_a_single_pot_that_cannot_fill_the_sitting_is_refused():
    with pytest.raises(Invalid) as refused:
        work_out(alone(pots="single", pot_ml=Decimal(100)))
    assert refused.value.messages == {"pot_ml": TOO_SMALL}


def test_where_either_sample_may_be_ahead_both_sides_need_their_number():
    # ISO 5495:2005, two-sided at 5 %: 24 answers need 18 (from memory); power by plain counting.
    follow = work_out(plan(method="paired-preference", assessors=24, rounds=1))
    both = tail(18, 24, Fraction(3, 4)) + tail(18, 24, Fraction(1, 4))
    assert (follow.critical, follow.two_sided) == (18, True)
    assert follow.achieved_alpha == pytest.approx(2 * tail(18, 24, Fraction(1, 2)))
    assert follow.power == pytest.approx(both)


@pytest.mark.parametrize(("method", "rounds"), [("a-not-a", 4), ("same-different", 4)])
def test_two_kinds_of_servings_have_an_exact_power_and_no_critical_number(method, rounds):
    follow = work_out(plan(method=method, assessors=10, rounds=rounds))
    assert follow.power == power_in_blocks(
        follow.trials // (2 if method == "a-not-a" else 4), 1 if method == "a-not-a" else 2,
        0.75, 0.25, 0.05,
    )  # fmt: skip
    assert (follow.critical, follow.yes_or_no) == (follow.trials, True)


def test_open_cups_are_brewed_and_drunk_with_the_others():
    coded = work_out(plan(method="same-different", rounds=4))
    known = work_out(plan(method="a-not-a", rounds=4, open_cups="AB"))
    assert coded.cost.cups == 7 * 4 * 2
    assert known.cost.cups == 7 * (4 + 2)
    assert known.cost.ml_per_person == 40 * (4 + 2)
    assert known.cost.pots == 2 * 2 * 4 + 2


def known(**changed):
    return work_out(plan(assessors=3, spare_seats=0, positive_control=True, **changed))


def test_rounds_of_a_positive_control_count_for_its_power_and_for_the_cups():
    # 90 % noticing is p 14/15 of a triangle test; 5 of 6 are needed at 5 % (13/729).
    once, twice = known(), known(positive_rounds=2)
    assert twice.control_power == pytest.approx(tail(5, 6, Fraction(14, 15)))
    assert once.control_power == pytest.approx(tail(3, 3, Fraction(14, 15)))
    assert twice.cost.cups - once.cost.cups == 3 * 3
    assert twice.cost.pots - once.cost.pots == 2 * twice.pots.pots


def test_a_positive_control_wants_answers_whose_power_stays_good():
    # 70 % noticing is p 4/5; by plain counting power is at least 80 % from 12 answers on.
    follow = known(positive_percent=70)
    needed = follow.control_wanted
    critical = {n: next(k for k in range(n + 2) if tail(k, n, Fraction(1, 3)) <= 0.05)
                for n in range(3, 40)}  # fmt: skip
    powers = {n: tail(k, n, Fraction(4, 5)) for n, k in critical.items()}
    assert needed == 1 + max(n for n, power in powers.items() if power < 0.8)
    assert follow.control_rounds_wanted == -(-needed // 3)


def test_a_known_difference_too_small_for_any_number_of_answers_wants_no_rounds():
    follow = known(positive_percent=1, alpha="0.0001")
    assert (follow.control_wanted, follow.control_rounds_wanted) == (None, None)


# Computed: 18 balanced triads need 27 cups of each sample; at 40 mL they are 1080 mL, five brews
# of 250 mL, and a sixth where 30 mL of each go to readings, check cup and dregs.
@pytest.mark.parametrize(("loss", "pots"), [("0", 5), ("30", 6)])
def test_what_fills_no_cup_is_taken_off_every_pot(loss, pots):
    typed = {"pot_ml": "250", "loss_ml": loss, "cup_ml": "40", "assessors": "18", "rounds": "1"}
    form = {"size_percent": "50", "pourer": "absent", "spare_seats": "0"} | typed
    assert work_out(read_numbers(form)).pots.pots == pots


def test_a_pot_that_is_all_loss_is_refused():
    typed = {"pot_ml": "100", "loss_ml": "80", "assessors": "6"}
    with pytest.raises(Invalid) as refused:
        work_out(read_numbers({"size_percent": "50", "pourer": "absent"} | typed))
    assert "pot_ml" in refused.value.messages
