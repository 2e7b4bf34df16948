"""Servings struck off before the first one was served, and later."""

import pytest

from server.blinding.events import Kind


def show(finding, name):
    return next(line.value for line in finding.numbers if line.name == name)


@pytest.fixture
def struck(make_story):
    """A tasting of 18 servings, three of them struck off, with so many right of 15."""

    def tell(right, **changes):
        story = make_story(begun=False, **changes)
        mine = [serving for serving in story.main if serving.seat == 6]
        story.strike(*mine).begin().brew()
        for number, serving in enumerate(s for s in story.main if s.seat != 6):
            story.tell(Kind.CODES_CONFIRMED, serving=str(serving.id))
            story.answer(serving, number < right)
        return story

    return tell


def test_a_seat_struck_off_beforehand_is_no_gap(struck):
    analysis = struck(9).close().unseal().analyse()
    assert (analysis.incomplete, analysis.exploratory) == (False, ())
    assert show(struck(9).close().unseal().conclude(), "answers") == "15 of 15"


def test_the_planned_numbers_are_those_of_the_reduced_plan(struck):
    # Critical number of 15 answers, α = 0.05: 9 (printed tables of the triangle test).
    reach = struck(9).close().unseal().analyse().reach
    assert (reach.planned, reach.critical_planned) == (15, 9)
    assert reach.power_planned == reach.power_reached


def test_what_was_struck_off_is_an_amendment_with_its_reason(struck):
    assert struck(9).close().unseal().conclude().amendments == (
        "3 servings were struck off before the first serving (“seat 6 is ill”).",
        "That left 15 planned answers of the test instead of 18.",
    )


def test_a_round_counts_its_struck_serving_as_not_planned(struck):
    assert [one.planned for one in struck(9).close().unseal().analyse().rounds] == [5, 5, 5]


def test_a_look_at_the_key_spoils_no_test_whose_reduced_plan_is_whole(struck):
    story = struck(9).tell(Kind.KEY_LOOKED, who="away", reason="spill")
    assert story.close().unseal().analyse().exploratory == ()


def test_an_answer_to_a_struck_serving_is_read_apart(struck):
    story = struck(9)
    story.answer(next(s for s in story.main if s.seat == 6), True)
    finding = story.close().unseal().conclude()
    assert [(one.name, one.counted) for one in finding.readings] == [
        ("planned", "9 of 15"),
        ("voided", "10 of 16"),
    ]


def test_striking_off_once_serving_has_begun_leaves_a_gap(make_story):
    story = make_story().brew().taste(9, 17)
    story.strike(story.main[17], reason="cold").close("cold").unseal()
    analysis = story.analyse()
    assert (analysis.reach.planned, analysis.incomplete) == (18, True)
    assert (
        "1 serving was struck off after serving had begun, without effect on what was planned."
    ) in story.conclude().amendments


def test_a_plan_struck_off_altogether_has_no_answers(make_story):
    story = make_story(begun=False)
    story.strike(*story.main).begin()
    assert story.close("nobody").unseal().conclude().verdict == "no_answers"
