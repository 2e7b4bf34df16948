"""Methods served as a scored table: what their plan takes and what it refuses, in which field."""

from collections.abc import Mapping

import pytest

from server.blinding.plans import Plan
from server.methods.base import NO_STANDARD
from server.methods.registry import METHODS, SCORED
from server.methods.scored import ScoredMethod
from server.sheets.starters import get_starter
from server.stats.friedman import friedman_least_p
from server.stats.rankings import untied_rows
from server.tastings.refusals import Invalid
from server.tastings.table_costs import work_out_table
from server.tastings.table_methods import find_least_p, find_scale
from server.tastings.table_plan_forms import empty_table_form, table_form
from server.tastings.table_planning import LETTERS, TablePlanned, read_table_plan
from tests.table_forms import CONTROLLED, RANKED, TABLE

SHEET = get_starter("ranking").sheet
LINES = get_starter("brew-comparison").sheet
SIZES = [
    pytest.param(method.name, samples, assessors, id=f"{method.name} {samples} by {assessors}")
    for method in SCORED.values()
    for samples in range(method.fewest, method.most + 1)
    for assessors in (1, 2 * samples, 13)
]


def read(form: Mapping[str, str], **changed: str) -> TablePlanned:
    given = {**form, **changed}
    return read_table_plan(given, get_starter(given["sheet"].partition(":")[2]).sheet)


def refuse(form: Mapping[str, str], **changed: str) -> dict[str, str]:
    with pytest.raises(Invalid) as refused:
        read(form, **changed)
    return dict(refused.value.messages)


@pytest.mark.parametrize("form", [RANKED, CONTROLLED], ids=["ranking", "control"])
def test_a_plan_comes_back_as_its_form(form: dict[str, str]) -> None:
    planned = read(form)
    again = table_form(planned.plan, planned.labels, form["sheet"])
    assert read(again) == planned


def test_a_declared_order_comes_back_in_the_form() -> None:
    planned = read(RANKED, order="c > a > b")
    assert planned.plan.table
    assert planned.plan.table.order == ("C", "A", "B")
    assert read(table_form(planned.plan, planned.labels, RANKED["sheet"])) == planned


@pytest.mark.parametrize("method", SCORED.values(), ids=list(SCORED))
def test_what_a_method_fills_in_needs_a_question_and_samples_alone(method: ScoredMethod) -> None:
    form = empty_table_form("", method)
    samples = {f"sample_{one}": f"batch {one}" for one in "abc"}
    planned = read(form | samples | {"question": "Which is it?"})
    assert planned.plan.table
    assert planned.plan.table.method == method.name


def test_the_standard_of_each_method_is_sealed() -> None:
    # ISO 8587 is the standard of ranking; none is known for the difference from a control.
    assert read(RANKED).plan.standard.startswith("ISO 8587:2006")
    assert read(CONTROLLED).plan.standard == NO_STANDARD
    assert read(TABLE).plan.standard == "own sheet"


def test_no_method_has_the_name_of_another() -> None:
    assert not set(SCORED) & set(METHODS)
    assert {one.name for one in SCORED.values()} == set(SCORED)


@pytest.mark.parametrize("method", SCORED.values(), ids=list(SCORED))
def test_the_sheet_to_start_from_asks_what_the_method_needs(method: ScoredMethod) -> None:
    scale = find_scale(get_starter(method.starter).sheet, method.suggested["primary"])
    assert scale is not None
    assert scale.model_dump()["kind"] == method.asked


@pytest.mark.parametrize(
    ("form", "changed", "field"),
    [
        (RANKED, {"sample_c": ""}, "sample_b"),
        (RANKED, {f"sample_{one}": f"batch {one}" for one in LETTERS[:9]}, "sample_i"),
        (RANKED, {"style": "shared"}, "style"),
        (RANKED, {"primary": ""}, "primary"),
        (RANKED, {"twice_b": "on"}, "sample_b"),
        (RANKED, {"bowls": "2", "scattered": "on"}, "bowls"),
        (RANKED, {"block": "2"}, "bowls"),
        (RANKED, {"order": "A, B"}, "order"),
        (RANKED, {"order": "A, B, 3"}, "order"),
        (RANKED, {"sheet": "starter:brew-comparison", "primary": "smell, hot"}, "primary"),
        (CONTROLLED, {"reference": ""}, "reference"),
        (CONTROLLED, {"warm_up": ""}, "warm_up"),
        (CONTROLLED, {"warm_up": "B"}, "warm_up"),
        (CONTROLLED, {"order": "A, B, C"}, "order"),
        (TABLE, {"order": "A, B, C"}, "order"),
        (TABLE, {"method": "triangle"}, "method"),
    ],
)
def test_what_the_method_cannot_be_served_with_is_refused_beside_its_field(
    form: dict[str, str], changed: dict[str, str], field: str
) -> None:
    assert list(refuse(form, **changed)) == [field]


def test_a_control_and_one_sample_are_enough() -> None:
    assert len(read(CONTROLLED, sample_c="").labels) == 2


def test_any_sample_can_be_the_control() -> None:
    table = read(CONTROLLED, reference="C", warm_up="C").plan.table
    assert table
    assert (table.reference, table.warm_up) == ("C", "C")


def test_an_order_may_be_declared_to_count_on_a_sheet_of_ones_own() -> None:
    planned = read_table_plan(TABLE | {"sheet": "own", "primary": "strength, cool"}, LINES)
    assert planned.plan.table
    assert planned.plan.table.method == ""


@pytest.mark.parametrize(("name", "samples", "assessors"), SIZES)
def test_a_plan_of_every_size_is_balanced(name: str, samples: int, assessors: int) -> None:
    """No sample stands at a place, or right after another, more than once more than any."""
    form = {"ranking": RANKED, "difference-from-control": CONTROLLED}[name]
    named = {f"sample_{one}": f"batch {one}" for one in LETTERS[:samples]}
    given = {**named, "assessors": str(assessors)}
    planned = read({**form, "sample_c": "", **given}, spare_seats="0")
    costs = work_out_table(planned.plan, tuple(planned.labels), planned.sheet)
    least, most = costs.positions
    assert most - least <= 1
    if assessors % (samples if samples % 2 == 0 else 2 * samples) == 0:
        assert costs.neighbours is not None
        assert len(set(costs.neighbours)) == 1  # whole Williams squares


def test_members_of_the_plan_keep_the_text_of_plans_without_them() -> None:
    stored = read(TABLE).plan.model_dump(mode="json")
    assert not {"method", "order"} & set(stored["table"])
    assert Plan.model_validate(stored) == read(TABLE).plan


@pytest.mark.parametrize(
    ("form", "most_useless"),
    [
        (RANKED, 2),  # three samples: 1/6 by chance
        ({**RANKED, "order": "A, B, C"}, 1),
        (CONTROLLED, 5),  # two samples: 2/32
        ({**CONTROLLED, "sample_c": ""}, 4),
    ],
)
def test_so_few_people_that_nothing_can_be_shown_are_told(
    form: dict[str, str], most_useless: int
) -> None:
    for people in (most_useless, most_useless + 1):
        planned = read(form, assessors=str(people))
        costs = work_out_table(planned.plan, tuple(planned.labels), planned.sheet)
        assert costs.is_out_of_reach == (people == most_useless)


@pytest.mark.parametrize(("people", "samples"), [(2, 3), (3, 4), (4, 5), (6, 3)])
def test_the_least_p_of_a_ranking_is_that_of_friedmans_test(people: int, samples: int) -> None:
    named = {f"sample_{one}": f"batch {one}" for one in LETTERS[:samples]}
    planned = read({**RANKED, **named, "assessors": str(people)})
    least = find_least_p(planned.plan, tuple(planned.labels))
    assert least == pytest.approx(friedman_least_p(untied_rows(people, samples)))


def test_a_sheet_of_ones_own_has_no_least_p() -> None:
    planned = read(TABLE)
    assert find_least_p(planned.plan, tuple(planned.labels)) is None
