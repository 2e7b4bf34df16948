import pytest

from server.blinding.events import Kind
from server.blinding.plans import Purpose
from server.reports.repair import suggest_repair
from server.stats.thurstone import TRIANGLE
from server.tastings.plan_forms import plan_form
from server.tastings.planning import PlanInput, read_plan

POSITIVE = {"label": "12 % water added", "size_d_prime": "6"}
WATERED = {
    "positive_control": "on",
    "positive_label": "“fresh cartridge” with 12 % water added",
    "positive_percent": "90",
}


@pytest.fixture
def repair(tell_whole):
    """What is suggested after a whole tasting with so many right answers."""

    def suggest(right, **changes):
        return suggest_repair(tell_whole(right, **changes).analyse())

    return suggest


def test_a_single_pot_becomes_separate_brews(repair):
    suggested = repair(11, pots="single", pot_ml="900", null_control=True)
    assert suggested.changes["pots"] == "separate"
    assert "Pour the like cups of a serving from different brews" in suggested.reasons[0]


@pytest.mark.parametrize("pots", ["separate", "single"])
def test_a_null_control_that_was_noticed_leads_to_blends(make_story, pots):
    story = make_story(pots=pots, pot_ml="900", null_control=True).brew().taste(11)
    story.taste(6, purpose=Purpose.NULL).close().unseal()
    assert suggest_repair(story.analyse()).changes["pots"] == "blend"


def test_blends_that_were_told_apart_are_a_reason_without_a_field(make_story):
    story = make_story(pots="blend", null_control=True).brew().taste(11)
    suggested = suggest_repair(story.taste(6, purpose=Purpose.NULL).close().unseal().analyse())
    assert dict(suggested.changes) == {}
    assert suggested.reasons[0].startswith("Blend more brews")


# 57 answers are needed at d′ = 1.5, α = 0.05 and power 0.8 (recomputed); for a share of
# 90 %, six answers are enough, since 5 of 6 then come up in 94 of 100 tests (by hand).
@pytest.mark.parametrize(
    ("assessors", "rounds", "changes"),
    [
        (6, 3, {"rounds": "4", "assessors": "15"}),
        (15, 3, {"rounds": "4"}),
        (30, 1, {"rounds": "2"}),
        (1, 12, {"rounds": "4", "assessors": "15"}),
        (14, 4, {"assessors": "15"}),
    ],
)
def test_a_weak_test_gets_more_rounds_then_more_people(repair, assessors, rounds, changes):
    right = assessors * rounds // 3
    suggested = repair(right, assessors=assessors, rounds=rounds, spare_seats=0)
    assert dict(suggested.changes) == changes | WATERED
    assert suggested.reasons[0].startswith("Plan at least 57 answers")


def test_a_test_out_of_reach_gets_more_answers(make_story):
    story = make_story(assessors=2, rounds=1).brew().taste(2).close().unseal()
    assert suggest_repair(story.analyse()).changes["assessors"] == "15"


def test_more_answers_than_one_go_can_give_are_said(repair):
    suggested = repair(6, size_d_prime="0.6")
    assert (suggested.changes["rounds"], suggested.changes["assessors"]) == ("4", "60")
    assert suggested.reasons[1].startswith("Even 240 answers in one go fall short")


def test_a_size_too_small_to_plan_for_changes_no_number(repair):
    suggested = repair(6, size_d_prime="0.05")
    assert dict(suggested.changes) == WATERED
    assert "more answers than can be planned" in suggested.reasons[0]


def test_a_plan_that_was_large_enough_keeps_its_numbers(make_story):
    story = make_story(assessors=20).brew().taste(5, 14).close("late").unseal()
    suggested = suggest_repair(story.analyse())
    assert dict(suggested.changes) == WATERED
    assert suggested.reasons[0].startswith("The plan was large enough")


def test_a_strong_miss_gets_a_positive_control_only(repair):
    assert dict(repair(8, size_d_prime="3").changes) == WATERED


def test_a_positive_control_that_was_served_is_not_asked_for(make_story):
    story = make_story(positive_control=POSITIVE, size_d_prime="3").brew().taste(8)
    story.taste(6, purpose=Purpose.POSITIVE).close().unseal()
    assert suggest_repair(story.analyse()).reasons == ()


def test_a_positive_control_too_small_gets_the_rounds_that_it_needs(make_story):
    # 60 % noticing is p 11/15; by scipy.stats 10 answers have a power of .736, 11 and more
    # of .8 or more.
    small = POSITIVE | {"size_d_prime": repr(TRIANGLE.d_prime(11 / 15))}
    story = make_story(positive_control=small, size_d_prime="3").brew().taste(8)
    suggested = suggest_repair(story.taste(4, purpose=Purpose.POSITIVE).close().unseal().analyse())
    assert dict(suggested.changes) == {"positive_rounds": "2"}
    assert suggested.reasons[0].startswith("Give the positive control at least 11 answers")


def test_told_apart_leads_to_a_null_control(repair):
    suggested = repair(11)
    assert dict(suggested.changes) == {"null_control": "on"}


def test_told_apart_with_a_quiet_null_control_needs_no_repair(make_story):
    story = make_story(null_control=True).brew().taste(11).taste(2, purpose=Purpose.NULL)
    suggested = suggest_repair(story.close().unseal().analyse())
    assert (dict(suggested.changes), suggested.reasons) == ({}, ())


def test_brews_that_did_not_match_are_to_be_matched_first(make_story):
    story = make_story().brew({"A": ["1.30"], "B": ["1.45"]}).taste(11).close().unseal()
    suggested = suggest_repair(story.analyse())
    assert suggested.reasons[0] == "First bring strength within the planned limit, then serve."
    assert dict(suggested.changes) == {"null_control": "on"}


def test_an_open_tasting_gets_a_pourer_who_leaves(repair):
    suggested = repair(11, pourer="taster")
    assert dict(suggested.changes) == {"pourer": "absent"}


def test_a_pourer_who_tasted_against_the_plan_is_a_reason_without_a_field(make_story):
    story = make_story().brew().taste(11).close(pourer="taster").unseal()
    suggested = suggest_repair(story.analyse())
    assert dict(suggested.changes) == {}
    assert suggested.reasons[0].startswith("Let somebody pour who does not taste")


def test_a_key_seen_by_a_taster_is_to_be_kept_closed(make_story):
    story = make_story().brew().taste(11).tell(Kind.KEY_LOOKED, who="taster", reason="spill")
    suggested = suggest_repair(story.close().unseal().analyse())
    assert suggested.reasons[0].startswith("Keep the key from everybody who tastes")


def test_an_abandoned_tasting_is_repaired_in_nothing_but_its_plan(make_story):
    story = make_story(pots="single", pot_ml="900").tell(Kind.ABANDONED, reason="no water")
    assert dict(suggest_repair(story.analyse()).changes) == {"pots": "separate"}


@pytest.mark.parametrize("label", ["fresh cartridge", "x" * 300])
@pytest.mark.parametrize("right", [3, 8, 11, 18])
def test_every_suggested_field_is_one_the_form_of_a_plan_takes(make_story, right, label):
    story = make_story(pots="single", pot_ml="900").brew().taste(right)
    labels = {"A": label, "B": "flushed cartridge"}
    samples = tuple(
        one.model_copy(update={"label": labels[one.level]}) for one in story.sealed.samples
    )
    story.sealed = story.sealed.model_copy(update={"samples": samples})
    changes = suggest_repair(story.close().unseal().analyse()).changes
    assert set(changes) <= set(PlanInput.model_fields)
    read = read_plan(plan_form(story.sealed.plan, labels) | changes)
    assert read.pots == "separate"


def test_a_suggestion_cannot_be_changed(repair):
    with pytest.raises(TypeError):
        repair(11).changes["rounds"] = "9"


@pytest.fixture
def repair_alone(make_alone):
    """What is suggested after so many right answers of each sitting alone."""

    def suggest(*right, pourer="alone", **changes):
        story = make_alone(sittings=len(right), **changes).brew().sit_all(*right)
        return suggest_repair(story.close(pourer=pourer).unseal().analyse())

    return suggest


# 42 answers for a share of 30 % and 16 for one of 50 %, at α = 0.05 and power 0.8 (the first
# as in the plan's own table, recomputed; the second: ISO 4120 table, from memory).
@pytest.mark.parametrize(("share", "sittings"), [("0.5", "6"), ("0.3", "12")])
def test_a_weak_test_alone_gets_more_sittings(repair_alone, share, sittings):
    assert dict(repair_alone(1, 1, size_share=share).changes) == {"sittings": sittings}


def test_more_sittings_than_one_person_is_asked_for_are_said_to_fall_short(repair_alone):
    reasons = repair_alone(1, 1, size_share="0.3").reasons
    assert any("Even 36 answers in 12 sittings fall short of 42" in one for one in reasons)


def test_controls_alone_are_left_to_a_helper(repair_alone):
    told, missed = repair_alone(3, 3, 3, 3), repair_alone(2, 2, 1, 1, 1, 1)
    assert not {*told.changes, *missed.changes} & {"null_control", "positive_control"}
    assert any(one.startswith("With a helper who pours") for one in told.reasons)
    assert any(one.startswith("With a helper who pours") for one in missed.reasons)


def test_a_single_pot_alone_becomes_a_blend(repair_alone):
    assert repair_alone(3, 3, pots="single", pot_ml="900").changes["pots"] == "blend"


def test_whoever_knew_the_cups_is_told_to_let_somebody_pour(repair_alone):
    suggested = repair_alone(3, 3, pourer="taster")
    assert "Let somebody pour who does not taste" in suggested.reasons[0]
