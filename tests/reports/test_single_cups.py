"""What a finding says where every cup was a brew of its own."""

import pytest

from server.blinding.events import Kind
from server.reports import limit_words, next_words
from server.reports.repair import suggest_repair

SINGLE = {"cup_ml": "30", "pot_ml": "30"}


@pytest.fixture
def story(make_story):
    return make_story(**SINGLE)


def read(story, names, tds="1.30"):
    for name in names:
        story.tell(
            Kind.BREWED, slot=name, tds=[tds], temperature_c="55", fill_g="30", time=None, note=""
        )
    return story


def list_slots(story, level, number):
    """Some slots of a sample that fill a cup of somebody who counts."""
    spare = {seat.number for seat in story.sealed.seats if seat.spare}
    cups = [cup for one in story.sealed.servings if one.seat not in spare for cup in one.cups]
    filled = sorted({story.sealed.key[cup.id] for cup in cups})
    return [name for name in filled if name.startswith(level)][:number]


def test_the_finding_says_that_no_pot_was_shared(story):
    finding = story.taste(11).close().unseal().conclude()
    assert limit_words.EACH_CUP in finding.limits
    assert limit_words.LIKE_CUPS not in finding.limits


def test_brews_that_were_read_stand_for_the_others_and_are_counted(story):
    read(story, list_slots(story, "A", 4) + list_slots(story, "B", 3))
    finding = story.taste(11).close().unseal().conclude()
    assert finding.verdict == "told_apart"
    (said,) = (one for one in finding.limits if one.startswith("Not every cup was read"))
    assert "strength of 4 of 27 of “fresh cartridge”" in said
    assert "temperature of 3 of 27 of “flushed cartridge”" in said


def test_the_match_lists_those_alone_that_were_read(story):
    names = list_slots(story, "A", 2) + list_slots(story, "B", 1)
    analysis = read(story, names).taste(11).close().unseal().analyse()
    assert sorted(row.slot for row in analysis.match.shown) == names
    assert len(analysis.match.tds.missing) == 54 - 3


def test_two_brews_of_a_sample_are_too_few_to_stand_for_the_others(story):
    read(story, list_slots(story, "A", 3) + list_slots(story, "B", 2))
    finding = story.taste(11).close().unseal().conclude()
    assert finding.verdict == "told_apart_not_measured"


def test_one_sample_that_nobody_read_leaves_strength_a_possible_cause(story):
    read(story, list_slots(story, "A", 3))
    finding = story.taste(11).close().unseal().conclude()
    assert finding.verdict == "told_apart_not_measured"


def test_brews_read_far_apart_are_not_matched(story):
    read(story, list_slots(story, "A", 2), "1.30")
    read(story, list_slots(story, "B", 2), "1.60")
    finding = story.taste(11).close().unseal().conclude()
    assert finding.verdict == "told_apart_not_matched"


def test_pots_that_fill_several_cups_are_all_to_be_read(make_story):
    story = make_story()
    read(story, ["A1", "B1"])
    finding = story.taste(11).close().unseal().conclude()
    assert finding.verdict == "told_apart_not_measured"


def test_cups_brewed_seat_by_seat_are_not_held_to_one_age(make_story):
    story = make_story(**SINGLE, age_limit="2")
    early, late = list_slots(story, "A", 3), list_slots(story, "B", 3)
    for name, time in (*((one, "09:05") for one in early), *((one, "09:50") for one in late)):
        story.tell(
            Kind.BREWED, slot=name, tds=["9.1"], temperature_c="55", fill_g="30", time=time,
            note="",
        )  # fmt: skip
    finding = story.taste(11).close().unseal().conclude()
    assert finding.verdict == "told_apart"
    assert not [one for one in finding.limits if one.startswith("Time since brewing")]


def test_no_null_control_is_asked_for_where_none_can_be_served(story):
    read(story, list_slots(story, "A", 4) + list_slots(story, "B", 3))
    analysis = story.taste(11).close().unseal().analyse()
    finding = story.conclude()
    assert limit_words.NULL_POINTLESS in finding.limits
    assert limit_words.NO_NULL not in finding.limits
    assert next_words.NEXT_NULL not in finding.next_steps
    assert "null_control" not in suggest_repair(analysis).changes
