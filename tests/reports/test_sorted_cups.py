"""Findings of cups that are sorted or ticked: their words, their numbers, their p.

Critical numbers: two out of five with 1/10 and a tetrad with 1/3 by chance, as exact binomial
sums (the printed tables are in tests/reference; a tetrad's is that of ISO 4120 for triangles).
"""

import pytest

from server.reports.numbers import list_numbers
from server.reports.tables import list_tables

SIX = {"assessors": 6, "rounds": 3}
FIVE = SIX | {"method": "two-out-of-five", "size_d_prime": None, "size_share": "0.5"}
TETRAD = SIX | {"method": "tetrad"}


def said(finding):
    lists = (finding.may_say, finding.limits, finding.next_steps)
    return " ".join((finding.headline, *(line for lines in lists for line in lines)))


def numbers(story):
    return {line.name: line.value for line in list_numbers(story.analyse())}


@pytest.mark.parametrize(
    ("plan", "critical", "words"),
    [
        (TETRAD, 10, "the cups were sorted into the right pairs in 10 of 18 servings"),
        (FIVE, 5, "the pair among five cups was found in 5 of 18 servings"),
    ],
)
def test_from_the_critical_number_on_the_samples_are_told_apart(tell_whole, plan, critical, words):
    assert tell_whole(critical - 1, **plan).conclude().verdict.startswith("inconclusive")
    finding = tell_whole(critical, spread=True, **plan).conclude()
    assert finding.verdict == "told_apart"
    assert words in said(finding)


@pytest.mark.parametrize("plan", [TETRAD, FIVE])
def test_nothing_is_said_of_triads_or_of_picked_cups(tell_whole, plan):
    for right in (0, 2, 18):
        text = said(tell_whole(right, **plan).conclude())
        assert "triad" not in text
        assert "picked" not in text


def test_a_tetrad_has_its_d_prime(tell_whole):
    # Tetrad: pc .6 at d′ 1.3626 (tests/reference/distance_by_method.csv, by quadrature).
    plan = {"method": "tetrad", "assessors": 5, "rounds": 3}
    assert tell_whole(9, **plan).analyse().counts.d_prime == pytest.approx(1.3626, abs=5e-5)


def test_without_a_rule_of_grouping_there_is_no_d_prime_but_a_share(tell_whole):
    shown = numbers(tell_whole(9, **FIVE))
    assert shown["d_prime"].startswith("none: it depends on how tasters group five cups")
    assert shown["pd"].startswith("44.4%")  # (9/18 - 1/10) / (9/10), by hand
    assert shown["size"] == "50% noticing"


@pytest.mark.parametrize("plan", [TETRAD, FIVE])
def test_positions_are_not_tabulated_where_no_single_cup_is_picked(tell_whole, plan):
    names = {one.name for one in list_tables(tell_whole(9, **plan).analyse())}
    assert "positions" not in names
    assert "rounds" in names


@pytest.mark.parametrize(("plan", "ways"), [(TETRAD, 3), (FIVE, 10)])
def test_what_was_put_together_is_counted_by_position(tell_whole, plan, ways):
    tally = tell_whole(9, **plan).analyse().sortings
    assert len(tally) == ways
    assert sum(one.chosen for one in tally) == sum(one.right for one in tally) == 18
    assert max(one.right for one in tally) - min(one.right for one in tally) <= 2


def test_who_is_always_right_has_chosen_what_was_right(tell_whole):
    for plan in (TETRAD, FIVE):
        assert all(one.chosen == one.right for one in tell_whole(18, **plan).analyse().sortings)


def test_the_table_says_places_from_the_left(tell_whole):
    tables = {one.name: one for one in list_tables(tell_whole(18, **TETRAD).analyse())}
    assert [row[0] for row in tables["sortings"].rows] == [
        "1 and 2, 3 and 4", "1 and 3, 2 and 4", "1 and 4, 2 and 3",
    ]  # fmt: skip


def test_nothing_is_put_together_where_one_cup_is_picked(tell_whole):
    assert tell_whole(9).analyse().sortings == ()


@pytest.mark.parametrize("plan", [TETRAD, FIVE])
def test_one_pot_of_each_sample_tells_pots_apart_not_samples(tell_whole, plan):
    assert (
        tell_whole(18, pots="single", pot_ml="900", **plan).conclude().verdict == "told_apart_pots"
    )
