"""A contrast is chosen with the plan, sealed with it, and left out where nobody named one."""

import pytest

from server.blinding.plans import Plan
from server.reports.contrast_words import IN_ORDER
from server.storage.tables import Tasting
from server.tastings.plan_forms import empty_form, plan_form, seal_ready
from server.tastings.planning import MESSAGES, read_plan
from server.tastings.proposing import fill_plan, propose
from server.tastings.refusals import Invalid
from server.tastings.table_plan_forms import table_form
from server.tastings.table_planning import TableInput
from server.tastings.wishing import Wish, empty_wish, read_wish


@pytest.mark.parametrize("contrast", IN_ORDER)
def test_a_contrast_is_kept_with_the_draft_and_shown_again(bench, make_draft, contrast):
    tasting_id = make_draft(contrast=contrast)
    with bench.reading() as db:
        plan = Plan.model_validate(db.get_one(Tasting, tasting_id).plan)
    assert plan.contrast == contrast
    assert plan_form(plan, {"A": "one", "B": "other"})["contrast"] == contrast


def test_a_plan_without_a_contrast_is_sealed_as_it_always_was(plan_input):
    assert "contrast" not in seal_ready(plan_input()).model_dump(mode="json")
    assert empty_form()["contrast"] == ""


def test_a_contrast_nobody_offered_is_refused(plan_form):
    with pytest.raises(Invalid) as refused:
        read_plan(plan_form(contrast="two kettles"))
    assert refused.value.messages == {"contrast": MESSAGES["contrast"]}


def test_the_planner_hands_the_contrast_on_to_the_plan():
    wish = read_wish(empty_wish() | {"contrast": "part in pot"})
    assert fill_plan(propose(wish), "triangle")["contrast"] == "part in pot"
    assert Wish().contrast == ""


def test_the_table_of_scores_takes_a_contrast_too(plan_input):
    assert TableInput.model_fields["contrast"].default == ""
    plan = seal_ready(plan_input(contrast="whole brewer"))
    table = plan.model_copy(update={"table": _table()})
    assert table_form(table, {"A": "one", "B": "other"}, "")["contrast"] == "whole brewer"


def _table():
    from server.blinding.plans import TablePlan

    return TablePlan(sheet={})
