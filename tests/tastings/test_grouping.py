"""Groups of seats as they are typed, and what they can find (plain binomial sums)."""

from math import comb

import pytest

from server.blinding.plans import Plan
from server.tastings.consequences import work_out
from server.tastings.grouping import FORM, read_groups
from server.tastings.plan_forms import plan_form, seal_ready
from server.tastings.planning import read_numbers, read_plan
from server.tastings.refusals import Invalid

PLAN = {
    "question": "Does the lid matter?", "sample_a": "glass", "sample_b": "tin",
    "difference": "the lid", "pourer": "absent", "assessors": "8", "rounds": "3",
    "size_percent": "50", "swallow": "on", "groups": "staff: 1-3; guests: 4–8",
}  # fmt: skip


def test_they_are_sealed_by_seat_and_fill_the_form_again():
    plan = seal_ready(read_plan(PLAN))
    assert plan.model_dump(mode="json")["groups"] == [
        {"label": "staff", "seats": [1, 2, 3]},
        {"label": "guests", "seats": [4, 5, 6, 7, 8]},
    ]
    stored = Plan.model_validate(plan.model_dump(mode="json"))
    assert seal_ready(read_plan(plan_form(stored, {"A": "glass", "B": "tin"}))) == plan


def test_the_chance_shown_is_that_of_the_strictest_step():
    staff, guests = work_out(read_numbers(PLAN)).groups
    assert (staff.answers, guests.answers) == (9, 15)

    def tail(critical, trials, p):
        ways = range(critical, trials + 1)
        return sum(comb(trials, k) * p**k * (1 - p) ** (trials - k) for k in ways)

    needed = next(k for k in range(16) if tail(k, 15, 1 / 3) <= 0.025)
    assert guests.power == pytest.approx(tail(needed, 15, 2 / 3))


@pytest.mark.parametrize(
    "typed",
    [
        "staff",
        "staff: a-b",
        "staff:",
        ": 1-2",
        "staff: 1;;x",
        "staff: 1-2-3",
        "a:1;b:2;c:3;d:4;e:5;f:6;g:7",
    ],
)
def test_what_cannot_be_read_is_refused_with_an_example(typed):
    with pytest.raises(Invalid) as refused:
        read_groups(typed, 8)
    assert refused.value.messages == {"groups": FORM}


@pytest.mark.parametrize("typed", ["staff: 0-2", "staff: 7-9", "all: 1-8", "staff: 3-1"])
def test_seats_that_are_not_there_and_the_whole_are_refused(typed):
    with pytest.raises(Invalid) as refused:
        read_groups(typed, 8)
    assert "must be some of the seats from 1 to 8" in refused.value.messages["groups"]


def test_every_group_needs_a_name_of_its_own():
    with pytest.raises(Invalid) as refused:
        read_groups("staff: 1; Staff: 2", 8)
    assert "there twice" in refused.value.messages["groups"]


@pytest.mark.parametrize(
    "changed", [{"stop_rule": "sequential"}, {"pourer": "alone"}, {"method": "paired-preference"}]
)
def test_groups_that_could_have_no_test_are_refused(changed):
    for read in (read_plan, read_numbers):
        with pytest.raises(Invalid) as refused:
            read(PLAN | changed)
        assert set(refused.value.messages) == {"groups"}
