"""How a tasting may end, and what its finding says of that."""

import pytest

from server.blinding.events import Kind

STOPPED = "stopped short of its plan"


def show(finding, name):
    return next(line.value for line in finding.numbers if line.name == name)


def test_planned_and_reached_numbers_stand_side_by_side(make_story):
    finding = make_story().brew().taste(9, 15).close("last train").unseal().conclude()
    assert show(finding, "answers") == "15 of 18"


def test_closing_with_gaps_gives_the_reason_and_both_chances(make_story):
    finding = make_story().brew().taste(9, 15).close("last train").unseal().conclude()
    assert finding.limits[0] == (
        "Incomplete: 15 of 18 planned answers count. Reason given: “last train”."
    )
    chances = show(finding, "power_reached"), show(finding, "power_planned")
    assert finding.limits[1].endswith("{} instead of {}.".format(*chances))


def test_an_abandoned_tasting_says_how_much_is_on_record_and_why(make_story):
    finding = make_story().brew().taste(9, 12).tell(Kind.ABANDONED, reason="no water").conclude()
    assert finding.headline == "Abandoned: there is no finding."
    assert finding.may_say == ("12 of 18 planned answers are on record.",)
    assert "Reason given: “no water”." in finding.limits[0]


def test_a_late_answer_is_told_and_read_beside_the_planned_analysis(make_story):
    story = make_story().brew().taste(9, 17).close("one late")
    finding = story.answer(story.main[17], False, Kind.LATE).unseal().conclude()
    assert (
        "1 answer came after closing and before unsealing; outside the main analysis."
    ) in finding.amendments
    assert [one.counted for one in finding.readings] == ["9 of 17", "9 of 18"]


def test_an_answer_after_unsealing_is_kept_and_never_counted(make_story):
    story = make_story().brew().taste(9, 17).close("one late").unseal()
    finding = story.answer(story.main[17], True, Kind.LATE).conclude()
    assert "1 answer came after unsealing; kept, never counted." in finding.amendments
    assert finding.readings == ()


@pytest.mark.parametrize(
    ("revision", "said", "counted"),
    [
        (1, "1 serving had two different answers; which one counts was settled before", "10 of 18"),
        (None, "1 serving had two different answers and nobody could say which", "9 of 17"),
    ],
)
def test_a_contested_serving_is_told_and_read_both_ways(make_story, revision, said, counted):
    story = make_story().brew().taste(9, 17)
    last = story.main[17]
    story.answer(last, True).answer(last, False, Kind.CONTESTED, revision=2)
    story.tell(Kind.CONTEST_SETTLED, serving=str(last.id), revision=revision)
    finding = story.close("contested").unseal().conclude()
    assert any(one.startswith(said) for one in finding.amendments)
    assert [one.counted for one in finding.readings] == [counted, "10 of 18", "9 of 18"]


@pytest.mark.parametrize(
    ("who", "said", "level"),
    [
        ("taster", "somebody who tastes", 0),
        ("present", "somebody present", 2),
        ("away", "somebody who was away", 3),
    ],
)
def test_an_early_look_at_the_key_is_told_and_caps_the_level(make_story, who, said, level):
    story = make_story(pourer="relay").brew().taste(11)
    story.tell(Kind.KEY_LOOKED, who=who, reason="spill").close(pourer="relay").unseal()
    finding = story.conclude()
    assert finding.amendments == (f"Before closing, somebody looked at the key ({said}; “spill”).",)
    assert finding.blinding_level == level
    assert (
        f"Before closing the key was seen by {said}: level {level} at most."
    ) in finding.blinding_reasons


@pytest.mark.parametrize(
    ("who", "verdict"),
    [("taster", "exploratory"), ("present", "told_apart"), ("away", "told_apart")],
)
def test_a_key_look_spoils_a_whole_test_only_if_a_taster_looked(make_story, who, verdict):
    story = make_story().brew().taste(11).tell(Kind.KEY_LOOKED, who=who, reason="spill")
    assert story.close().unseal().conclude().verdict == verdict


def test_an_early_look_at_the_results_is_told_and_makes_it_exploratory(make_story):
    story = make_story().brew().taste(11).tell(Kind.RESULTS_LOOKED, how="counted by hand")
    finding = story.close().unseal().conclude()
    assert finding.amendments == (
        "Before closing, somebody looked at the results (“counted by hand”).",
    )
    assert finding.verdict == "exploratory"


def test_stopping_after_a_look_at_the_key_is_exploratory(make_story):
    story = make_story().brew().taste(9, 12).tell(Kind.KEY_LOOKED, who="away", reason="spill")
    assert STOPPED in story.close("late").unseal().conclude().headline
