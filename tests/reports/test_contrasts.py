"""What a contrast lets a finding say: every contrast with every verdict, in allowed words."""

import re
from dataclasses import fields
from itertools import product

import pytest

from server.blinding.plans import Plan
from server.reports import claim_words, next_words
from server.reports import contrast_words as words
from server.reports.contrasts import (
    CLEAN,
    NOT_SHOWN,
    forbid_by_contrast,
    say_of_contrast,
    step_by_contrast,
)
from server.reports.exports import render_text
from server.reports.soak_words import speak_of_jars
from server.reports.table_findings import conclude_table
from server.reports.verdicts import Verdict
from tests.reports.conftest import PLAN
from tests.reports.test_words import FORBIDDEN
from tests.scored_tables import analyse, draw, give_means

CONTRASTS = ("soak", "part in pot", "same brewer", "whole brewer")
WEIGHED = ("may_say", "may_not_say", "limits", "next_steps")
SIDED = {"method": "paired-comparison", "attribute": "smell of rubber", "pots": "separate"}
NAMED = {"method": "2-afc", "direction": {"attribute": "smell of rubber", "more": "B"}}
FEW = {"similarity": {"limit": "0.3", "beta": "0.05"}, "rounds": 1, "assessors": 60}
STOPPING = {"sequential": {"beta": "0.1", "every": 1}, "stop_rule": "sequential"}
KINDS = {
    "method": "a-not-a", "open_cups": "A", "rounds": 4, "size_d_prime": None, "size_share": "0.5",
}  # fmt: skip
FAMILIES = {
    "triangle": ({}, (18, 6)),
    "named": (NAMED, (18, 9)),
    "either side": (SIDED, (18, 9)),
    "few notice": (FEW, (60, 20)),
    "stopping": (STOPPING, (18, 6)),
    "several": ({"several": "pooled"}, (18, 6)),
    "two kinds": (KINDS, (24, 12)),
}


def plan(contrast):
    return Plan(**PLAN | {"contrast": contrast})


def conclude(tell_whole, contrast, family="triangle", found=True):
    changes, counts = FAMILIES[family]
    return tell_whole(counts[0 if found else 1], contrast=contrast, **changes).conclude()


def list_sentences(finding):
    return [finding.headline, *(text for name in WEIGHED for text in getattr(finding, name))]


@pytest.mark.parametrize("contrast", CONTRASTS)
@pytest.mark.parametrize("rivals", [False, True])
def test_every_verdict_has_whole_sentences_in_allowed_words(contrast, rivals):
    for verdict in Verdict:
        said = say_of_contrast(plan(contrast), verdict, rivals)
        forbidden = forbid_by_contrast(plan(contrast), verdict, rivals, [claim_words.NOT_THE_PART])
        for sentence in (*said, *forbidden, words.LIMITS[contrast], words.CHOICES[contrast]):
            assert re.search(r"^[A-Z].*\.$", sentence), sentence
            assert not FORBIDDEN.search(sentence), sentence
            assert not re.search(r"\{|  ", sentence)


def test_every_verdict_is_judged_clean_not_shown_or_neither():
    spoiled = {one for one in Verdict if re.search("_matched|_measured|_pots|_brews?$", one)}
    void = {
        Verdict.BELOW_GUESSING,
        Verdict.EXPLORATORY,
        Verdict.ABANDONED,
        Verdict.NO_ANSWERS,
    }
    assert set(Verdict) == CLEAN | NOT_SHOWN | spoiled | void
    assert not CLEAN & NOT_SHOWN


@pytest.mark.parametrize(("contrast", "family"), list(product(CONTRASTS, FAMILIES)))
@pytest.mark.parametrize("found", [True, False])
def test_whole_findings_of_every_family_read_well(tell_whole, contrast, family, found):
    finding = conclude(tell_whole, contrast, family, found)
    text = render_text(finding)
    assert not FORBIDDEN.search(text), FORBIDDEN.search(text)
    sentences = list_sentences(finding)
    assert words.LIMITS[contrast] in finding.limits
    assert all(re.search(r"^[\w“].*[.”]$", one) and "  " not in one for one in sentences)
    assert all(isinstance(getattr(finding, one.name), str | int | tuple) for one in fields(finding))
    assert len(set(finding.may_not_say)) == len(finding.may_not_say)


@pytest.mark.parametrize("contrast", CONTRASTS)
def test_what_was_told_apart_is_said_as_the_contrast_allows(tell_whole, contrast):
    finding = conclude(tell_whole, contrast)
    assert finding.verdict == Verdict.TOLD_APART
    assert finding.may_say[-1] == words.TOLD_APART[contrast]
    assert words.NOT_THE_CAUSE[contrast] in finding.may_not_say
    assert claim_words.NOT_THE_PART not in finding.may_not_say


@pytest.mark.parametrize("contrast", CONTRASTS)
def test_what_was_missed_clears_nothing(tell_whole, contrast):
    finding = conclude(tell_whole, contrast, found=False)
    assert finding.verdict in NOT_SHOWN
    assert words.NOT_CLEAN[contrast] in finding.may_not_say
    assert claim_words.NOT_CLEAN not in finding.may_not_say


@pytest.mark.parametrize("contrast", CONTRASTS)
def test_beside_a_rival_cause_nothing_is_said_of_the_part(make_story, contrast):
    story = make_story(contrast=contrast).brew(celsius={"A": "58", "B": "66"}).taste(18).close()
    finding = story.unseal().conclude()
    assert finding.verdict == Verdict.TOLD_APART_NOT_MATCHED
    assert not {words.TOLD_APART[contrast], words.SPEAKS_OF[contrast]} & set(finding.may_say)
    assert finding.may_not_say[0] == "That anything but temperature made them differ."
    assert claim_words.NOT_THE_PART in finding.may_not_say


def test_a_soak_speaks_of_jars_and_of_no_coffee(tell_whole):
    finding = conclude(tell_whole, "soak")
    ours = {words.NEXT["soak"], words.NOT_THE_CAUSE["soak"]}
    said = " ".join(one for one in list_sentences(finding) if one not in ours)
    assert not re.search(r"\b(brews?|pots?)\b", said, re.IGNORECASE), said
    assert finding.headline.endswith("apart in these jars.")


def test_plain_water_needs_no_reading_of_strength(make_story):
    told = make_story(contrast="soak").brew(tds={"A": [], "B": []}).taste(18).close().unseal()
    assert told.conclude().verdict == Verdict.TOLD_APART
    told = make_story(contrast="same brewer").brew(tds={"A": [], "B": []}).taste(18).close()
    assert told.unseal().conclude().verdict == Verdict.TOLD_APART_NOT_MEASURED


def test_two_brewers_are_never_told_to_try_other_states_of_a_part(tell_whole):
    steps = conclude(tell_whole, "whole brewer").next_steps
    assert words.NEXT["whole brewer"] in steps
    assert next_words.NEXT_STATES not in steps


def test_a_plan_that_names_no_contrast_says_what_it_always_said(tell_whole):
    finding = conclude(tell_whole, "")
    assert claim_words.NOT_THE_PART in finding.may_not_say
    own = {*words.TOLD_APART.values(), *words.LIMITS.values(), *words.NEXT.values()}
    assert not own & set(list_sentences(finding))
    steps = [next_words.NEXT_STATES]
    assert step_by_contrast(plan(""), Verdict.TOLD_APART, False, steps) == (next_words.NEXT_STATES,)


def test_what_people_typed_is_never_reworded():
    assert (
        speak_of_jars("“two brews, one pot” from two brews.")
        == "“two brews, one pot” from two jars."
    )


def test_the_contrasts_are_asked_from_the_cleanest_to_the_least_clean():
    assert list(words.IN_ORDER) == [*CONTRASTS, ""]
    assert set(words.CHOICES) == set(words.NAMES) == set(words.IN_ORDER)


@pytest.mark.parametrize("contrast", CONTRASTS)
def test_a_scored_table_is_limited_by_its_contrast(contrast):
    drawn = draw(4)
    named = drawn.plan.model_copy(update={"contrast": contrast})
    sealed = drawn.model_copy(update={"plan": named})
    finding = conclude_table(analyse(sealed, give_means({"A": 30, "B": 70, "C": 50, "D": 40})))
    assert words.LIMITS[contrast] in finding.limits
    assert words.NOT_THE_CAUSE[contrast] in finding.may_not_say
    assert not FORBIDDEN.search(" ".join((*finding.limits, *finding.may_not_say)))


SOAK = {
    "part": "sprung clip", "parts": 1, "mass_g": "12", "state": "used", "brews": 3,
    "rating_c": "95", "celsius": "92", "water": "spring water", "water_g": "300", "minutes": "4",
    "food_contact": True,
}  # fmt: skip


def test_a_finding_says_how_the_water_stood_with_the_part(tell_whole):
    finding = tell_whole(18, contrast="soak", bench={"soak": SOAK}).conclude()
    assert any(
        "after 3 brews, in 300 g of “spring water” at 92 °C" in one for one in finding.limits
    )
    assert any("1 piece of “sprung clip” (12 g)" in one for one in finding.limits)
    other = tell_whole(18, contrast="same brewer", bench={"soak": SOAK}).conclude()
    assert not any("Soaked as sealed" in one for one in other.limits)


def test_a_finding_names_the_step_of_a_ladder_that_it_is(tell_whole):
    step = {"line": "x", "kind": "dose", "title": "Is it the clip?", "step": "2 parts", "at": 2}
    limits = tell_whole(18, contrast="soak", ladder=step).conclude().limits
    assert any(one.startswith("Step “2 parts” of the ladder “Is it the clip?”") for one in limits)


def test_a_finding_says_that_nobody_drank(tell_whole):
    assert words.SMELT in tell_whole(18, contrast="soak", smell_only=True).conclude().limits
    assert words.SMELT not in tell_whole(18, contrast="soak").conclude().limits
