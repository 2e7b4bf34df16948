from decimal import Decimal
from itertools import combinations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from server.brewing.match import MatchTable, PropertyMatch, SlotReadings, Verdict, match_brews
from server.brewing.quick_readings import parse_fill, parse_tds, parse_temperature
from server.tastings.planning import PlanInput

LIMIT, WARMTH = Decimal("0.05"), Decimal(2)
READING = st.decimals(0, 30, places=2)


def match(*brews: tuple[str, int, str, str]) -> MatchTable:
    """Match brews given as slot, round, strength readings, temperature."""
    read = [
        SlotReadings(slot, slot[0], round_, parse_tds(tds), parse_temperature(celsius))
        for slot, round_, tds, celsius in brews
    ]
    return match_brews(read, LIMIT, WARMTH)


# The limits 0.05 and 0.10 %TDS and 2 °C: common practice, no source.
@pytest.mark.parametrize(
    ("strength", "verdict"),
    [
        ("1.30", Verdict.MATCHED),
        ("1.35", Verdict.MATCHED),
        ("1.25", Verdict.MATCHED),
        ("1.351", Verdict.BORDERLINE),
        ("1.40", Verdict.BORDERLINE),
        ("1.401", Verdict.NOT_MATCHED),
        ("1.19", Verdict.NOT_MATCHED),
    ],
)
def test_strength_is_matched_up_to_the_limit_and_borderline_up_to_twice_it(
    strength: str, verdict: Verdict
) -> None:
    assert match(("A1", 1, "1.30", ""), ("B1", 1, strength, "")).tds.verdict == verdict


@pytest.mark.parametrize(
    ("celsius", "verdict"),
    [
        ("60", Verdict.MATCHED),
        ("60,1", Verdict.BORDERLINE),
        ("62", Verdict.BORDERLINE),
        ("53.9", Verdict.NOT_MATCHED),
    ],
)
def test_temperature_has_limits_of_its_own(celsius: str, verdict: Verdict) -> None:
    table = match(("A1", 1, "", "58"), ("B1", 1, "", celsius))
    assert table.temperature.verdict == verdict


def match_fills(first: str, second: str, limit: str = "2") -> PropertyMatch:
    fills = {"A": parse_fill(first), "B": parse_fill(second)}
    brews = [SlotReadings(f"{one}1", one, 1, fill_g=fill) for one, fill in fills.items()]
    return match_brews(brews, LIMIT, WARMTH, Decimal(limit)).fill


# The limit of 2 g a cup: common practice, no source.
@pytest.mark.parametrize(
    ("grams", "verdict"),
    [
        ("32", Verdict.MATCHED),
        ("32,1", Verdict.BORDERLINE),
        ("26", Verdict.BORDERLINE),
        ("34.1", Verdict.NOT_MATCHED),
        ("", Verdict.NOT_MEASURED),
    ],
)
def test_fill_has_limits_of_its_own(grams: str, verdict: Verdict) -> None:
    assert match_fills("30", grams).verdict == verdict


def test_the_limit_of_fill_is_the_planned_one() -> None:
    assert match_fills("30", "31", "0.5").verdict == Verdict.BORDERLINE


def test_a_row_shows_the_fill_of_the_check_cup() -> None:
    brews = [SlotReadings("A1", "A", 1, fill_g=Decimal("30.5"))]
    assert match_brews(brews, LIMIT, WARMTH).rows[0].fill_g == Decimal("30.5")


# Thirds have no exact decimal: means 4.00/3 and 4.15/3 lie exactly 0.05 apart (by hand).
def test_a_difference_of_exactly_the_limit_is_matched_even_between_thirds() -> None:
    table = match(
        ("A1", 1, "1.33", ""), ("A2", 1, "1.33", ""), ("A3", 1, "1.34", ""),
        ("B1", 1, "1.38", ""), ("B2", 1, "1.38", ""), ("B3", 1, "1.39", ""),
    )  # fmt: skip
    assert table.tds.verdict == Verdict.MATCHED


def test_the_difference_is_second_sample_minus_first() -> None:
    table = match(("A1", 1, "1.30", "58"), ("B1", 1, "1.34", "57"))
    assert (table.tds.overall, table.temperature.overall) == (Decimal("0.04"), Decimal(-1))


def test_a_row_shows_median_and_spread_of_the_readings() -> None:
    row = match(("A1", 1, "1.30 1.36 1.31", "58")).rows[0]
    assert (row.tds, row.spread, row.temperature_c) == (
        Decimal("1.31"),
        Decimal("0.06"),
        Decimal(58),
    )


def test_a_bad_round_is_not_hidden_by_a_good_mean() -> None:
    table = match(
        ("A1", 1, "1.30", ""), ("B1", 1, "1.50", ""), ("A2", 2, "1.50", ""), ("B2", 2, "1.30", "")
    )
    assert (table.tds.overall, table.tds.worst, table.tds.verdict) == (
        Decimal(0),
        Decimal("0.2"),
        Verdict.NOT_MATCHED,
    )


def test_differences_are_shown_for_each_round() -> None:
    table = match(
        ("A1", 1, "1.30", ""), ("B1", 1, "1.31", ""), ("A2", 2, "1.30", ""), ("B2", 2, "1.28", "")
    )
    assert table.tds.rounds == {1: Decimal("0.01"), 2: Decimal("-0.02")}


def test_one_missing_reading_makes_a_match_incomplete() -> None:
    table = match(("A1", 1, "1.30", ""), ("A2", 1, "", ""), ("B1", 1, "1.30", ""))
    assert (table.tds.verdict, table.tds.missing) == (Verdict.NOT_MEASURED, ("A2",))


def test_a_missing_reading_does_not_hide_a_difference_that_was_read() -> None:
    table = match(("A1", 1, "1.30", ""), ("A2", 1, "", ""), ("B1", 1, "1.60", ""))
    assert (table.tds.verdict, bool(table.tds.missing)) == (Verdict.NOT_MATCHED, True)


def test_nothing_read_is_not_measured() -> None:
    table = match(("A1", 1, "", ""), ("B1", 1, "", ""))
    assert (table.tds.verdict, table.tds.worst, table.tds.rounds) == (
        Verdict.NOT_MEASURED,
        None,
        {1: None},
    )


def test_one_sample_alone_is_not_measured() -> None:
    assert match(("A1", 1, "1.30", "")).tds.verdict == Verdict.NOT_MEASURED


def test_no_brews_are_not_measured() -> None:
    assert match_brews([], LIMIT, WARMTH).temperature.verdict == Verdict.NOT_MEASURED


def test_rows_stand_by_round_sample_and_number() -> None:
    table = match(("B10", 2, "", ""), ("A9", 2, "", ""), ("B9", 2, "", ""), ("A1", 1, "", ""))
    assert [row.slot for row in table.rows] == ["A1", "A9", "B9", "B10"]


@settings(deadline=None)
@given(st.lists(READING, min_size=1, max_size=4), st.lists(READING, min_size=1, max_size=4))
def test_swapping_the_samples_changes_only_the_sign(a: list[Decimal], b: list[Decimal]) -> None:
    brews = [SlotReadings(f"A{n}", "A", 1, (x,)) for n, x in enumerate(a, 1)]
    brews += [SlotReadings(f"B{n}", "B", 1, (x,)) for n, x in enumerate(b, 1)]
    forth = match_brews(brews, LIMIT, WARMTH, samples=("A", "B")).tds
    back = match_brews(brews, LIMIT, WARMTH, samples=("B", "A")).tds
    assert (forth.verdict, forth.worst, forth.overall) == (
        back.verdict,
        back.worst,
        -(back.overall or Decimal(0)),
    )


# ---- more than two samples -------------------------------------------------------------------


def match_many(**tds: str) -> PropertyMatch:
    """Match the strength of one brew or more of each sample, all in one round."""
    brews = [
        SlotReadings(f"{level}{n}", level, 1, (reading,))
        for level, typed in tds.items()
        for n, reading in enumerate(parse_tds(typed), 1)
    ]
    return match_brews(brews, LIMIT, WARMTH, samples=tuple("ABCD"[: len(tds)])).tds


def test_of_many_samples_the_two_farthest_apart_are_compared_with_the_limit() -> None:
    found = match_many(A="1.30", B="1.24", C="1.33", D="1.36")
    assert (found.pair, found.worst, found.overall) == (
        ("B", "D"),
        Decimal("0.12"),
        Decimal("0.12"),
    )
    assert found.verdict == Verdict.NOT_MATCHED


def test_neighbours_within_the_limit_are_not_enough() -> None:
    """0.04 from each to the next, 0.08 from end to end."""
    assert match_many(A="1.30", B="1.34", C="1.38").verdict == Verdict.BORDERLINE


def test_the_difference_of_a_pair_is_the_later_sample_minus_the_earlier() -> None:
    assert match_many(A="1.36", B="1.30", C="1.33").overall == Decimal("-0.06")


def test_of_pairs_equally_far_apart_the_first_is_named() -> None:
    assert match_many(A="1.30", B="1.40", C="1.30").pair == ("A", "B")


def test_a_sample_nobody_read_leaves_the_others_unmatched() -> None:
    found = match_many(A="1.30", B="1.31", C="")
    assert (found.verdict, found.worst) == (Verdict.NOT_MEASURED, Decimal("0.01"))


def test_a_pair_too_far_apart_is_told_although_a_third_sample_was_not_read() -> None:
    found = match_many(A="1.30", B="1.45", C="")
    assert (found.verdict, found.pair) == (Verdict.NOT_MATCHED, ("A", "B"))


def test_a_round_names_its_own_pair() -> None:
    """C lies apart in round 2 alone, and the other way round than over both rounds."""
    readings = {("A", 1): "1.30", ("B", 1): "1.30", ("C", 1): "1.30"}
    readings |= {("A", 2): "1.30", ("B", 2): "1.31", ("C", 2): "1.20"}
    brews = [
        SlotReadings(f"{level}{round_}", level, round_, parse_tds(tds))
        for (level, round_), tds in readings.items()
    ]
    found = match_brews(brews, LIMIT, WARMTH, samples="ABC").tds
    assert found.rounds == {1: Decimal(0), 2: Decimal("-0.11")}
    assert (found.pair, found.overall) == (("B", "C"), Decimal("-0.055"))


@settings(deadline=None)
@given(st.lists(st.lists(READING, min_size=1, max_size=3), min_size=2, max_size=4))
def test_many_samples_lie_as_far_apart_as_the_worst_of_their_pairs(
    given_: list[list[Decimal]],
) -> None:
    """The reference is the comparison of two samples at a time."""
    brews = {
        level: [SlotReadings(f"{level}{n}", level, n, (x,)) for n, x in enumerate(read)]
        for level, read in zip("ABCD", given_, strict=False)
    }
    pairs = [
        match_brews([*brews[one], *brews[other]], LIMIT, WARMTH, samples=(one, other)).tds.worst
        for one, other in combinations(brews, 2)
    ]
    every = [brew for mine in brews.values() for brew in mine]
    found = match_brews(every, LIMIT, WARMTH, samples=tuple(brews)).tds
    assert found.worst == max(one for one in pairs if one is not None)


def test_a_single_sample_cannot_match_anything() -> None:
    with pytest.raises(ValueError, match="samples must be two or more, got A"):
        match_brews([], LIMIT, WARMTH, samples=("A",))


def test_a_brew_of_a_third_sample_is_refused() -> None:
    with pytest.raises(ValueError, match="brews must be of A or B, got C"):
        match(("C1", 1, "", ""))


def test_a_slot_named_twice_is_refused() -> None:
    with pytest.raises(ValueError, match="got A1 twice"):
        match(("A1", 1, "", ""), ("A1", 1, "", ""))


def test_a_negative_limit_is_refused() -> None:
    with pytest.raises(ValueError, match="tds_limit must not be negative, got -1"):
        match_brews([], Decimal(-1), WARMTH)


# Thickness: a Weber fraction of 0.26, said to be comparable to bitterness (published, seen on a
# secondary page). Computed: of 1.3 %TDS it is 0.34 %TDS, of the order of the one published
# strength difference that consumers notice, 0.24; the limit of a match lies far below both.
def test_the_usual_limit_of_strength_lies_far_below_what_is_noticed() -> None:
    noticed = (Decimal("0.26") * Decimal("1.3"), Decimal("0.24"))
    assert noticed[0].quantize(Decimal("0.01")) == Decimal("0.34")
    assert all(4 * PlanInput.model_fields["tds_limit"].default < one for one in noticed)
