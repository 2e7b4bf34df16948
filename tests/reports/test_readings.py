import pytest

from server.blinding.events import Kind


def list_readings(story):
    return {one.name: (one.correct, one.trials) for one in story.analyse().alternatives}


def test_a_tasting_without_exclusions_has_one_reading(tell_whole):
    assert tell_whole(9).analyse().alternatives == ()


@pytest.mark.parametrize(("first", "counts"), [(True, (10, 9)), (False, (9, 10))])
def test_an_unsettled_contest_is_read_with_either_answer(make_story, first, counts):
    story = make_story().taste(9, 17)
    last = story.main[17]
    story.answer(last, first).answer(last, not first, Kind.CONTESTED, revision=2)
    read = list_readings(story.close("contested").unseal())
    assert story.analyse().main.trials == 17
    assert (read["contested_first"][0], read["contested_last"][0]) == counts


def test_a_settled_contest_is_still_read_with_either_answer(make_story):
    story = make_story().taste(9, 17)
    last = story.main[17]
    story.answer(last, True).answer(last, False, Kind.CONTESTED, revision=2)
    story.tell(Kind.CONTEST_SETTLED, serving=str(last.id), revision=1).close().unseal()
    assert story.analyse().main.correct == 10
    assert list_readings(story) == {"contested_first": (10, 18), "contested_last": (9, 18)}


def test_a_late_answer_counts_in_a_reading_of_its_own(make_story):
    story = make_story().taste(9, 17).close("one late")
    story.answer(story.main[17], True, Kind.LATE).unseal()
    assert list_readings(story) == {"late": (10, 18)}


def test_a_late_answer_after_unsealing_counts_nowhere(make_story):
    story = make_story().taste(9, 17).close("one late").unseal()
    story.answer(story.main[17], True, Kind.LATE)
    assert list_readings(story) == {}
    assert story.analyse().changes.late_after_unsealing == 1


def test_a_late_answer_never_replaces_an_earlier_one(make_story):
    story = make_story().taste(0).close()
    story.answer(story.main[0], True, Kind.LATE).unseal()
    assert list_readings(story) == {}
    assert story.analyse().changes.late_unused == 1


def test_a_voided_answer_counts_in_a_reading_of_its_own(make_story):
    story = make_story().taste(9)
    story.void(story.main[0].id).close("spilt").unseal()
    assert story.analyse().main.correct == 8
    assert list_readings(story) == {"voided": (9, 18)}


def test_a_voided_answer_is_read_instead_of_the_one_that_replaced_it(make_story):
    story = make_story().taste(9)
    story.void(story.main[0].id, story.spare[0].id).answer(story.spare[0], False)
    story.close().unseal()
    assert story.analyse().main.correct == 8
    assert list_readings(story) == {"voided": (9, 18)}


def test_a_serving_voided_before_its_answer_has_nothing_to_read(make_story):
    story = make_story().taste(9, 17)
    story.void(story.main[17].id, story.spare[2].id).answer(story.spare[2], True)
    assert list_readings(story.close().unseal()) == {}


def test_each_reading_has_its_own_p_and_outcome(make_story):
    # 9 of 17 right: p = 0.0755; with a right late answer 10 of 18: p = 0.0433 (exact sums).
    story = make_story().taste(9, 17).close("one late")
    story.answer(story.main[17], True, Kind.LATE).unseal()
    late = story.analyse().alternatives[0]
    assert (late.detected, late.p_value) == (True, pytest.approx(0.0433480662, abs=1e-9))
    assert not story.analyse().main.detected
