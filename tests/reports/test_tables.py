import pytest

from server.blinding.events import Kind
from server.reports.tables import list_tables


def find_table(story, name):
    return next(table for table in list_tables(story.analyse()) if table.name == name)


def test_every_row_is_as_long_as_its_head(tell_whole):
    tables = list_tables(tell_whole(11).analyse())
    assert {len(row) - len(table.head) for table in tables for row in table.rows} == {0}


def test_the_match_table_has_a_row_for_every_brew_served(tell_whole):
    rows = find_table(tell_whole(11), "match").rows
    assert rows[0] == ("1", "A1", "fresh cartridge", "1.30", "0.00", "58", "not read")
    assert len(rows) == 12


def test_the_match_table_takes_the_median_and_shows_the_spread(make_story):
    story = make_story().brew({"A": ["1.30", "1.34", "1.31"], "B": ["1.30"]}).taste(11).close()
    assert find_table(story.unseal(), "match").rows[0][3:5] == ("1.31", "0.04")


def test_a_brew_without_readings_is_shown_as_not_read(make_story):
    story = make_story().taste(11).close().unseal()
    assert find_table(story, "match").rows[0][3:] == ("not read",) * 4


def test_positions_are_left_middle_and_right(tell_whole):
    rows = find_table(tell_whole(18), "positions").rows
    assert rows == (("left", "6", "6"), ("middle", "6", "6"), ("right", "6", "6"))


def test_rounds_show_counts_over_all_seats(make_story):
    story = make_story().taste(8, 12).close("one round left").unseal()
    assert find_table(story, "rounds").rows == (
        ("1", "6", "6", "6"),
        ("2", "6", "6", "2"),
        ("3", "6", "0", "0"),
    )


@pytest.mark.parametrize(("pots", "each"), [("blend", 2), ("separate", 1)])
def test_brews_are_counted_by_sample(make_story, pots, each):
    story = make_story(pots=pots).brew().taste(11).close().unseal()
    brews = story.analyse().brews[0]
    assert brews.brews_served == each * brews.slots_served
    assert brews.recorded == brews.with_strength == brews.slots_served


def test_an_abandoned_tasting_shows_only_its_brews(make_story):
    analysis = make_story().taste(9, 12).tell(Kind.ABANDONED, reason="no water").analyse()
    assert [table.name for table in list_tables(analysis)] == ["match", "brews"]


def test_without_answers_only_planned_numbers_are_tabulated(make_story):
    analysis = make_story().close("nobody").unseal().analyse()
    assert [table.name for table in list_tables(analysis)] == ["brews", "rounds"]
