from uuid import UUID

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from server.blinding.events import Kind


@settings(max_examples=30, deadline=None)
@given(picks=st.lists(st.integers(0, 2), max_size=18), seed=st.integers(0, 5))
def test_k_of_n_is_what_a_count_by_hand_from_the_key_gives(make_story, picks, seed):
    story = make_story(seed=seed)
    right = 0
    for serving, pick in zip(story.main, picks, strict=False):
        # By hand: the picked cup is right if neither neighbour comes from its sample.
        samples = [story.sealed.key[cup.id][0] for cup in serving.cups]
        is_odd = samples.count(samples[pick]) == 1
        right += is_odd
        odd_place = next(place for place in range(3) if samples.count(samples[place]) == 1)
        assert (odd_place == pick) == is_odd
        story.tell(
            Kind.ANSWERED, serving=str(serving.id), revision=1, source="device", device_at=None,
            answer={"pick": serving.codes[pick], "guess": False, "comment": ""}, client_key="k",
        )  # fmt: skip
    analysis = story.close("enough").unseal().analyse()
    assert (analysis.main.correct, analysis.main.trials) == (right, len(picks))


def test_a_serving_that_nobody_answered_does_not_count(make_story):
    story = make_story().taste(5, 7).close("two left").unseal()
    assert story.analyse().main.trials == 7


def test_a_spare_serving_stands_in_for_a_voided_one(make_story):
    story = make_story().taste(0)
    story.void(story.main[0].id, story.spare[0].id).answer(story.spare[0], True)
    analysis = story.close().unseal().analyse()
    assert (analysis.main.correct, analysis.main.trials) == (1, 18)


def test_who_drank_from_a_spare_serving_is_the_person_whose_serving_was_voided(make_story):
    story = make_story().taste(0)
    story.void(story.main[0].id, story.spare[0].id).answer(story.spare[0], True)
    people = story.close().unseal().analyse().people
    assert (people.persons, people.spare_persons, people.fewest, people.most) == (6, 0, 3, 3)


def test_a_voided_serving_without_a_spare_one_does_not_count(make_story):
    story = make_story().taste(18)
    story.void(story.main[0].id)
    assert story.close("spilt").unseal().analyse().main.correct == 17


def test_a_spare_seat_that_was_taken_counts_like_any_other(make_story):
    story = make_story().taste(9).tell(Kind.SEAT_TAKEN, seat=7)
    for serving in story.spare:
        story.answer(serving, True)
    analysis = story.close().unseal().analyse()
    assert (analysis.main.correct, analysis.main.trials) == (12, 21)
    assert (analysis.people.spare_persons, analysis.people.spare_answers) == (1, 3)


@pytest.mark.parametrize(("revision", "right"), [(1, 1), (2, 0), (None, 0)])
def test_the_settled_answer_of_a_contested_serving_counts(make_story, revision, right):
    story = make_story()
    first = story.main[0]
    story.answer(first, True).answer(first, False, Kind.CONTESTED, revision=2)
    story.tell(Kind.CONTEST_SETTLED, serving=str(first.id), revision=revision)
    main = story.close("one only").unseal().analyse().main
    assert (main.correct, main.trials) == (right, 0 if revision is None else 1)


@pytest.mark.parametrize("kind", [Kind.VOIDED, Kind.CONTESTED, Kind.ANSWERED])
def test_nothing_that_comes_after_unsealing_changes_what_counts(make_story, kind):
    story = make_story().taste(9, 17).close("one left").unseal()
    if kind == Kind.VOIDED:
        story.void(story.main[0].id)
    else:
        serving = story.main[0 if kind == Kind.CONTESTED else 17]
        story.answer(serving, kind == Kind.ANSWERED, kind, revision=2)
    analysis = story.analyse()
    assert (analysis.main.correct, analysis.main.trials) == (9, 17)
    assert analysis.changes.ignored_after_unsealing == 1


def test_an_erased_answer_does_not_count(make_story):
    story = make_story().taste(18).close().unseal()
    answered = [event.seq for event in story.events if event.kind == Kind.ANSWERED]
    analysis = story.erase(answered[:2]).analyse()
    assert (analysis.main.correct, analysis.main.trials) == (16, 16)
    assert (analysis.changes.erased, analysis.changes.erased_answers) == (2, 2)


def test_an_erased_answer_leaves_the_chain_whole(make_story):
    story = make_story().taste(18).close().unseal()
    answered = next(event.seq for event in story.events if event.kind == Kind.ANSWERED)
    assert story.erase([answered]).analyse().chain_problems == ()


def test_replacements_that_replace_each_other_end(make_story):
    story = make_story().taste(0)
    one, other = story.spare[0].id, story.spare[1].id
    story.void(one, other).void(other, one).void(story.main[0].id, UUID(int=99))
    assert story.close().unseal().analyse().main.trials == 17
