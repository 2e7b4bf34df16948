"""Servings of two kinds that are called one or the other: A-not-A and same-different.

Exact p by counting every deal stands with the sample sessions; d′ and limits have their outside
values with the statistics.
"""

from fractions import Fraction
from math import comb

import pytest

from server.methods.registry import YES_NO
from server.reports.families import TWO_KINDS, find_family
from server.reports.repair import suggest_repair
from server.reports.tables import list_tables

A_NOT_A = {
    "method": "a-not-a", "assessors": 10, "rounds": 4, "size_d_prime": None, "size_share": "0.5",
    "open_cups": "A",
}  # fmt: skip
PAIRS = A_NOT_A | {"method": "same-different", "open_cups": "", "told_shares": True}


def call(make_story, hits, alarms, **plan):
    """Tell a tasting in which so many servings of either kind were called the first."""
    story = make_story(**plan).brew(grams={"A": "30", "B": "30"})
    left = {True: hits, False: alarms}
    for serving in story.main:
        first = story.sealed.order(serving) in YES_NO[story.sealed.plan.method].first
        said = "yes" if left[first] > 0 else "no"
        left[first] -= 1
        story.tell_answer(serving, {"said": said})
    return story.close().unseal()


def read(story):
    return {line.name: line.value for line in story.conclude().numbers}


def test_the_method_chooses_the_family(make_story):
    assert find_family(call(make_story, 20, 0, **A_NOT_A).analyse()) is TWO_KINDS


@pytest.mark.parametrize("plan", [A_NOT_A, PAIRS], ids=lambda plan: plan["method"])
def test_every_right_answer_tells_the_samples_apart(make_story, plan):
    story = call(make_story, 20, 0, **plan)
    analysis = story.analyse()
    assert story.conclude().verdict == "told_apart"
    assert analysis.main.correct == analysis.main.trials == 40
    blocks, deals = (20, 2) if plan is A_NOT_A else (10, comb(4, 2))
    assert analysis.main.p_value == pytest.approx(float(Fraction(1, deals) ** blocks))


@pytest.mark.parametrize("plan", [A_NOT_A, PAIRS], ids=lambda plan: plan["method"])
def test_who_always_says_yes_tells_nothing(make_story, plan):
    story = call(make_story, 20, 20, **plan)
    assert story.analyse().main.p_value == 1
    assert not story.analyse().main.detected
    assert "rates" not in story.conclude().headline


def test_hits_and_false_alarms_stand_in_the_numbers_and_in_a_table(make_story):
    story = call(make_story, 15, 5, **A_NOT_A)
    numbers = read(story)
    assert numbers["hits"].startswith("15 of 20: 75% (95% limits 53.1% to 88.8%)")  # Wilson 1927
    assert numbers["false_alarms"].startswith("5 of 20: 25%")
    # z(.75) - z(.25) = 2 × .6745 (normal table)
    assert numbers["d_prime"].startswith("1.35 (95% limits ")
    table = next(one for one in list_tables(story.analyse()) if one.name == "calls")
    assert table.rows == (("“fresh cartridge”", "15", "5"), ("“flushed cartridge”", "5", "15"))


def test_a_missing_kind_makes_nothing_estimable(make_story):
    story = make_story(**A_NOT_A)
    for serving in story.main:
        if story.sealed.order(serving) == "A":
            story.tell_answer(serving, {"said": "yes"})
    assert story.close().unseal().conclude().verdict == "no_answers"


def test_turned_answers_are_called_so(make_story):
    lines = call(make_story, 2, 18, **PAIRS).conclude().limits
    assert any(
        line.startswith("Pairs of one sample were called alike less often") for line in lines
    )


@pytest.mark.parametrize("told", [True, False])
def test_what_everybody_knew_is_said(make_story, told):
    lines = call(make_story, 10, 10, **A_NOT_A | {"told_shares": told}).conclude().limits
    said = "Everybody was told that half" if told else "Nobody was told how many"
    assert any(line.startswith(said) for line in lines)
    assert any("tasted “fresh cartridge” openly" in line for line in lines)


def test_what_is_said_of_a_cup_never_speaks_of_odd_cups_or_pairs(make_story):
    for hits, alarms in ((20, 0), (10, 10)):
        finding = call(make_story, hits, alarms, **A_NOT_A).conclude()
        limits = [line for line in finding.limits if "null control" not in line]
        text = " ".join((finding.headline, *finding.may_say, *limits)).lower()
        assert not any(word in text for word in ("odd", "pair", "triad", "like cups"))


def test_one_pot_of_each_tells_two_pots_apart(make_story):
    for plan in (A_NOT_A | {"rounds": 2, "assessors": 20}, PAIRS):
        story = call(make_story, 20, 0, **plan | {"pots": "single", "pot_ml": "4000"})
        expected = "told_apart_pots" if plan["method"] == "same-different" else "told_apart"
        assert story.conclude().verdict == expected


def test_both_figures_are_drawn_and_said(make_story):
    analysis = call(make_story, 15, 5, **PAIRS).analyse()
    figures = find_family(analysis).figures
    for figure in figures.values():
        assert figure.draw(analysis) == figure.draw(analysis)
    assert "reached: 15; needed: " in figures["guessing"].describe(analysis)
    assert figures["share"].describe(analysis).startswith("Hits 75%, false alarms 25%")


def test_a_small_test_asks_for_more_people_in_whole_sets(make_story):
    small = call(make_story, 3, 3, **PAIRS | {"assessors": 3})
    assert set(suggest_repair(small.analyse()).changes) == {"assessors"}


def test_a_serving_poured_in_place_of_another_is_a_set_of_its_own(make_story):
    story = make_story(**A_NOT_A)
    voided = story.main[0]
    spare = next(one for one in story.spare if one.round == voided.round)
    story.void(voided.id, spare.id)
    for serving in (*story.main[1:], spare):
        first = story.sealed.order(serving) == "A"
        story.tell_answer(serving, {"said": "yes" if first else "no"})
    analysis = story.close().unseal().analyse()
    assert analysis.main.trials == 40
    assert analysis.main.p_value == pytest.approx(0.5**19)  # the broken set decides nothing
