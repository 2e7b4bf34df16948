from uuid import UUID

import pytest
from sqlalchemy import text

from server.tastings import answering, closing
from server.tastings.refusals import Invalid, NotFound, Refusal


def spoil(bench, statement):
    """Change what is sealed, past the triggers, as somebody with the file could."""
    with bench.writing() as db:
        names = "SELECT name FROM sqlite_master WHERE type = 'trigger'"
        for name in db.connection().execute(text(names)).scalars().all():
            db.connection().execute(text(f"DROP TRIGGER {name}"))
        db.connection().execute(text(statement))
        db.commit()


def reached(play, led):
    one = led(play)
    return closing.count_reached(one.layout, one.record)


def test_what_is_reached_is_what_stands(play, led):
    play.answer(1)
    play.contest(2)
    assert (reached(play, led).planned, reached(play, led).reached) == (18, 1)
    assert reached(play, led).gaps == 17


def test_a_whole_tasting_is_closed_without_a_reason(play):
    play.fill(right=10)
    play.close(reason="")
    assert (play.record.state, play.record.closing["reason"]) == ("closed", "")


@pytest.mark.parametrize("reason", ["", "  "])
def test_closing_with_answers_missing_needs_a_reason(bench, play, reason, stored):
    before = stored()
    with pytest.raises(Invalid) as refused:
        closing.close_tasting(bench, play.made.id, reason, "absent")
    assert "reason" in refused.value.messages
    assert stored() == before


@pytest.mark.parametrize("pourer", ["", "somebody"])
def test_closing_asks_who_really_poured(bench, play, pourer):
    with pytest.raises(Invalid) as refused:
        closing.close_tasting(bench, play.made.id, "a guest is ill", pourer)
    assert "pourer" in refused.value.messages


def test_an_untouched_seal_holds(play):
    assert play.unseal()
    assert (play.record.state, play.record.seal_matches) == ("unsealed", True)


@pytest.mark.parametrize(
    "statement",
    [
        "UPDATE seal SET text = replace(CAST(text AS TEXT), '0.05', '0.10')",
        "UPDATE seal SET text = CAST('{}' AS BLOB)",
        "UPDATE event SET body = replace(body, 'kettle', 'mettle') WHERE kind = 'closed'",
        "UPDATE event SET head = hex(zeroblob(32)) WHERE seq = 1",
        "DELETE FROM event WHERE seq = 1",
    ],
)
def test_whatever_is_changed_under_the_seal_is_found(bench, play, statement):
    play.answer(1)
    play.close()
    spoil(bench, statement)
    assert not closing.unseal_tasting(bench, play.made.id)
    assert play.record.seal_matches is False


def test_unsealing_again_says_the_same_and_changes_nothing(bench, play, stored):
    play.unseal()
    before = stored()
    assert closing.unseal_tasting(bench, play.made.id)
    assert stored() == before


def test_an_abandoned_tasting_may_be_unsealed_and_stays_abandoned(bench, play):
    closing.abandon_tasting(bench, play.made.id, " the kettle broke ")
    assert closing.unseal_tasting(bench, play.made.id)
    assert (play.record.state, play.record.seal_matches) == ("abandoned", True)
    assert play.record.abandoning["reason"] == "the kettle broke"


def test_giving_up_needs_a_reason(bench, play):
    with pytest.raises(Invalid) as refused:
        closing.abandon_tasting(bench, play.made.id, " ")
    assert "abandon_reason" in refused.value.messages


@pytest.mark.parametrize(
    ("who", "reason", "fields"),
    [("", "", {"who", "reason"}), ("me", "curious", {"who"}), ("away", " ", {"reason"})],
)
def test_a_look_at_the_key_needs_who_and_why(bench, play, who, reason, fields):
    with pytest.raises(Invalid) as refused:
        closing.look_at_key(bench, play.made.id, who, reason)
    assert set(refused.value.messages) == fields
    assert play.record.looks == []


def test_a_look_at_the_key_is_on_record_with_its_moment(bench, play):
    closing.look_at_key(bench, play.made.id, "away", "a guest is ill")
    play.close()
    closing.look_at_key(bench, play.made.id, "present", "still ill")
    looks = [(one.who, one.before_closing) for one in play.record.looks]
    assert looks == [("away", True), ("present", False)]


def test_the_chosen_answer_of_a_contest_counts(bench, play):
    serving = play.contest(1)
    closing.settle_contest(bench, play.made.id, serving, "2")
    assert play.record.standing(serving).revision == 2
    assert play.record.open_contests == []


def test_a_contest_can_be_settled_otherwise_until_unsealing(bench, play):
    serving = play.contest(1)
    for choice in ("2", "1"):
        closing.settle_contest(bench, play.made.id, serving, choice)
    assert play.record.standing(serving).revision == 1


@pytest.mark.parametrize("choice", ["1", "void"])
def test_a_second_tap_on_a_choice_changes_nothing(bench, play, choice):
    serving = play.contest(1)
    closing.settle_contest(bench, play.made.id, serving, choice)
    version = play.record.version
    closing.settle_contest(bench, play.made.id, serving, choice)
    assert play.record.version == version


def test_a_contested_serving_can_be_voided(bench, play):
    serving = play.contest(1)
    closing.settle_contest(bench, play.made.id, serving, "void")
    assert play.record.standing(serving) is None


@pytest.mark.parametrize("choice", ["", "0", "3", "first"])
def test_a_contest_is_settled_by_one_of_its_answers(bench, play, choice):
    serving = play.contest(1)
    with pytest.raises(Invalid) as refused:
        closing.settle_contest(bench, play.made.id, serving, choice)
    assert "choice" in refused.value.messages


def test_alone_nobody_settles_a_contest_whose_marks_are_known(bench, alone, stored):
    alone.taste(1)
    serving = alone.servings(1)[0]
    other = {"pick": alone.pick(serving)}
    answering.record_answer(bench, alone.token, serving.id, other, "second thought")
    alone.turn(1)
    before = stored()
    with pytest.raises(Refusal):
        closing.settle_contest(bench, alone.made.id, serving.id, "2")
    assert stored() == before


def test_what_is_not_contested_cannot_be_settled(bench, play):
    play.answer(1)
    for serving in (play.made.servings(1)[0].id, UUID(int=1, version=4)):
        with pytest.raises(NotFound):
            closing.settle_contest(bench, play.made.id, serving, "1")


def test_a_contest_nobody_settled_counts_for_nothing_after_unsealing(play, led):
    play.contest(1)
    play.unseal()
    assert reached(play, led).reached == 0
