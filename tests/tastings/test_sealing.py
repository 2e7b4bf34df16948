from uuid import UUID

import pytest

from server.blinding.seal import read_sealed, seal_hash
from server.storage.key import read_sealed_text
from server.storage.tables import Tasting
from server.tastings.pouring import find_bar
from server.tastings.refusals import NotFound, WrongState
from server.tastings.sealing import seal_tasting


@pytest.fixture
def text(bench, play):
    with bench.reading() as db:
        return read_sealed_text(db, play.made.id)


def test_a_sealed_text_hashes_to_the_seal(play, text):
    assert seal_hash(text) == play.made.seal


def test_a_sealed_text_holds_plan_and_samples(bench, play, text):
    sealed = read_sealed(text)
    with bench.reading() as db:
        assert sealed.plan.model_dump(mode="json") == db.get_one(Tasting, play.made.id).plan
    assert [one.label for one in sealed.samples] == ["flushed cartridge", "fresh cartridge"]


def test_every_seat_is_drawn_with_the_spare_one(play):
    assert (set(play.made.tokens), len(play.made.sealed.servings)) == (set(range(1, 8)), 21)


def test_every_link_is_a_word_of_its_own(play):
    words = {*play.made.tokens.values(), play.made.pourer}
    assert (len(words), {len(word) for word in words}) == (8, {40})


def test_a_tasting_is_sealed_once(bench, play, stored):
    before = stored()
    with pytest.raises(WrongState):
        seal_tasting(bench, play.made.id)
    assert stored() == before


def test_what_is_not_there_cannot_be_sealed(bench):
    with pytest.raises(NotFound):
        seal_tasting(bench, UUID(int=1, version=4))


def test_the_same_plan_is_drawn_anew_each_time(make_tasting):
    first, second = make_tasting(), make_tasting()
    assert first.seal != second.seal
    assert [one.codes for one in first.sealed.servings] != [
        one.codes for one in second.sealed.servings
    ]


def test_sealing_makes_a_link_for_whoever_pours_all_rounds(bench, play):
    assert find_bar(bench, play.made.pourer).rounds == (1, 2, 3)


def test_a_tasting_alone_is_sealed_without_a_key(bench, alone):
    with bench.reading() as db:
        assert db.get_one(Tasting, alone.made.id).key_source == "revealed"
    assert alone.made.sealed.key == {}
    assert all(serving.pours for serving in alone.made.sealed.servings)
