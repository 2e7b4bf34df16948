"""A finding by the brews behind it."""

import pytest

from server.blinding.plans import Direction
from server.reports.exports import report_tasting
from server.reports.findings import conclude
from server.reports.tables import list_tables

PAIRS = {
    "assessors": 12,
    "rounds": 3,
    "pots": "single",
    "pot_ml": 2000,
    "method": "2-afc",
    "direction": Direction(attribute="bitter", more="B"),
}


@pytest.fixture
def play(make_story):
    """Play pairs: so many right answers in each of the three rounds."""

    def play_rounds(*right):
        story = make_story(**PAIRS).brew()
        for number, count in enumerate(right, 1):
            mine = [one for one in story.main if one.round == number]
            for place, serving in enumerate(mine):
                story.answer(serving, place < count)
        return story.close(pourer="absent").unseal()

    return play_rounds


def find_table(story, name):
    return next((one for one in list_tables(story.analyse()) if one.name == name), None)


def test_one_odd_round_makes_a_finding_about_brews_not_samples(play):
    finding = play(12, 7, 6).conclude()
    assert finding.verdict == "told_apart_one_brew"
    assert "rests on brews" in finding.headline
    assert any("short of the planned level" in one for one in finding.limits)
    assert any("other brews of them do not bear it out" in one for one in finding.may_not_say)


def test_where_every_round_does_its_part_nothing_is_said_of_a_brew(play):
    finding = play(9, 9, 9).conclude()
    assert finding.verdict == "told_apart"
    assert not any("rests on" in one for one in (*finding.limits, finding.headline))


def test_a_miss_is_carried_by_no_brew(play):
    assert "one_brew" not in play(10, 4, 4).conclude().verdict


def test_one_pot_a_sample_is_called_just_that(make_story):
    story = make_story(**PAIRS | {"rounds": 1}).brew().taste(11)
    analysis = story.close(pourer="absent").unseal().analyse()
    said = [one for one in conclude(analysis).limits if "one pot of" in one]
    first, second = (one.label for one in analysis.brews)
    assert f"one pot of “{first}” and one pot of “{second}”, no more" in said[0]
    assert analysis.by_brew.carrying == ()
    assert analysis.by_brew.notes == (
        "one brew of each sample: nothing tells a brew from its sample",
    )


def test_picks_are_counted_brew_by_brew(play):
    story = play(12, 7, 6)
    table = find_table(story, "picks")
    assert table is not None
    served = {slot.name for slot in story.sealed.slots}
    assert {row[0] for row in table.rows} == served
    assert sum(int(row[3].split()[0]) for row in table.rows if row[1] == table.rows[0][1]) == 25


def test_what_a_brew_never_was_is_left_open_in_its_row(play):
    rows = {row[0]: row for row in find_table(play(12, 7, 6), "picks").rows}
    assert rows["A1"][1:6] == ("A", "1", "12 of 12", "–", "0 of 12")
    assert rows["B1"][1:6] == ("B", "1", "12 of 12", "12 of 12", "–")
    assert rows["B1"][6] == "13 of 24"


def test_the_json_of_a_finding_names_the_verdict(play):
    report = report_tasting(play(12, 7, 6).analyse())
    assert report["finding"]["verdict"] == "told_apart_one_brew"
    assert report["analysis"]["by_brew"]["carrying"] == ["A1", "B1"]


def test_answers_that_are_right_for_nobody_have_no_picks(make_story):
    liking = {"method": "paired-preference", "size_d_prime": None, "size_share": "0.5"}
    story = make_story(**liking).brew().taste(9)
    analysis = story.close(pourer="absent").unseal().analyse()
    assert analysis.by_brew is None
    assert find_table(story, "picks") is None
