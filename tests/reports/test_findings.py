"""Row by row: what each state of a test may say and may not say.

The rows are those of the project's own table of permitted conclusions. That a miss
without a positive control is inconclusive, and that unmatched strength or heat is a
rival cause, is common practice, no source.
"""

import pytest

from server.blinding.events import Kind
from server.blinding.sealed import SealedTasting
from server.reports.exports import render_text
from server.reports.verdicts import Verdict

MATCHED = {"A": ["1.30"], "B": ["1.35"]}
NEARLY = {"A": ["1.30"], "B": ["1.36"]}
UNMATCHED = {"A": ["1.30"], "B": ["1.41"]}
UNREAD = {"A": ["1.30"], "B": []}


@pytest.fixture
def brewed(make_story):
    """A tasting of 18 answers with so many right, its brews as given."""

    def tell(right, tds=None, celsius=None, **changes):
        return make_story(**changes).brew(tds, celsius).taste(right).close().unseal().conclude()

    return tell


# Told apart


def test_told_apart_and_matched_says_so_of_this_panel_and_these_brews(brewed):
    finding = brewed(11, MATCHED)
    assert finding.verdict == Verdict.TOLD_APART
    assert finding.headline == (
        "This panel told “fresh cartridge” and “flushed cartridge” apart in these brews."
    )


def test_told_apart_never_says_why_how_strongly_or_for_everybody(brewed):
    assert brewed(11, MATCHED).may_not_say == (
        "That a part, its material or its maker caused it.",
        "Why they differ, how strongly, or which is better or worse.",
        "That drinkers in general, or any share of customers, would notice.",
    )


def test_told_apart_leads_to_a_null_control_and_a_directional_test(brewed):
    steps = " ".join(brewed(11, MATCHED).next_steps)
    assert "null control" in steps
    assert "name one attribute" in steps


@pytest.mark.parametrize(
    ("tds", "celsius", "verdict", "rival"),
    [
        (NEARLY, None, Verdict.TOLD_APART_NEARLY_MATCHED, "strength"),
        (UNMATCHED, None, Verdict.TOLD_APART_NOT_MATCHED, "strength"),
        (UNREAD, None, Verdict.TOLD_APART_NOT_MEASURED, "strength"),
        (MATCHED, {"A": "58", "B": "61"}, Verdict.TOLD_APART_NEARLY_MATCHED, "temperature"),
        (MATCHED, {"A": "58", "B": "64"}, Verdict.TOLD_APART_NOT_MATCHED, "temperature"),
        (MATCHED, {"A": "58", "B": None}, Verdict.TOLD_APART_NOT_MEASURED, "temperature"),
    ],
)
def test_whatever_did_not_match_is_named_as_a_rival_cause(brewed, tds, celsius, verdict, rival):
    finding = brewed(11, tds, celsius)
    assert finding.verdict == verdict
    assert rival in finding.headline
    assert finding.may_say[0] == f"Told apart; {rival} is a rival cause."
    assert finding.may_not_say[0] == f"That anything but {rival} made them differ."


def test_two_rivals_are_both_named(brewed):
    finding = brewed(11, UNMATCHED, {"A": "58", "B": None})
    assert finding.verdict == Verdict.TOLD_APART_NOT_MATCHED
    assert finding.may_say[0] == "Told apart; strength and temperature are a rival cause."


def test_without_any_reading_both_properties_are_rivals(make_story):
    finding = make_story().taste(11).close().unseal().conclude()
    assert finding.verdict == Verdict.TOLD_APART_NOT_MEASURED
    assert "strength and temperature were not measured" in finding.headline


def test_a_match_that_failed_says_by_how_much(brewed):
    assert (
        "Strength was not matched: samples differed by up to 0.11 %TDS, "
        "the planned limit is 0.05 %TDS."
    ) in brewed(11, UNMATCHED).limits


def test_unmatched_brews_lead_to_matching_and_repeating(brewed):
    assert brewed(11, UNMATCHED).next_steps == (
        "Bring strength within the planned limit and repeat.",
    )


def test_like_cups_from_one_pot_mean_that_pots_were_told_apart(make_story):
    story = make_story()
    first = {(slot.round, slot.sample): slot.name for slot in reversed(story.sealed.slots)}
    one_pot = {
        cup.id: first[serving.round, story.sealed.key[cup.id][0]]
        for serving in story.sealed.servings
        for cup in serving.cups
    }
    story.sealed = SealedTasting(**dict(story.sealed) | {"key": one_pot})
    story.events.clear()
    finding = story.tell(Kind.SERVING_BEGAN).brew().taste(11).close().unseal().conclude()
    assert finding.verdict == Verdict.TOLD_APART_POTS
    assert finding.headline == "This panel told two pots apart, not two samples."


def test_blends_are_no_single_pots(brewed):
    finding = brewed(11, pots="blend")
    assert finding.verdict == Verdict.TOLD_APART
    assert any(limit.startswith("Every pour was a blend") for limit in finding.limits)


# Not detected


def test_a_weak_miss_says_how_often_such_a_test_misses(brewed):
    finding = brewed(8)
    assert finding.verdict == Verdict.INCONCLUSIVE_WEAK
    assert finding.headline == (
        "Inconclusive: about 57 of 100 such tests would miss a difference of the size that matters."
    )


def test_a_strong_miss_stays_inconclusive_without_a_positive_control(brewed):
    finding = brewed(8, size_d_prime="3")
    assert finding.verdict == Verdict.INCONCLUSIVE_UNSHOWN
    assert any("On paper the test had a chance of 9" in said for said in finding.may_say)
    assert any(limit.startswith("No positive control was served") for limit in finding.limits)


@pytest.mark.parametrize("size", ["1.5", "3"])
def test_a_miss_never_says_that_they_are_alike(brewed, size):
    assert brewed(8, size_d_prime=size).may_not_say == (
        "That the two taste alike.",
        "That the part leaves no taste.",
        "That nobody would notice.",
    )


def test_a_miss_says_what_the_answers_still_allow(brewed):
    # 8 of 12: one-sided exact 95 % limit of the share 0.8157 (recomputed); α = 0.01 misses.
    finding = brewed(8, assessors=4, alpha="0.01")
    assert any("noticed in more than 81.6% of judgements" in limit for limit in finding.limits)
    assert any("not planned as a similarity test" in limit for limit in finding.limits)


def test_a_miss_leads_to_more_answers_and_a_positive_control(brewed):
    steps = brewed(8).next_steps
    assert steps[0].startswith("Plan at least 57 answers")
    assert steps[1].startswith("Serve a positive control")


def test_too_few_answers_for_the_level_say_so(make_story):
    finding = make_story().brew().taste(2, 2).close("fire alarm").unseal().conclude()
    assert finding.verdict == Verdict.INCONCLUSIVE_OUT_OF_REACH
    assert "2 answers could not reach the planned level" in finding.headline


def test_below_guessing_is_not_estimable_and_asks_for_key_and_trays(brewed):
    finding = brewed(0)
    assert finding.headline == "Not estimable: below guessing; check key and trays."
    assert [n.value for n in finding.numbers if n.name in ("pd", "pd_upper", "d_prime")] == [
        "not estimable"
    ] * 3


# Exploratory, abandoned, empty


@pytest.mark.parametrize(
    ("spoil", "said"),
    [
        (lambda s: s.tell(Kind.RESULTS_LOOKED, how="page").close().unseal(), "at the results"),
        (lambda s: s.close().unseal(matches=False), "does not match the published seal"),
        (lambda s: s.close(pourer="taster").unseal(), "could know which cup was which"),
        (lambda s: s.close(), "before the tasting was unsealed"),
    ],
)
def test_a_spoilt_test_is_exploratory_and_says_why(make_story, spoil, said):
    finding = spoil(make_story().brew().taste(12)).conclude()
    assert finding.verdict == Verdict.EXPLORATORY
    assert said in finding.headline


def test_an_exploratory_p_is_never_shown_as_planned(make_story):
    finding = make_story().brew().taste(12).close(pourer="taster").unseal().conclude()
    shown = {line.name: line.value for line in finding.numbers}
    assert shown["p_value"] == "0.0039 (not as planned)"
    assert finding.may_not_say[0] == "The p-value as if the test had gone as planned."


def test_every_further_reason_is_a_limit(make_story):
    story = make_story().brew().taste(12).tell(Kind.RESULTS_LOOKED, how="page")
    finding = story.close(pourer="taster").unseal(matches=False).conclude()
    assert finding.limits[:2] == (
        "Somebody looked at the results before the tasting was closed.",
        "The tasting was open: somebody who tasted could know which cup was which.",
    )


def test_an_abandoned_tasting_has_no_finding_and_no_numbers(make_story):
    story = make_story().brew().taste(12).tell(Kind.ABANDONED, reason="no water").unseal()
    finding = story.conclude()
    assert finding.verdict == Verdict.ABANDONED
    assert [line.name for line in finding.numbers] == ["answers"]


def test_without_answers_there_is_nothing_to_say_of_the_samples(make_story):
    finding = make_story().brew().close("nobody came").unseal().conclude()
    assert finding.verdict == Verdict.NO_ANSWERS
    assert finding.may_not_say == ("Anything about the samples.",)


# Who


def test_one_taster_speaks_in_the_first_person_only(brewed):
    finding = brewed(11, assessors=1, rounds=18, spare_seats=0)
    assert "“I could tell them apart in these conditions.”" in finding.may_say
    assert "Anything about other people or customers." in finding.may_not_say
    assert finding.next_steps[-1] == "Ask a panel if other people matter."


def test_one_taster_who_missed_has_shown_nothing(brewed):
    finding = brewed(8, assessors=1, rounds=18, spare_seats=0)
    assert finding.may_say[0] == (
        "“I have not shown that I can tell them apart in these conditions.”"
    )


def test_share_of_tasters_is_said_only_at_one_answer_a_person(brewed):
    once, often = brewed(11, assessors=18, rounds=1), brewed(11)
    assert "Share of tasters" in render_text(once)
    assert "Share of judgements" not in render_text(once)
    assert "tasters who" not in render_text(often)


def test_replicates_limit_the_intervals_to_this_panel_and_these_brews(brewed):
    assert (
        "6 persons gave 18 answers: the intervals describe this panel on these brews "
        "and nobody else."
    ) in brewed(11).limits


# Always


@pytest.mark.parametrize("right", [0, 8, 11, 18])
def test_every_finding_with_numbers_states_the_standing_limits(brewed, right):
    text = " ".join(brewed(right).limits)
    for said in ("null control", "never of a material", "Nobody was asked", "compliance test"):
        assert said in text


def test_the_finding_names_question_method_seal_and_blinding(brewed):
    finding = brewed(11)
    assert finding.method == "Triangle test, ISO 4120:2021"
    assert (finding.seal, finding.blinding) == (
        "✔ The seal matches.",
        "single blind, pourer absent",
    )
    assert finding.question == "Does the fresh cartridge change our green tea?"


def test_numbers_are_those_of_the_worked_example(brewed):
    # ISO 4120:1983, practical example: 8 of 12, critical number 8; p recomputed.
    shown = {line.name: line.value for line in brewed(8, assessors=4).numbers}
    assert (shown["correct"], shown["critical"], shown["p_value"]) == ("8 of 12", "8", "0.0188")
    assert shown["pd_upper"] == "81.6% (one-sided 95% limit)"
    assert shown["expected"] == "4 (33.3% of 12)"


def test_limits_that_touch_zero_after_a_detection_are_explained(brewed):
    # 10 of 18 reaches the critical number (p = 0.0433, exact sums), yet its two-sided
    # 95 % limits of the proportion correct begin at 0.308, below one third.
    touching, clear = brewed(10), brewed(12)
    assert any("the test is one-sided" in limit for limit in touching.limits)
    assert not any("the test is one-sided" in limit for limit in clear.limits)


def test_all_right_shows_an_open_d_prime(brewed):
    shown = {line.name: line.value for line in brewed(18).numbers}
    assert shown["d_prime"].startswith("not estimable (two-sided 95% limits ")
    assert shown["d_prime"].endswith("no upper limit)")


# Incomplete and amended


def test_closing_with_a_gap_says_what_is_left_and_why(make_story):
    finding = make_story().brew().taste(9, 15).close("last train").unseal().conclude()
    assert finding.limits[0] == (
        "Incomplete: 15 of 18 planned answers count. Reason given: “last train”."
    )
    assert finding.limits[1].startswith("Nobody had looked at key or results, so the exact p holds")


def test_a_gap_without_a_reason_says_none(make_story):
    finding = make_story().taste(9, 15).close().unseal().conclude()
    assert finding.limits[0].endswith("Reason given: none.")


def test_both_analyses_are_shown_when_something_was_excluded(make_story):
    story = make_story().brew().taste(9)
    story.void(story.main[0].id)
    finding = story.close("spilt").unseal().conclude()
    assert [(one.name, one.counted) for one in finding.readings] == [
        ("planned", "8 of 17"),
        ("voided", "9 of 18"),
    ]


def test_an_outcome_that_hangs_on_what_is_counted_says_so_first(make_story):
    story = make_story().brew().taste(9, 17).close("one late")
    story.answer(story.main[17], True, Kind.LATE).unseal()
    assert story.conclude().limits[0].startswith("The outcome depends on what is counted")


def test_amendments_are_told_one_by_one(make_story):
    story = make_story().brew().taste(9, 17)
    story.void(story.main[0].id, story.spare[0].id).answer(story.spare[0], True, source="paper")
    story.tell(Kind.CODES_DIFFER, serving=str(story.main[1].id))
    story.tell(Kind.CALL_SETTLED, serving=str(story.main[1].id))
    story.tell(Kind.KEY_LOOKED, who="away", reason="spill").close("x").unseal()
    assert story.conclude().amendments == (
        "Round 1: a serving was taken out (“cups knocked over”); "
        "its answer does not count, a spare serving took its place.",
        "At 1 serving the codes in front of the taster differed from the screen.",
        "1 answer came in on paper.",
        "For 1 answer nobody confirmed the codes on the cups.",
        "Before closing, somebody looked at the key (somebody who was away; “spill”).",
    )


def test_a_call_that_was_never_settled_is_a_limit(make_story):
    story = make_story().brew().taste(11)
    story.tell(Kind.CODES_DIFFER, serving=str(story.main[1].id))
    limits = story.close().unseal().conclude().limits
    assert any(limit.startswith("At 1 serving the codes differed") for limit in limits)


def test_uneven_serving_orders_are_a_limit(make_story):
    story = make_story().brew()
    for serving in story.main:
        if story.sealed.order(serving) == "BAB":
            story.answer(serving, True)
    limits = story.close("x").unseal().conclude().limits
    assert (
        "Serving orders were uneven among the answers that count: "
        "AAB 0, ABA 0, BAA 0, BBA 0, BAB 3, ABB 0."
    ) in limits


def test_even_serving_orders_need_no_word(brewed):
    assert not [limit for limit in brewed(11).limits if limit.startswith("Serving orders")]


def test_a_pourer_in_the_room_is_a_limit(make_story):
    story = make_story(pourer="present").brew().taste(11).close(pourer="present").unseal()
    assert any(limit.startswith("Whoever poured stayed") for limit in story.conclude().limits)


def test_spare_seats_that_count_are_said(make_story):
    story = make_story().brew().taste(11)
    for serving in story.spare:
        story.answer(serving, True)
    limits = story.close().unseal().conclude().limits
    assert "21 answers count where 18 were planned." in limits
    assert "In spare seats 1 person gave 3 answers, counted with the others." in limits


def test_readings_that_came_after_unsealing_are_told(tell_whole):
    story = tell_whole(11)
    slot = story.sealed.slots[0].name
    story.tell(Kind.BREWED, slot=slot, tds=["1.30"], temperature_c="58", time=None, note="")
    assert "1 brew record came in after unsealing." in story.conclude().amendments
