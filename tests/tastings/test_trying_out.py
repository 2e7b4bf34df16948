"""The gate before sealing."""

import pytest
from sqlmodel import select

from server.blinding.plans import Plan
from server.storage import tables
from server.tastings.drafts import change_draft, create_draft, delete_draft
from server.tastings.refusals import Invalid
from server.tastings.sealing import seal_tasting
from server.tastings.trying_out import NEEDS_REASON, find_gate
from tests.brew_rows import keep_trial

READ = {"temperature_c": "60", "fill_g": "40"}


@pytest.fixture
def draft(bench, account, plan_input):
    return create_draft(bench, account.id, plan_input())


@pytest.fixture
def try_out(bench, account, draft):
    """Keep a trial brew of each sample, of these strengths."""

    def keep(a="1.30", b="1.30"):
        for level, tds in (("A", a), ("B", b)):
            keep_trial(bench, account, draft, level, tds=[tds], **READ)

    return keep


def load_plan(bench, tasting_id):
    with bench.reading() as db:
        return Plan.model_validate(db.get_one(tables.Tasting, tasting_id).plan)


def test_without_trial_brews_a_draft_is_sealed_as_ever(bench, draft):
    seal_tasting(bench, draft, "no reason is needed")
    assert load_plan(bench, draft).bench is None


def test_matched_trial_brews_are_sealed_with_the_plan(bench, draft, try_out):
    try_out()
    seal_tasting(bench, draft, "no reason is needed")
    sealed = load_plan(bench, draft).bench
    assert [(one.level, one.brew["tds"]) for one in sealed.trials] == [
        ("A", ["1.30"]),
        ("B", ["1.30"]),
    ]
    assert sealed.unmatched_reason == ""


@pytest.mark.parametrize("reason", ["", "  \n "])
def test_unmatched_trial_brews_are_not_sealed_without_a_reason(bench, draft, try_out, reason):
    try_out(b="1.45")
    with pytest.raises(Invalid) as refused:
        seal_tasting(bench, draft, reason)
    assert refused.value.messages == {"reason": NEEDS_REASON}
    with bench.reading() as db:
        assert db.get_one(tables.Tasting, draft).state == "draft"


def test_a_reason_seals_them_and_is_sealed_with_them(bench, draft, try_out):
    try_out(b="1.45")
    seal_tasting(bench, draft, " the guests\n are here ")
    assert load_plan(bench, draft).bench.unmatched_reason == "the guests are here"


def test_nearly_matched_trial_brews_need_no_reason(bench, draft, try_out):
    try_out(b="1.40")
    seal_tasting(bench, draft)
    assert load_plan(bench, draft).bench.unmatched_reason == ""


def test_a_second_trial_after_dialling_in_is_the_one_that_counts(bench, draft, try_out, clock):
    try_out(b="1.45")
    clock.now = clock.now.replace(minute=30)
    try_out()
    seal_tasting(bench, draft)
    assert len(load_plan(bench, draft).bench.trials) == 4


def test_the_gate_counts_kept_brews_of_samples_alone(bench, account, draft, try_out):
    try_out()
    keep_trial(bench, account, draft, None, tds=["9"])
    with bench.reading() as db:
        row = db.get_one(tables.Tasting, draft)
    gate = find_gate(bench, row)
    assert (gate.levels, gate.made, gate.one_recipe) == (("A", "B"), 2, False)


def test_changing_the_plan_keeps_the_bench(bench, draft, plan_input):
    with bench.writing() as db:
        row = db.get_one(tables.Tasting, draft)
        row.plan = row.plan | {"bench": {"recipes": {"A": {"title": "t", "dose_g": "20"}}}}
        db.add(row)
        db.commit()
    change_draft(bench, draft, plan_input(rounds="4"))
    plan = load_plan(bench, draft)
    assert (plan.rounds, plan.bench.recipes["A"]["title"]) == (4, "t")


def test_a_forgotten_draft_leaves_its_brews_on_the_bench(bench, draft, try_out):
    try_out()
    delete_draft(bench, draft)
    with bench.reading() as db:
        left = db.exec(select(tables.Brew)).all()
    assert [(one.tasting_id, one.level) for one in left] == [(None, None)] * 2
