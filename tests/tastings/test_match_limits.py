"""Limits of extraction and age: offered by every form, optional in every plan."""

from decimal import Decimal

import pytest

from server.blinding.plans import Plan
from server.tastings.plan_forms import empty_form, plan_form, seal_ready
from server.tastings.planning import MESSAGES, read_plan
from server.tastings.refusals import Invalid
from server.tastings.series_planning import empty_series_form
from server.tastings.table_plan_forms import empty_table_form

LABELS = {"A": "a", "B": "b"}


@pytest.mark.parametrize("form", [empty_form(), empty_table_form("")])
def test_a_new_plan_offers_both_limits(form):
    assert (form["extraction_limit"], form["age_limit"]) == ("0.7", "2")


def test_a_series_offers_no_limit_of_extraction():
    form = empty_series_form()
    assert (form["age_limit"], form.get("extraction_limit")) == ("2", None)


@pytest.mark.parametrize(("typed", "kept"), [("0,7", Decimal("0.7")), (" ", None), ("10", 10)])
def test_a_limit_is_typed_as_people_write_numbers_or_left_out(request, typed, kept):
    form = request.getfixturevalue("plan_form")(extraction_limit=typed)
    assert seal_ready(read_plan(form)).extraction_limit == kept


@pytest.mark.parametrize("name", ["extraction_limit", "age_limit"])
@pytest.mark.parametrize("typed", ["0", "-1", "121", "1e1", "one"])
def test_a_limit_that_is_none_has_its_message(request, name, typed):
    with pytest.raises(Invalid) as refused:
        read_plan(request.getfixturevalue("plan_form")(**{name: typed}))
    assert refused.value.messages == {name: MESSAGES[name]}


def test_a_stored_plan_shows_its_limits_again(request):
    form = request.getfixturevalue("plan_form")(extraction_limit="0.5", age_limit="")
    shown = plan_form(seal_ready(read_plan(form)), LABELS)
    assert (shown["extraction_limit"], shown["age_limit"]) == ("0.5", "")


def test_a_plan_without_them_is_sealed_in_the_words_of_older_plans(request):
    plan = seal_ready(read_plan(request.getfixturevalue("plan_form")()))
    assert isinstance(plan, Plan)
    assert not {"extraction_limit", "age_limit"} & plan.model_dump(mode="json").keys()
