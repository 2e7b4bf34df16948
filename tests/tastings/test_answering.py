from uuid import UUID

import pytest
from sqlmodel import select

from server.storage.tables import Answer
from server.tastings import answering, closing, pouring
from server.tastings.answering import NotYet, Outcome
from server.tastings.refusals import Invalid, NotFound, WrongState


def token(play, seat=1):
    return play.made.tokens[seat]


def first(play, seat=1):
    return play.made.servings(seat)[0]


def compare(play, *, differ):
    answering.confirm_codes(play.bench, token(play), first(play).id, differ=differ)


def test_no_other_word_opens_a_seat(bench, play):
    assert answering.find_place(bench, "0" * 40) is None
    assert answering.find_place(bench, play.made.pourer) is None


def test_a_seat_answers_one_serving_after_the_other(play):
    for serving in play.made.servings(1):
        assert play.place(1).current.id == serving.id
        play.answer(1)
    assert play.place(1).current is None


def test_the_first_answer_counts(play):
    assert play.answer(1) == Outcome.ACCEPTED
    given = play.record.answers[first(play).id]
    assert (given.revision, given.answer["pick"]) == (1, play.pick(first(play)))


def test_the_same_answer_again_changes_nothing(play, stored):
    play.answer(1)
    before = stored()
    assert play.send(1, first(play), {"pick": play.pick(first(play))}) == Outcome.REPEATED
    assert stored() == before


def test_another_note_is_no_other_answer(play):
    play.answer(1)
    form = {"pick": play.pick(first(play)), "guess": "on", "comment": "flat"}
    assert play.send(1, first(play), form) == Outcome.REPEATED


def test_a_different_answer_is_kept_and_contested(play):
    play.answer(1)
    other = {"pick": play.pick(first(play), right=False)}
    assert play.send(1, first(play), other) == Outcome.CONTESTED
    assert play.record.open_contests == [first(play).id]


def test_a_form_that_spoke_twice_keeps_both_answers(bench, play):
    for right in (True, False):
        form = {"pick": play.pick(first(play), right=right)}
        answering.record_answer(bench, token(play), first(play).id, form, "one form")
    assert len(play.record.contests[first(play).id]) == 1


def test_a_later_serving_has_to_wait(play, stored):
    before = stored()
    later = play.made.servings(1)[1]
    with pytest.raises(NotYet):
        play.send(1, later, {"pick": later.codes[0]})
    assert stored() == before


@pytest.mark.parametrize("form", [{}, {"pick": ""}, {"pick": "000"}, {"pick": "1", "guess": "?"}])
def test_an_answer_is_one_of_the_cups(play, form):
    with pytest.raises(Invalid) as refused:
        play.send(1, first(play), form)
    assert "pick" in refused.value.messages
    assert play.record.answers == {}


def test_a_serving_of_another_seat_cannot_be_answered(play):
    other = first(play, 2)
    with pytest.raises(NotFound):
        play.send(1, other, {"pick": other.codes[0]})


def test_an_unknown_seat_or_serving_cannot_answer(bench, play):
    form = {"pick": first(play).codes[0]}
    with pytest.raises(NotFound):
        answering.record_answer(bench, "0" * 40, first(play).id, form, "a")
    with pytest.raises(NotFound):
        answering.record_answer(bench, token(play), UUID(int=1, version=4), form, "a")


def test_the_moment_of_the_server_and_of_the_device_are_kept(bench, play, clock):
    form = {"pick": first(play).codes[0]}
    answering.record_answer(bench, token(play), first(play).id, form, "a", "2031-05-14T08:59")
    with bench.reading() as db:
        answer = db.get_one(Answer, answer_id(db))
    assert (answer.received_at, answer.device_at) == (clock.now, "2031-05-14T08:59")


def answer_id(db):
    return db.exec(select(Answer.id)).one()


@pytest.mark.parametrize("unseal", [False, True])
def test_an_answer_after_the_end_is_late(bench, play, unseal):
    play.close()
    if unseal:
        closing.unseal_tasting(bench, play.made.id)
    head = play.record.head
    assert play.answer(1) == Outcome.LATE
    assert (play.record.answers, len(play.record.late)) == ({}, 1)
    assert play.record.head != head


def test_a_late_answer_is_kept_once(play):
    play.close()
    play.answer(1)
    assert play.answer(1) == Outcome.REPEATED


def test_a_different_answer_after_closing_is_late_not_contested(play):
    play.answer(1)
    play.close()
    late = {"pick": play.pick(first(play), right=False)}
    assert play.send(1, first(play), late) == Outcome.LATE
    assert play.record.standing(first(play).id).revision == 1


def test_an_answer_on_its_way_to_a_spilt_serving_is_refused(bench, small):
    spilt = first(small)
    spare = pouring.void_serving(bench, small.bar, spilt.id, "spilt")
    with pytest.raises(NotYet):
        small.send(1, spilt, {"pick": spilt.codes[0]})
    assert small.place(1).current.id == spare


def test_an_answer_on_its_way_to_a_spilt_spare_is_refused_likewise(bench, small):
    spare = pouring.void_serving(bench, small.bar, first(small).id, "spilt")
    pouring.void_serving(bench, small.bar, spare, "spilt again")
    spilt = first(small, 3)
    with pytest.raises(NotYet):
        small.send(1, spilt, {"pick": spilt.codes[0]})


def test_a_lent_serving_is_not_its_own_seats_any_more(bench, small):
    pouring.void_serving(bench, small.bar, first(small).id, "spilt")
    lent = first(small, 3)
    with pytest.raises(NotFound):
        small.send(3, lent, {"pick": lent.codes[0]})


def test_codes_are_confirmed_once(play):
    for _ in "12":
        compare(play, differ=False)
    assert (play.record.confirmed, play.record.version) == ({first(play).id}, 2)


def test_a_call_is_made_once(play):
    for _ in "12":
        compare(play, differ=True)
    assert (play.record.calls, play.record.version) == ({first(play).id}, 2)


def test_a_seat_may_confirm_after_calling_and_call_after_confirming(play):
    for differ, calls in ((True, {first(play).id}), (False, set()), (True, {first(play).id})):
        compare(play, differ=differ)
        assert play.record.calls == calls


def test_codes_of_an_answered_serving_need_no_word_more(play):
    play.answer(1)
    version = play.record.version
    compare(play, differ=True)
    assert play.record.version == version


def test_codes_of_another_seat_cannot_be_confirmed(bench, play):
    with pytest.raises(NotFound):
        answering.confirm_codes(bench, token(play), first(play, 2).id, differ=False)


def test_codes_are_not_confirmed_after_the_end(play):
    play.close()
    with pytest.raises(WrongState):
        compare(play, differ=False)


def test_an_unlocked_answer_is_found_again_and_no_event(bench, play):
    form = {"pick": first(play).codes[0], "comment": "flat"}
    answering.save_draft(bench, token(play), first(play).id, form)
    draft = answering.find_draft(bench, play.place(1))
    assert (draft["pick"], draft["comment"]) == (first(play).codes[0], "flat")
    assert play.record.version == 0


def test_an_unlocked_answer_can_be_replaced(bench, play):
    for code in first(play).codes[:2]:
        answering.save_draft(bench, token(play), first(play).id, {"pick": code})
    assert answering.find_draft(bench, play.place(1))["pick"] == first(play).codes[1]


def test_locking_an_answer_clears_the_unlocked_one(bench, play, stored):
    answering.save_draft(bench, token(play), first(play).id, {"pick": first(play).codes[0]})
    play.answer(1)
    assert stored()["draft"] == []


def test_a_finished_seat_has_nothing_unlocked(bench, small):
    small.answer(1)
    assert answering.find_draft(bench, small.place(1)) is None
