"""Tetrads and cups two of five from plan to finding: answers that are no single cup."""

from collections.abc import Callable
from decimal import Decimal
from typing import Any

import pytest

from server.blinding.plans import Purpose
from server.methods.registry import get_method
from server.reports.tables import list_tables
from server.tastings import answering, closing
from server.tastings.answering import Outcome
from server.tastings.bench import Bench
from server.tastings.concluding import draw_conclusion
from server.tastings.consequences import work_out
from server.tastings.plan_forms import plan_form as form_of
from server.tastings.plan_forms import seal_ready
from server.tastings.planning import PlanNumbers, read_plan
from server.tastings.progress import show_progress
from server.tastings.refusals import Invalid
from tests.playing import Play

SORTED = ("tetrad", "two-out-of-five")
POSITIVE = {
    "positive_control": "on",
    "positive_label": "12 % water added",
    "positive_percent": "80",
}


@pytest.fixture(params=SORTED)
def sorting(request: pytest.FixtureRequest, bench: Bench, make_tasting: Callable[..., Any]) -> Play:
    """Three assessors and two rounds of either method."""
    return Play(bench, make_tasting(method=request.param, assessors="3", rounds="2"))


def first(play: Play) -> Any:
    return play.made.servings(1)[0]


def test_a_whole_tasting_counts_its_right_answers(sorting: Play, led: Any) -> None:
    sorting.fill(right=4)
    sorting.unseal()
    analysis = draw_conclusion(sorting.bench, led(sorting)).analysis
    assert (analysis.main.correct, analysis.main.trials) == (4, 6)


def test_no_position_is_said_to_have_been_picked(sorting: Play, led: Any) -> None:
    sorting.fill(right=4)
    sorting.unseal()
    tables = list_tables(draw_conclusion(sorting.bench, led(sorting)).analysis)
    assert "rounds" in {one.name for one in tables}
    assert "positions" not in {one.name for one in tables}


def test_the_same_answer_with_other_notes_or_from_the_draft_is_a_repetition(sorting: Play) -> None:
    token, serving = sorting.made.tokens[1], first(sorting)
    form = sorting.form(serving)
    answering.save_draft(sorting.bench, token, serving.id, form | {"guess": "on"})
    draft = answering.find_draft(sorting.bench, sorting.place(1))
    assert draft
    assert sorting.send(1, serving, form) == Outcome.ACCEPTED
    again = {name: value for name, value in draft.items() if isinstance(value, str)}
    assert sorting.send(1, serving, again) == Outcome.REPEATED


def test_another_answer_is_contested_and_the_leader_reads_the_codes_of_both(
    sorting: Play, led: Any
) -> None:
    sorting.contest(1)
    (contest,) = show_progress(led(sorting)).contests
    told = [words for _, words in contest.choices]
    assert len(set(told)) == 2
    for words in told:
        assert set(words.split()) - {"/"} <= set(first(sorting).codes)


def test_the_contested_answer_that_was_meant_counts(sorting: Play, led: Any) -> None:
    serving = sorting.contest(1)
    closing.settle_contest(sorting.bench, sorting.made.id, serving, "1")
    sorting.unseal()
    assert draw_conclusion(sorting.bench, led(sorting)).analysis.main.correct == 1


def test_an_answer_with_a_code_of_another_tray_is_refused(sorting: Play) -> None:
    mine, other = sorting.made.servings(1)
    with pytest.raises(Invalid):
        sorting.send(1, mine, sorting.form(other))


def test_like_cups_are_controlled_without_a_d_prime_where_there_is_none(
    plan_form: Callable[..., dict[str, str]],
) -> None:
    plan = seal_ready(read_plan(plan_form(method="two-out-of-five", **POSITIVE)))
    assert (plan.size_share, plan.size_d_prime) == (Decimal("0.5"), None)
    assert plan.positive_control
    assert plan.positive_control.size_share == Decimal("0.8")
    assert "size_d_prime" in plan.model_dump(mode="json")["positive_control"]


def test_the_size_of_a_tetrad_is_sealed_as_its_d_prime(
    plan_form: Callable[..., dict[str, str]],
) -> None:
    # Tetrad: pc .6 at d' 1.3626 and .8 at 2.0946, by quadrature of the published integral
    # (tests/reference/distance_by_method.csv); 40 and 70 in 100 noticed beyond one in three.
    typed = plan_form(method="tetrad", size_percent="40", **POSITIVE | {"positive_percent": "70"})
    plan = seal_ready(read_plan(typed))
    assert plan.positive_control
    assert (plan.size_share, plan.positive_control.size_share) == (None, None)
    assert float(plan.size_d_prime or 0) == pytest.approx(1.3626, abs=5e-5)
    assert float(plan.positive_control.size_d_prime or 0) == pytest.approx(2.0946, abs=5e-5)


@pytest.mark.parametrize("method", SORTED)
def test_a_stored_plan_fills_the_form_as_it_was_typed(
    plan_form: Callable[..., dict[str, str]], method: str
) -> None:
    typed = plan_form(method=method, null_control="on", **POSITIVE)
    labels = {"A": typed["sample_a"], "B": typed["sample_b"]}
    assert read_plan(form_of(seal_ready(read_plan(typed)), labels)) == read_plan(typed)


@pytest.mark.parametrize("method", SORTED)
def test_nobody_can_shuffle_alone_what_is_no_single_cup(
    plan_form: Callable[..., dict[str, str]], method: str
) -> None:
    with pytest.raises(Invalid) as refused:
        read_plan(plan_form(method=method, pourer="alone", pots="usual"))
    assert set(refused.value.messages) == {"method"}


def test_a_positive_control_of_cups_two_of_five_passes(
    bench: Bench, make_tasting: Callable[..., Any], led: Any
) -> None:
    play = Play(bench, make_tasting(method="two-out-of-five", rounds="1", **POSITIVE))
    for serving in play.made.sealed.servings:
        if serving.seat <= 6:
            right = play.made.sealed.purpose(serving) == Purpose.POSITIVE
            play.send(serving.seat, serving, play.form(serving, right=right))
    play.unseal()
    control = draw_conclusion(bench, led(play)).analysis.find_control(Purpose.POSITIVE)
    assert control
    assert control.passed
    assert control.declared
    assert (control.declared.share, control.declared.d_prime) == (pytest.approx(0.8), None)


@pytest.mark.parametrize(
    ("method", "people", "critical"),
    [
        # tests/reference: two_out_of_five_critical.csv, triangle_critical.csv (chance 1/3), α 0.05
        ("two-out-of-five", 6, 3), ("two-out-of-five", 12, 4), ("two-out-of-five", 15, 5),
        ("tetrad", 12, 8), ("tetrad", 24, 13),
    ],
)  # fmt: skip
def test_a_plan_needs_as_many_right_answers_as_the_tables_say(
    method: str, people: int, critical: int
) -> None:
    typed = {"method": method, "assessors": people, "rounds": 1, "size_percent": 50}
    follow = work_out(PlanNumbers.model_validate(typed))
    assert follow.critical == critical
    assert follow.cost.cups == (people + 1) * get_method(method).cups
