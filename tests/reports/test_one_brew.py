"""One brew given to two samples: its servings are a null control, and leave the test."""

from collections.abc import Callable, Iterable
from typing import Any

import pytest

from server.blinding.events import Kind
from server.blinding.plans import Purpose
from server.blinding.record import fold
from server.reports.one_brew import list_shared_brews
from tests.reports.conftest import Story

Tell = Callable[..., Story]


def share(story: Story, *pairs: tuple[str, str]) -> Story:
    for slot, other in pairs:
        story.tell(
            Kind.BREWED, slot=slot, tds=["1.30"], time=None, note="", temperature_c="58",
            fill_g=None, brew={"same_as": other},
        )  # fmt: skip
    return story


def find_holding(story: Story, *names: str) -> list[Any]:
    key = story.sealed.key
    return [one for one in story.main if set(names) <= {key[cup.id] for cup in one.cups}]


def find(limits: Iterable[str], words: str) -> str:
    return next((one for one in limits if words in one), "")


def test_servings_with_cups_of_both_samples_from_one_brew_leave_the_count(make_story: Tell) -> None:
    story = share(make_story().brew(), ("B1", "A1")).taste(18).close().unseal()
    apart = len(find_holding(story, "A1", "B1"))
    analysis = story.analyse()
    assert 0 < apart < 18
    assert (analysis.main.trials, analysis.reach.planned) == (18 - apart, 18)
    assert (analysis.one_brew.trials, analysis.one_brew.correct) == (apart, apart)


def test_they_are_shown_with_a_count_of_their_own(make_story: Tell) -> None:
    story = share(make_story().brew(), ("B1", "A1")).taste(18).close().unseal()
    apart = len(find_holding(story, "A1", "B1"))
    said = find(story.conclude().limits, "from one brew")
    assert f"In {apart} servings the cups of both samples came from one brew" in said
    # Guessing finds the odd one of three in a third of servings.
    assert f"{apart} of {apart} answers were right; guessing gives about" in said


def test_where_none_is_left_there_was_no_test(make_story: Tell) -> None:
    story = make_story().brew()
    slots = story.sealed.slots
    pairs = [
        (b.name, a.name)
        for b in slots
        for a in slots
        if (a.sample, b.sample, a.round) == ("A", "B", b.round)
    ]
    held = {one.id for b, a in pairs[:1] for one in find_holding(story, b, a)}
    share(story, pairs[0])
    for serving in story.main:
        if serving.id in held:
            story.answer(serving, True)
    finding = story.close("late").unseal().conclude()
    assert finding.verdict == "no_answers"
    assert finding.headline.startswith("There was no test")
    assert find(finding.limits, "were a null control")


def test_other_ways_to_count_leave_them_out_as_well(make_story: Tell) -> None:
    story = share(make_story().brew(), ("B1", "A1"))
    late = find_holding(story, "A1", "B1")[0]
    for serving in story.main:
        if serving is not late:
            story.answer(serving, True)
    story.close().answer(late, True, Kind.LATE).unseal()
    analysis = story.analyse()
    assert all(one.trials == analysis.main.trials for one in analysis.alternatives)


@pytest.mark.parametrize("other", ["A1", "Z9", "B1", "not a slot"])
def test_a_slot_of_the_same_sample_or_of_none_shares_nothing(make_story: Tell, other: str) -> None:
    story = share(make_story().brew(), ("A2", other) if other == "A1" else ("B1", other))
    assert list_shared_brews(story.sealed, fold(story.events)) == ()


def test_a_later_note_takes_it_back(make_story: Tell) -> None:
    story = share(make_story().brew(), ("B1", "A1"), ("B1", "")).taste(18).close().unseal()
    assert (story.analyse().main.trials, story.analyse().one_brew.trials) == (18, 0)


def test_a_null_control_stays_what_it_is(make_story: Tell) -> None:
    story = share(make_story(null_control=True).brew(), ("B1", "A1"))
    story.taste(18).taste(6, purpose=Purpose.NULL)
    null = story.close().unseal().analyse().controls[0]
    assert null.trials == 6
