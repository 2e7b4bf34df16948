"""A soak: every number in its bounds, no more heat than the part takes, and the plan it fills."""

import re

import pytest

from server.blinding.bench_plans import BenchPlan, Soak
from server.blinding.plans import Plan
from server.reports.soak_protocol import list_steps, say_soak
from server.storage.tables import Tasting
from server.tastings.drafts import change_draft
from server.tastings.plan_forms import plan_form, seal_ready
from server.tastings.planning import read_plan
from server.tastings.refusals import Invalid
from server.tastings.soaking import draft_soak, empty_soak, fill_soak_plan, read_soak
from server.tastings.tasting_list import find_labels
from tests.reports.test_words import FORBIDDEN

TYPED = {
    "part": "sprung clip", "parts": "2", "part_g": "11,5", "rating_c": "95",
    "water": "spring water", "water_g": "600", "soak_c": "92", "soak_min": "4",
    "state": "first", "exposure": "real", "food_contact": "yes",
}  # fmt: skip


def soak(**changed):
    return read_soak(empty_soak() | TYPED | changed)


def refuse(**changed):
    with pytest.raises(Invalid) as refused:
        soak(**changed)
    return refused.value.messages


def test_what_was_typed_is_read_with_a_decimal_comma():
    found = soak()
    assert (str(found.mass_g), found.parts, found.food_contact) == ("11.5", 2, True)
    assert found.water_each_g == 300


@pytest.mark.parametrize(
    "name", ["part_g", "parts", "rating_c", "water_g", "soak_c", "soak_min", "surface_cm2"]
)
@pytest.mark.parametrize("typed", ["warm", "-1", "1e3", "NaN", "99999999"])
def test_a_number_that_cannot_be_taken_has_a_message_of_its_own(name, typed):
    messages = refuse(**{name: typed})
    assert list(messages) == [name]
    assert re.search(r"number", messages[name])


def test_an_empty_form_asks_for_everything_but_the_surface():
    with pytest.raises(Invalid) as refused:
        read_soak(empty_soak())
    assert set(refused.value.messages) == {
        "part", "water", "part_g", "rating_c", "water_g", "soak_c", "soak_min", "food_contact",
    }  # fmt: skip


def test_a_part_is_never_heated_beyond_its_rating():
    assert refuse(soak_c="96") == {"soak_c": "The part is rated for 95 °C: soak it no hotter."}
    assert soak(soak_c="95").celsius == 95


def test_a_jar_without_a_part_is_the_other_jar():
    assert list(refuse(parts="0")) == ["parts"]


def test_a_part_in_use_has_made_brews():
    assert list(refuse(state="used", brews_before="0")) == ["brews_before"]
    assert soak(state="used", brews_before="5").brews == 5
    assert soak(state="first", brews_before="nonsense").brews == 0  # folded away


@pytest.mark.parametrize("name", ["state", "exposure", "food_contact"])
def test_a_choice_nobody_offered_is_refused(name):
    assert list(refuse(**{name: "else"})) == [name]


def test_the_worst_case_stands_ten_times_as_long_and_comes_second():
    found = soak(exposure="tenfold")
    assert found.stood_minutes == 40
    steps = list_steps(found)
    assert "second" in steps[0]
    assert any("for 40 min" in one for one in steps)


def test_the_steps_smell_before_anybody_tastes():
    steps = list_steps(soak())
    smelt = next(at for at, one in enumerate(steps) if "Sniff at all cups first" in one)
    tasted = next(at for at, one in enumerate(steps) if one.startswith("Only then taste"))
    assert smelt < tasted
    assert any("between 40 and 50 °C" in one for one in steps)  # common practice, no source


def test_a_part_new_to_hot_water_takes_pieces_of_its_own_in_every_jar():
    def tells(**changed):
        return any("pieces of its own" in one for one in list_steps(soak(**changed)))

    assert tells()
    assert not tells(state="washed")


def test_nobody_drinks_what_touched_a_part_not_sold_for_food():
    found = soak(food_contact="no")
    said = " ".join(list_steps(found))
    assert "nothing of this water is drunk" in said
    assert "Only then taste" not in said
    assert fill_soak_plan(found)["smell_only"] == "on"


def test_the_plan_is_a_pair_that_asks_for_a_foreign_smell():
    plan = seal_ready(read_plan(fill_soak_plan(soak())))
    assert (plan.method, plan.contrast) == ("2-afc", "soak")
    assert (plan.direction.attribute, plan.direction.more) == ("foreign smell", "B")
    assert plan.extraction_limit is None
    assert not plan.smell_only


def test_how_it_is_soaked_is_kept_while_the_plan_changes(bench, account):
    tasting_id = draft_soak(bench, account.id, soak())
    plan = read(bench, tasting_id)
    assert plan.bench.soak == soak()
    form = plan_form(plan, find_labels(bench, tasting_id)) | {"assessors": "9"}
    change_draft(bench, tasting_id, read_plan(form))
    assert read(bench, tasting_id).bench.soak == soak()
    assert read(bench, tasting_id).assessors == 9


def test_a_soak_is_forgotten_with_its_contrast(bench, account):
    tasting_id = draft_soak(bench, account.id, soak())
    form = plan_form(read(bench, tasting_id), find_labels(bench, tasting_id))
    change_draft(bench, tasting_id, read_plan(form | {"contrast": "part in pot"}))
    assert read(bench, tasting_id).bench.soak is None


def read(bench, tasting_id):
    with bench.reading() as db:
        return Plan.model_validate(db.get_one(Tasting, tasting_id).plan)


def test_a_bench_without_a_soak_is_sealed_as_it_always_was():
    assert "soak" not in BenchPlan().model_dump(mode="json")
    kept = BenchPlan(soak=soak()).model_dump(mode="json")
    assert Soak.model_validate(kept["soak"]) == soak()


@pytest.mark.parametrize("state", ["first", "washed", "used"])
def test_the_record_in_a_finding_claims_nothing(state):
    said = say_soak(soak(state=state, brews_before="5", surface_cm2="40"))
    assert not FORBIDDEN.search(said)
    assert said.startswith("Soaked as sealed: 2 pieces of “sprung clip” (11.5 g each, 40 cm²)")
