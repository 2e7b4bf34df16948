"""What a scored table takes and balances, counted by hand."""

from decimal import Decimal

from server.sheets.starters import get_starter
from server.tastings.table_costs import work_out_table
from server.tastings.table_planning import read_table_plan
from tests.table_forms import TABLE

SHEET = get_starter("roast-consistency").sheet


def cost(**changed):
    planned = read_table_plan(TABLE | changed, SHEET)
    return work_out_table(planned.plan, tuple(planned.labels), SHEET)


def test_own_cups_are_poured_for_spare_seats_too():
    found = cost()
    assert (found.codes, found.cups, found.ml) == (3, 7 * 3, 7 * 3 * Decimal(60))


def test_shared_bowls_are_counted_once():
    found = cost(style="shared", bowls="4")
    assert (found.codes, found.cups, found.brews) == (3, 12, 12)


def test_a_warm_up_cup_is_poured_and_drunk_but_has_no_code_to_score():
    without, with_it = cost(), cost(warm_up="A")
    assert (with_it.codes, with_it.scores) == (without.codes, without.scores)
    assert with_it.ml_per_person == without.ml_per_person + 60


def test_an_open_bowl_is_brewed_and_drunk_in_every_sitting_and_never_scored():
    without, with_it = cost(sittings="2"), cost(sittings="2", calibration="house filter")
    # 7 cups of 60 mL a sitting, from one pot of 500 mL
    assert with_it.cups - without.cups == 2 * 7
    assert with_it.ml - without.ml == 2 * 7 * 60
    assert with_it.brews - without.brews == 2
    assert with_it.ml_per_person - without.ml_per_person == 60
    assert (with_it.codes, with_it.scores) == (without.codes, without.scores)
    assert with_it.minutes > without.minutes


def test_of_a_shared_open_bowl_everybody_takes_a_sip():
    without = cost(style="shared")
    with_it = cost(style="shared", calibration="house filter")
    assert with_it.cups == without.cups + 1
    assert with_it.ml_per_person == without.ml_per_person + 8  # mL a sip, as assumed


def test_caffeine_is_that_of_brewed_coffee():
    """95 mg in 237 mL (from memory of common food tables): 180 mL hold 72 mg."""
    assert round(cost().caffeine_mg) == 72


def test_a_large_cup_swallowed_is_more_than_one_go_should_hold():
    """200 mg at once: EFSA, Scientific Opinion on caffeine, EFSA Journal 13(5):4102, 2015."""
    assert cost(cup_ml="200", swallow="on").is_over_dose
    assert not cost(cup_ml="200").is_over_dose


def test_three_samples_and_six_people_are_balanced_by_place_and_follower():
    """Williams 1949: six orders of three samples balance both."""
    found = cost()
    assert (found.positions, found.neighbours, found.follows) == ((2, 2), (2, 2), True)


def test_more_than_eight_codes_are_called_tiring():
    many = {f"sample_{one}": f"batch {one}" for one in "abcdefghi"}
    assert cost(**many).is_tiring
    assert not cost(**many, block="4").is_tiring
