"""What somebody alone reads before a sitting: counts and marks, never which cup is which."""

import pytest

from server.blinding.plans import Direction
from server.tastings.alone import prepare_sitting, record_shuffle
from server.tastings.own_sitting import describe_sitting, find_lean, list_pours
from server.tastings.seat_view import find_seat_view
from server.tastings.seating import read_instructions
from server.tastings.steps import StepKind
from tests.playing_alone import PlayAlone


def look(bench, alone):
    return find_seat_view(bench, alone.token)


def test_as_many_cups_are_marked_as_are_poured(alone):
    own = describe_sitting(alone.made.sealed, alone.record, 1)
    assert (own.cups, sum(count for _, count in own.marks)) == (9, 9)
    poured = [slot[0] for one in alone.servings(1) for slot in one.pours]
    assert dict(own.marks) == {level: poured.count(level) for level in "AB"}


def test_pots_kept_apart_have_marks_of_their_own(bench, make_tasting):
    play = PlayAlone(bench, make_tasting(pourer="alone", sittings="2", pots="separate"))
    own = describe_sitting(play.made.sealed, play.record, 2)
    assert [brew.mark for brew in own.brews] == ["A3", "A4", "B3", "B4"]


def test_a_blend_says_how_many_brews_go_into_it(alone):
    own = describe_sitting(alone.made.sealed, alone.record, 1)
    assert [(brew.mark, brew.label, brew.brews) for brew in own.brews] == [
        ("A", "flushed cartridge", 2),
        ("B", "fresh cartridge", 2),
    ]


def test_what_to_pour_names_the_samples_and_no_place(alone):
    serving = alone.servings(1)[0]
    pours = list_pours(alone.made.sealed, serving)
    assert sorted(one.count for one in pours) == [1, 2]
    assert {one.label for one in pours} == {"flushed cartridge", "fresh cartridge"}


def test_of_a_panel_nothing_is_poured_at_the_seat(sealed_tasting):
    serving = sealed_tasting.sealed.servings[0]
    assert list_pours(sealed_tasting.sealed, serving) == ()


@pytest.mark.parametrize(
    ("pours", "more", "lean"),
    [
        (("A1", "A1", "B1"), "B", "more"),
        (("A1", "A1", "B1"), "A", "less"),
        (("A1", "B1", "B1"), "A", "more"),
        (("A1", "B1", "B1"), "B", "less"),
        (("A1", "B1"), "B", ""),
    ],
)
def test_whoever_knows_the_direction_is_told_how_the_odd_cup_differs(alone, pours, more, lean):
    layout = alone.made.sealed
    plan = layout.plan.model_copy(update={"direction": Direction(attribute="bitter", more=more)})
    serving = alone.servings(1)[0].model_copy(update={"pours": pours})
    assert find_lean(layout.model_copy(update={"plan": plan}), serving) == lean


def test_without_a_direction_nothing_is_told(alone):
    assert find_lean(alone.made.sealed, alone.servings(1)[0]) == ""


def test_only_the_cups_of_this_sitting_lie_ahead(bench, alone):
    alone.taste(1)
    assert look(bench, alone).ahead == ()
    alone.turn(1)
    later = look(bench, alone)
    assert [one.serving for one in later.ahead] == [one.id for one in alone.servings(2)]


def test_the_steps_follow_one_another(bench, alone):
    first = alone.servings(1)[0]
    read_instructions(bench, alone.token)
    seen = [look(bench, alone).kind]
    for act in (
        lambda: prepare_sitting(bench, alone.token, 1),
        lambda: record_shuffle(bench, alone.token, first.id, 24),
        lambda: alone.taste(1),
        lambda: alone.turn(1),
        lambda: alone.sit(2),
    ):
        act()
        seen.append(look(bench, alone).kind)
    wanted = ("prepare", "pour", "codes", "marks", "pause", "done")
    assert seen == [StepKind(one) for one in wanted]


def test_a_sitting_given_up_whole_has_no_cups_to_turn(bench, alone):
    read_instructions(bench, alone.token)
    for serving in alone.servings(1):
        alone.give_up(serving)
    assert look(bench, alone).kind == StepKind.PAUSE


def test_cups_closed_unturned_may_still_be_turned(bench, alone):
    alone.taste(1)
    alone.close("called away")
    assert look(bench, alone).kind == StepKind.MARKS
    alone.turn(1)
    assert look(bench, alone).kind == StepKind.OVER
