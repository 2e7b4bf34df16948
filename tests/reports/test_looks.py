import pytest

from server.reports.looks import measure_looks


def look(found: int, tried: int = 6, cue: str = "") -> dict[str, object]:
    odd = (1, 2, 3, 1, 2, 3)[:tried]
    wrong = tuple(place % 3 + 1 for place in odd)
    return {"odd": odd, "picked": odd[:found] + wrong[found:], "cue": cue}


# Triangle test, 6 answers, α = 0.05: 5 right are needed (recomputed; p = 13/729 by hand).
@pytest.mark.parametrize(("found", "is_cue"), [(0, False), (4, False), (5, True), (6, True)])
def test_looks_are_a_cue_from_the_critical_number_on(make_story, found, is_cue):
    result = measure_looks(make_story(look_check=look(found)).sealed.plan)
    assert (result.found, result.tried, result.critical) == (found, 6, 5)
    assert result.is_cue == is_cue


def test_two_looks_can_never_be_a_cue(make_story):
    result = measure_looks(make_story(look_check=look(2, 2)).sealed.plan)
    assert (result.critical, result.is_cue) == (None, False)


@pytest.mark.parametrize("check", [None, {"odd": (1, 2), "picked": ()}])
def test_a_check_that_nobody_made_is_none(make_story, check):
    assert measure_looks(make_story(look_check=check).sealed.plan) is None


def test_looks_are_a_rival_cause_like_a_property_that_did_not_match(tell_whole):
    finding = tell_whole(11, look_check=look(5)).conclude()
    assert finding.verdict == "told_apart_not_matched"
    assert finding.may_say[0] == "Told apart; looks are a rival cause."


def test_looks_lead_to_cups_that_look_alike(tell_whole):
    finding = tell_whole(11, look_check=look(6)).conclude()
    assert finding.next_steps[0].startswith("Make the cups look alike")


def test_looks_that_gave_nothing_away_are_a_sentence_only(tell_whole):
    finding = tell_whole(11, look_check=look(3, cue="foam on one")).conclude()
    assert finding.verdict == "told_apart"
    assert (
        "By looking alone 3 of 6 odd cups were found before sealing. "
        "What the looker named: “foam on one”."
    ) in finding.limits


def test_a_cue_says_that_looks_may_have_given_cups_away(tell_whole):
    assert (
        "By looking alone 5 of 6 odd cups were found before sealing: "
        "looks may have given cups away."
    ) in tell_whole(8, look_check=look(5)).conclude().limits


def test_without_a_check_the_finding_says_so(tell_whole):
    said = "Nobody tried whether an odd cup can be found by looking."
    assert said in tell_whole(11).conclude().limits
