import pytest

from server.reports.table_figures.flags import Flag, build_flags, describe, tabulate
from server.reports.table_figures.flags_drawing import draw
from server.reports.table_figures.shown import Names
from server.reports.table_figures.themes import THEMES
from server.stats.defects import analyse_defects
from tests.reports.table_figures.reading import list_marks, list_words

LIGHT = THEMES["light"]
SAID = [
    Flag("ann", "X", "1", "musty", 1),
    Flag("bo", "X", "1", "musty", 3),
    Flag("bo", "X", "2", "papery"),
    Flag("ann", "X", "2"),
    Flag("ann", "X", "10"),
    Flag("ann", "Y", "1"),
    Flag("ann", "Y", "2"),
]


@pytest.fixture
def flags():
    return build_flags("off", SAID, 3)


def test_a_cup_counts_once_whoever_flagged_it(flags):
    assert [(one.flagged, len(one.cups)) for one in flags.samples] == [(2, 3), (0, 2)]


def test_the_counts_are_those_the_test_of_defects_takes(flags):
    names = [one.sample for one in flags.samples]
    found = analyse_defects(
        names, [x.flagged for x in flags.samples], [len(x.cups) for x in flags.samples]
    )
    assert [one.share for one in found.samples] == pytest.approx([2 / 3, 0])


def test_cups_stand_in_the_order_of_their_numbers(flags):
    assert flags.cups == ("1", "2", "10")


def test_the_table_holds_who_flagged_what_and_how_strongly(flags):
    assert tabulate(flags).rows == (
        ("X", "2 of 3", "musty", "1", "2", "3", "ann, bo"),
        ("X", "2 of 3", "papery", "2", "1", "–", "bo"),
        ("Y", "0 of 2", "nothing flagged", "–", "–", "–", "–"),
    )


def test_the_words_say_where_and_what_most(flags):
    assert describe(flags) == "Flagged cups: 2 of 3 of X. Named most: musty, in 1 cup."


def test_no_flag_at_all_is_said_as_that():
    data = build_flags("off", [Flag("ann", "X", "1")], 3)
    assert describe(data) == "No cup of 1 sample was flagged."
    assert "nothing flagged" in [one.words for one in list_words(draw(data, "light"))]


def test_every_flag_is_a_circle_and_every_other_cup_a_dot(flags):
    svg = draw(flags, "light")
    assert len(list_marks(svg, LIGHT.alarm)) == 1
    assert len(list_marks(svg, LIGHT.alarm, filled=False)) == 1  # its intensity was not said
    assert len(list_marks(svg, LIGHT.soft)) == 2 + 2 + 2


def test_how_many_found_it_stands_beside_the_circle(flags):
    assert [one.words for one in list_words(draw(flags, "print"))].count("2") == 2  # and cup 2


def test_a_cup_nobody_tasted_stays_empty():
    data = build_flags("off", [Flag("ann", "X", "1"), Flag("ann", "Y", "2")], 3)
    assert len(list_marks(draw(data, "light"), LIGHT.soft)) == 2


def test_long_names_of_cups_are_turned_upright():
    said = [Flag(f"somebody {n}", "X", f"somebody {n}") for n in range(12)]
    assert draw(build_flags("off", said, 3), "light").count(b"rotate(-90)") == 12


def test_names_replace_what_the_sheet_calls_things():
    names = Names({"off": "Off-taste"}, {"X": "Batch 9"}, {"bo": "Bo"})
    data = build_flags("off", SAID, 3, names)
    assert (data.attribute, tabulate(data).rows[1][0], tabulate(data).rows[1][6]) == (
        "Off-taste", "Batch 9", "Bo",
    )  # fmt: skip


@pytest.mark.parametrize(
    ("said", "highest", "message"),
    [([], 3, "said must hold one cup"), (SAID, 0, "highest must be above 0, not 0")],
)
def test_bad_arguments_are_refused(said, highest, message):
    with pytest.raises(ValueError, match=message):
        build_flags("off", said, highest)
