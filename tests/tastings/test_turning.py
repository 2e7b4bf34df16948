"""How a tasting alone ends: its marks are turned, or said to be gone; nothing is guessed."""

import pytest

from server.blinding.bodies import find_body_problems
from server.storage import queries
from server.tastings import closing
from server.tastings.refusals import Invalid, Refusal
from server.tastings.turning import find_unturned


def unturned(play):
    return find_unturned(play.made.sealed, play.record)


def problems(play):
    with play.bench.reading() as db:
        return find_body_problems(queries.load_events(db, play.made.id), play.made.sealed)


def test_a_sitting_answered_waits_for_its_marks(alone):
    alone.taste(1)
    assert unturned(alone) == [1]
    alone.turn(1)
    assert unturned(alone) == []


def test_a_panel_has_no_marks_to_turn(play, led):
    play.answer(1)
    assert find_unturned(led(play).layout, play.record) == []


def test_a_whole_tasting_alone_is_closed_and_unsealed_without_a_reason(alone):
    for sitting in (1, 2):
        alone.sit(sitting)
    alone.close()
    assert alone.unseal()
    assert (alone.record.state, problems(alone)) == ("unsealed", [])


def test_closing_with_marks_not_entered_needs_a_reason(alone):
    alone.sit(1)
    alone.taste(2)
    with pytest.raises(Invalid) as refused:
        alone.close()
    assert refused.value.messages["reason"].startswith("Marks are not entered yet")


def test_what_was_not_tasted_of_a_sitting_begun_is_given_up_at_closing(alone):
    first, *rest = alone.servings(1)
    alone.answer(first)
    alone.close("the kettle broke")
    assert alone.record.voids.keys() == {one.id for one in rest}
    assert {void.reason for void in alone.record.voids.values()} == {"the kettle broke"}


def test_marks_can_be_entered_between_closing_and_unsealing(alone):
    alone.answer(alone.servings(1)[0])
    alone.close("the kettle broke")
    alone.turn(1)
    assert alone.unseal()
    assert problems(alone) == []


def test_nothing_is_unsealed_before_the_marks_are_entered_or_said_to_be_gone(alone, stored):
    alone.taste(1)
    alone.close("the kettle broke")
    before = stored()
    with pytest.raises(Invalid) as refused:
        alone.unseal()
    assert "sitting 1" in refused.value.messages["marks_gone"]
    assert stored() == before


def test_marks_that_are_gone_are_recorded_as_lost(alone):
    alone.sit(1)
    alone.taste(2)
    alone.close("the cups were washed up")
    assert alone.unseal(marks_gone=True)
    second = alone.record.reveals[2][0]
    assert {slot for cups in second.marks.values() for slot in cups.values()} == {None}
    assert problems(alone) == []


def test_saying_that_marks_are_gone_changes_none_that_are_on_record(alone):
    alone.sit(1)
    alone.close("the kettle broke")
    before = alone.record.marks
    alone.unseal(marks_gone=True)
    assert alone.record.marks == before


def test_an_abandoned_tasting_is_unsealed_without_its_marks(bench, alone):
    alone.taste(1)
    closing.abandon_tasting(bench, alone.made.id, "the kettle broke")
    assert alone.unseal()


@pytest.mark.parametrize("pourer", ["alone", "taster", "present", "absent"])
def test_alone_a_helper_may_have_come_after_all(alone, pourer):
    alone.close("the kettle broke", pourer)
    assert alone.record.closing["pourer"] == pourer


def test_alone_nobody_can_have_served_by_codes_alone(alone):
    with pytest.raises(Invalid):
        alone.close("the kettle broke", "relay")


def test_a_drawn_key_was_not_under_the_cups(bench, play):
    with pytest.raises(Invalid) as refused:
        closing.close_tasting(bench, play.made.id, "late", "alone")
    assert "pourer" in refused.value.messages


def test_alone_there_is_no_key_to_look_at(bench, alone):
    alone.sit(1)
    with pytest.raises(Refusal, match="truth lies under the cups"):
        closing.look_at_key(bench, alone.made.id, "away", "curious")
    assert alone.record.looks == []
