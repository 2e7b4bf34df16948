"""Noting that one brew filled slots of two samples."""

import pytest

from server.reports.brewed_notes import read_note
from server.tastings.pouring import note_brew
from server.tastings.refusals import Invalid
from server.tastings.shared_brews import NO_OTHER
from tests.playing import Play


@pytest.fixture
def note(bench, sealed_tasting):
    def act(**form):
        note_brew(bench, sealed_tasting.id, range(1, 4), {"slot": "B1", "tds": "1.3"} | form)
        return read_note(Play(bench, sealed_tasting).record.brews["B1"])

    return act


def test_a_brew_says_from_which_slot_of_the_round_it_was_filled(note):
    assert note(same_as="A1").same_as == "A1"


def test_a_later_note_keeps_it_unless_it_says_otherwise(note):
    note(same_as="A1")
    assert note().same_as == "A1"
    assert note(same_as="").same_as == ""


@pytest.mark.parametrize("other", ["B1", "B2", "A9", "A3", "<b>"])
def test_no_slot_of_its_own_sample_or_of_another_round_is_the_same(note, other):
    with pytest.raises(Invalid) as refused:
        note(same_as=other)
    assert refused.value.messages == {"same_as": NO_OTHER}
