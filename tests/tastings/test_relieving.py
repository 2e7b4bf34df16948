"""Over the guides something has to be chosen. 95 mg in 237 mL, decaf up to 15 mg: from memory of
common food tables; 200 mg in one go: EFSA Journal 13(5):4102, 2015; cups in one go: common
practice, no source."""

from decimal import Decimal

import pytest

from server.blinding.plans import Plan, Relief
from server.tastings.consequences import work_out
from server.tastings.plan_forms import plan_form, seal_ready
from server.tastings.planning import read_numbers, read_plan
from server.tastings.refusals import Invalid
from server.tastings.relieving import refuse_overload
from tests.conftest import PLAN

MUCH = PLAN | {"rounds": "6"}  # 18 cups of 40 mL: 289 mg


def follow(**changed):
    return work_out(read_numbers(MUCH | changed))


def test_a_usual_plan_needs_no_relief():
    refuse_overload(work_out(read_numbers(PLAN)))


def test_too_much_caffeine_is_refused_with_its_number():
    with pytest.raises(Invalid) as refused:
        refuse_overload(follow())
    assert "About 289 mg" in refused.value.messages["relief"]


def test_too_many_cups_are_refused_though_they_are_small():
    with pytest.raises(Invalid) as refused:
        refuse_overload(follow(cup_ml="20"))
    assert refused.value.messages["relief"].startswith("18 cups")


@pytest.mark.parametrize(
    ("chosen", "mg"),
    [
        ({"relief": "sips"}, 18 * Decimal(10) * 95 / 237),
        ({"relief": "decaf"}, 18 * Decimal(40) * 15 / 237),
        ({"relief": "days", "days": "2"}, 9 * Decimal(40) * 95 / 237),
        ({"relief": "spit"}, None),
    ],
)
def test_each_choice_relieves_and_is_counted(chosen, mg):
    found = follow(**chosen)
    refuse_overload(found)
    counted = found.cost.caffeine_mg_per_person
    assert counted is None if mg is None else round(counted, 6) == round(mg, 6)
    assert found.relief_words


def test_days_that_are_still_too_few_are_refused():
    with pytest.raises(Invalid) as refused:
        refuse_overload(follow(rounds="12", relief="days", days="2"))
    assert list(refused.value.messages) == ["days"]


def test_a_choice_that_does_not_help_enough_is_refused():
    with pytest.raises(Invalid, match="not enough"):
        refuse_overload(follow(rounds="12", cup_ml="200", relief="decaf", method="tetrad"))


def test_one_day_is_no_spreading():
    with pytest.raises(Invalid) as refused:
        read_plan(MUCH | {"relief": "days", "days": "1"})
    assert list(refused.value.messages) == ["days"]


def test_who_chose_to_spit_does_not_swallow():
    assert not read_plan(MUCH | {"relief": "spit", "swallow": "on"}).swallow


def test_alone_days_are_sittings():
    numbers = read_numbers(MUCH | {"pourer": "alone", "relief": "days", "days": "3"})
    assert (numbers.relief, numbers.days) == (Relief.NONE, 1)


def test_the_choice_is_sealed_and_shown_in_the_form_again():
    plan = seal_ready(read_plan(MUCH | {"relief": "days", "days": "2"}))
    assert plan.model_dump(mode="json") | {"relief": "days", "days": 2} == plan.model_dump(
        mode="json"
    )
    form = plan_form(Plan.model_validate(plan.model_dump(mode="json")), {"A": "a", "B": "b"})
    assert (form["relief"], form["days"]) == ("days", "2")


def test_a_plan_without_a_choice_seals_as_it_did_before_there_was_one():
    written = seal_ready(read_plan(PLAN)).model_dump(mode="json")
    assert not {"relief", "days"} & written.keys()
