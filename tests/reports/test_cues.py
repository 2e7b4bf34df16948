"""Something other than smell and taste: asked of everybody, never counted as taste."""

import pytest

from server.blinding.events import Kind


def taste(story, right, cues):
    """Answer every serving, so many rightly; ``cues`` says what each one names, None: not asked."""
    for number, (serving, cue) in enumerate(zip(story.main, cues, strict=True)):
        odd = story.find_odd_code(serving)
        wrong = next(code for code in serving.codes if code != odd)
        answer = {"pick": odd if number < right else wrong, "guess": False, "comment": ""}
        story.tell(
            Kind.ANSWERED, serving=str(serving.id), revision=1, source="device", client_key="k",
            answer=answer if cue is None else answer | {"cue": cue}, device_at=None,
        )  # fmt: skip
    return story.close().unseal()


@pytest.fixture
def story(make_story):
    return make_story().brew()


def limits(story):
    return " ".join(story.conclude().limits)


def test_old_answers_were_not_asked(story):
    assert "Nobody was asked whether anything but smell and taste" in limits(
        taste(story, 11, [None] * 18)
    )


def test_whoever_was_asked_and_named_nothing_is_counted(story):
    taste(story, 11, [""] * 18)
    assert "told them, 18 answers named nothing." in limits(story)
    assert [one.value for one in story.conclude().numbers if one.name == "cues"] == ["none of 18"]
    assert "Nobody was asked" not in limits(story)


def test_cues_are_named_in_their_own_words_with_what_came_of_them(story):
    taste(story, 11, ["foam", *[""] * 16, "a chip"])
    assert "2 of 18 answers named something: “foam” (right), “a chip” (wrong)." in limits(story)
    line = next(one for one in story.conclude().numbers if one.name == "cues")
    assert line.value == "2 of 18; 1 right"


def test_answers_that_were_not_asked_are_told_apart_from_those_that_were(story):
    assert "For 3 answers nobody asked" in limits(taste(story, 11, [None] * 3 + [""] * 15))


def test_answers_without_a_cue_are_a_reading_of_their_own(story):
    taste(story, 12, ["foam", *[""] * 16, "a chip"])
    reading = story.analyse().alternatives[0]
    assert (reading.name, reading.correct, reading.trials) == ("without_cues", 11, 16)


def test_what_is_found_without_them_too_stays_found(story):
    assert not taste(story, 12, ["foam", *[""] * 17]).analyse().exploratory


def test_what_hangs_on_cues_is_exploratory(story):
    # Without two of 10 right answers 8 of 16 are right, where 9 are needed (p .0500 rounds to
    # .05 but lies below it for 9 of 16; ISO 4120:2021 table A.1, from memory).
    finding = taste(story, 10, ["foam", "foam", *[""] * 16]).conclude()
    assert finding.verdict == "exploratory"
    assert "something other than smell and taste" in finding.headline
    assert any("Mend what gave cups away (“foam” (right)" in one for one in finding.next_steps)


def test_a_miss_stays_a_miss_whatever_was_named(story):
    assert not taste(story, 8, ["foam", *[""] * 17]).analyse().exploratory
