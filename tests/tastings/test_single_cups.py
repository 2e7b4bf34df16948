"""Plans whose every cup is a brew of its own: read, costed, set out, changed again."""

from decimal import Decimal

import pytest

from server.blinding.plans import Plan
from server.brewing.kit import Kit
from server.storage import tables
from server.tastings.consequences import work_out
from server.tastings.declaring import NO_POTS
from server.tastings.drafts import create_draft
from server.tastings.plan_forms import plan_form
from server.tastings.planning import MESSAGES, read_plan
from server.tastings.refusals import Invalid
from server.tastings.setting_out import set_out

LABELS = {"A": "flushed cartridge", "B": "fresh cartridge"}
EACH = {"pots": "each", "cup_ml": "30"}


@pytest.fixture
def read(plan_form):
    """Read a plan of single cups; any field can be changed."""
    return lambda **changed: read_plan(plan_form(**EACH | changed))


def refuse(read, **changed):
    with pytest.raises(Invalid) as refused:
        read(**changed)
    return refused.value.messages


def test_a_pot_fills_one_cup_however_small(read):
    given = read(pot_ml="500")
    assert (given.single_cups, given.pot_ml, given.cup_ml) == (True, Decimal(30), Decimal(30))


def test_the_form_of_the_plan_shows_the_choice_again(bench, account, read):
    draft = create_draft(bench, account.id, read())
    with bench.reading() as db:
        plan = Plan.model_validate(db.get_one(tables.Tasting, draft).plan)
    form = plan_form(plan, LABELS)
    assert (form["pots"], form["pot_ml"]) == ("each", "500")
    assert not read_plan(form | {"pots": "separate"}).single_cups


def test_a_pot_as_small_is_refused_where_it_fills_more_than_one_cup(read):
    assert refuse(read, pots="separate", pot_ml="60") == {"pot_ml": MESSAGES["pot_ml"]}
    assert refuse(read, pots="single", pot_ml="30") == {"pot_ml": MESSAGES["pot_ml"]}


def test_a_cup_that_cannot_be_is_refused_by_its_own_name(read):
    assert refuse(read, cup_ml="a shot") == {"cup_ml": MESSAGES["cup_ml"]}


def test_a_null_control_has_no_pots_to_compare(read):
    assert refuse(read, null_control="on") == {"null_control": NO_POTS}


def test_small_single_cups_are_counted_as_espresso(read):
    espresso, bowl = work_out(read()), work_out(read(cup_ml="150", relief="spit"))
    assert espresso.espresso
    assert not bowl.espresso
    # 63 mg in 30 mL (from memory of common food tables): nine cups of 30 mL hold 567 mg
    assert round(espresso.cost.caffeine_if_swallowed_mg) == 567
    assert espresso.lacks_relief


def test_decaffeinated_espresso_is_counted_as_that(read):
    assert round(work_out(read(relief="decaf")).cost.caffeine_if_swallowed_mg) == 90


def test_the_bench_is_set_out_seat_by_seat(read):
    found = set_out(work_out(read()), Kit(cups=30, pots=1))
    assert found.troubles == ()
    assert found.lines[0].startswith("Seat by seat")
    assert "up to 13 minutes" in found.lines[1]


def test_alone_the_cups_of_each_serving_are_brewed_before_it(read):
    follow = work_out(read(pourer="alone", sittings="2"))
    found = set_out(follow, Kit(cups=9, pots=1))
    assert "right before they are shuffled" in found.lines[1]
    assert follow.minutes == 47
