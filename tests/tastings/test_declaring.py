"""What a plan may declare beforehand: a similarity test, against printed numbers.

ISO 4120, Tables A.2 and A.3 (from memory): at a limit of 30 % and beta 0.05, 25 of 60 pass;
39 assessors keep alpha 0.20 as well. All of it is recomputed by plain sums.
"""

from fractions import Fraction
from math import comb

import pytest

from server.blinding.plans import Plan
from server.tastings.consequences import work_out
from server.tastings.declaring import A_PANEL, COUNTED, ONE_ROUND
from server.tastings.plan_forms import plan_form, seal_ready
from server.tastings.planning import read_numbers, read_plan
from server.tastings.refusals import Invalid

FORM = {
    "question": "May we rinse with soft water?", "sample_a": "plain", "sample_b": "soft",
    "difference": "the rinsing water", "pourer": "absent", "assessors": "60", "rounds": "1",
    "size_percent": "30", "shows": "few", "beta": "0.05", "swallow": "on",
}  # fmt: skip


def at_most(right, trials, share):
    pc = Fraction(1, 3) + Fraction(share) * Fraction(2, 3)
    ways = range(right + 1)
    return float(sum(comb(trials, k) * pc**k * (1 - pc) ** (trials - k) for k in ways))


def test_the_preview_has_the_printed_number_and_its_exact_risks():
    few = work_out(read_numbers(FORM)).few
    assert few.most_correct == 25
    assert few.passes == pytest.approx(at_most(25, 60, 0), rel=1e-9)
    assert few.at_limit == pytest.approx(at_most(25, 60, Fraction(3, 10)), rel=1e-9)


def test_the_people_it_asks_for_keep_the_chance_to_pass():
    people = work_out(read_numbers(FORM)).few.people
    assert people >= 39
    follow = work_out(read_numbers(FORM | {"assessors": str(people)})).few
    assert at_most(follow.most_correct, people, 0) >= 0.8


def test_limit_and_risk_are_sealed_as_they_were_typed():
    plan = seal_ready(read_plan(FORM | {"size_percent": "22.5", "beta": "0,1"}))
    assert plan.model_dump(mode="json")["similarity"] == {"limit": "0.225", "beta": "0.1"}


def test_a_stored_plan_fills_its_form_again():
    plan = seal_ready(read_plan(FORM))
    form = plan_form(Plan.model_validate(plan.model_dump(mode="json")), {"A": "plain", "B": "soft"})
    assert {name: form[name] for name in ("shows", "beta", "size_percent")} == {
        "shows": "few", "beta": "0.05", "size_percent": "30",
    }  # fmt: skip


def test_a_difference_test_keeps_the_sealed_text_it_always_had():
    plan = seal_ready(read_plan(FORM | {"shows": "some", "beta": "9"}))
    assert "similarity" not in plan.model_dump(mode="json")
    assert work_out(read_numbers(FORM | {"shows": "some"})).few is None


@pytest.mark.parametrize(
    ("changed", "field", "message"),
    [
        ({"rounds": "2"}, "rounds", ONE_ROUND),
        ({"assessors": "1"}, "shows", A_PANEL),
        ({"pourer": "alone"}, "shows", A_PANEL),
        ({"method": "paired-preference"}, "shows", COUNTED),
        ({"beta": "0.6"}, "beta", "β lies above 0 and at most at 0.5; 0.05 is usual."),
    ],
)
def test_what_could_carry_no_claim_is_refused_where_it_is_typed(changed, field, message):
    for read in (read_plan, read_numbers):
        with pytest.raises(Invalid) as refused:
            read(FORM | changed)
        assert refused.value.messages == {field: message}


STEPS = FORM | {
    "shows": "some", "stop_rule": "sequential", "assessors": "4", "rounds": "6", "every": "1",
    "size_percent": "50", "beta": "0.1",
}  # fmt: skip


def test_a_sequential_plan_shows_its_exact_endings():
    # The same plan is walked through count by count in tests/reports/test_stopping.py, and
    # lines and risks with outside values in tests/stats/test_operating.py.
    found = work_out(read_numbers(STEPS)).stopping
    assert found.block == 4
    assert found.guessing.difference <= 0.05
    for one in (found.guessing, found.midway, found.size):
        assert one.difference + one.no_difference + one.no_decision == pytest.approx(1)
        assert one.expected_trials < 24
    assert found.first_stop == 4


def test_the_cap_it_asks_for_keeps_both_risks():
    enough = work_out(read_numbers(STEPS)).stopping.enough
    longer = work_out(read_numbers(STEPS | {"rounds": str(enough // 4)})).stopping
    assert longer.guessing.no_difference >= 0.95
    assert longer.size.difference >= 0.9


def test_a_sequential_plan_is_sealed_and_fills_its_form_again():
    plan = seal_ready(read_plan(STEPS | {"at_end": "nearer line"}))
    sealed = plan.model_dump(mode="json")
    assert sealed["stop_rule"] == "sequential"
    assert sealed["sequential"] == {"beta": "0.1", "every": 1, "at_end": "nearer line"}
    form = plan_form(Plan.model_validate(sealed), {"A": "plain", "B": "soft"})
    again = seal_ready(read_plan(form))
    assert again == plan


@pytest.mark.parametrize(
    ("changed", "field"),
    [
        ({"shows": "few", "rounds": "1"}, "stop_rule"),
        ({"pourer": "alone"}, "stop_rule"),
        ({"null_control": "on"}, "stop_rule"),
        ({"method": "paired-comparison", "attribute": "bitter"}, "stop_rule"),
        ({"every": "4"}, "every"),
        ({"every": "0"}, "every"),
        ({"alpha": "0.5", "beta": "0.5"}, "beta"),
    ],
)
def test_a_stop_that_cannot_be_called_is_refused_where_it_is_typed(changed, field):
    for read in (read_plan, read_numbers):
        with pytest.raises(Invalid) as refused:
            read(STEPS | changed)
        assert set(refused.value.messages) == {field}


REPEATED = FORM | {"shows": "some", "assessors": "6", "rounds": "3", "size_percent": "50"}


@pytest.mark.parametrize("several", ["pooled", "people"])
def test_how_several_answers_count_is_sealed_and_fills_its_form_again(several):
    plan = seal_ready(read_plan(REPEATED | {"several": several}))
    assert plan.model_dump(mode="json")["several"] == several
    assert seal_ready(read_plan(plan_form(plan, {"A": "plain", "B": "soft"}))) == plan


def test_the_chance_shown_is_that_of_the_test_that_decides():
    pooled = work_out(read_numbers(REPEATED | {"several": "pooled"}))
    people = work_out(read_numbers(REPEATED | {"several": "people"}))
    assert pooled.several.alike == pytest.approx(pooled.power)  # nobody differs: the exact test
    assert people.several.differing < people.several.alike < pooled.several.alike


@pytest.mark.parametrize(
    "changed",
    [{"rounds": "1"}, {"assessors": "1"}, {"stop_rule": "sequential"}, {"pourer": "alone"},
     {"method": "paired-preference"}],
)  # fmt: skip
def test_nothing_is_declared_of_answers_that_cannot_be_analysed_so(changed):
    for read in (read_plan, read_numbers):
        with pytest.raises(Invalid) as refused:
            read(REPEATED | {"several": "people"} | changed)
        assert set(refused.value.messages) == {"several"}
