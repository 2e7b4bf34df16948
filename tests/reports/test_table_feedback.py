"""What an assessor may read of themselves: against hand-made panels whose truth is plain."""

import pytest

from server.reports.table_feedback import FEWEST, OwnRow, give_feedback
from server.sheets.sheet import Attribute
from tests.scored_tables import Give, analyse, draw

STEP = {"A": 20, "B": 50, "C": 80}


def score(shift: int = 0, turned: int = 0) -> Give:
    """Score three samples 30 points apart, every seat by so many points more than the last."""

    def give(seat: int, _: Attribute, sample: str, *__: str) -> int:
        value = STEP[sample] + shift * seat
        return 10 * (100 - value if seat == turned else value)

    return give


def test_own_means_stand_beside_those_of_the_others() -> None:
    [question] = give_feedback(analyse(draw(3, assessors=5), score(shift=1)))[1].questions
    # the others gave 2, 3, 4 and 5 points more than the step, 3.5 on average; seat 1 gave 1
    assert question.rows[0] == OwnRow("batch A", 21.0, 23.5)
    assert question.distance == pytest.approx(2.5)
    assert question.agreement == pytest.approx(1)


def test_pairs_scored_the_other_way_round_than_most_are_named() -> None:
    [question] = give_feedback(analyse(draw(3, assessors=5), score(turned=2)))[2].questions
    assert question.turned == (
        ("batch A", "batch C"),
        ("batch B", "batch C"),
        ("batch A", "batch B"),
    )
    assert question.agreement == pytest.approx(-1)


def test_the_others_hear_nothing_of_whoever_was_turned() -> None:
    [question] = give_feedback(analyse(draw(3, assessors=5), score(turned=2)))[1].questions
    assert question.turned == ()


def test_repeats_are_own_scores_of_one_sample() -> None:
    found = give_feedback(analyse(draw(3, assessors=5, duplicates=("B",)), score()))
    assert found[1].questions[0].repeats == 0


@pytest.mark.parametrize("people", [2, 3])
def test_a_small_panel_reads_of_its_own_repeats_alone(people: int) -> None:
    sealed = draw(3, assessors=people, duplicates=("B",))
    feedback = give_feedback(analyse(sealed, score(shift=1)))[1]
    assert people < FEWEST
    assert feedback.small
    [question] = feedback.questions
    assert (question.rows, question.distance, question.agreement) == ((), None, None)
    assert question.repeats == 0


def test_somebody_who_said_nothing_has_no_question() -> None:
    give = score()
    silent = analyse(
        draw(3, assessors=5), lambda seat, *about: give(seat, *about) if seat > 1 else None
    )
    assert give_feedback(silent)[1].questions == ()
