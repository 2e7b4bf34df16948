"""Extraction and age between samples, judged where the plan has a limit for them.

The limits of 0.7 points and 2 minutes: common practice, no source.
"""

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from server.brewing.apart import Measured, PropertyMatch, match_property
from server.brewing.match import DAY_CLOCK, MatchTable, SlotReadings, Verdict, match_brews

POINTS, MINUTES = Decimal("0.7"), Decimal(2)
THOUSANDTHS = st.integers(0, 30_000).map(lambda n: Decimal(n) / 1000)


def match(*brews: SlotReadings) -> MatchTable:
    strength, heat = Decimal("0.05"), Decimal(2)
    return match_brews(brews, strength, heat, extraction_limit=POINTS, age_limit=MINUTES)


def match_yields(a: str, b: str, forms: str = "11") -> PropertyMatch:
    brews = [
        SlotReadings(f"{level}1", level, 1, extraction=Decimal(percent), form=form)
        for level, percent, form in zip("AB", (a, b), forms, strict=True)
    ]
    found = match(*brews).extraction
    assert found
    return found


def match_ends(*brews: tuple[str, int, str], clock: str = "server") -> PropertyMatch:
    """Match brews by when they ended: slot, round, minutes."""
    read = [
        SlotReadings(slot, slot[0], round_, ended=Decimal(minutes), clock=clock)
        for slot, round_, minutes in brews
    ]
    found = match(*read).age
    assert found
    return found


@pytest.mark.parametrize(
    ("b", "verdict"),
    [
        ("20.7", Verdict.MATCHED),
        ("19.3", Verdict.MATCHED),
        ("20.701", Verdict.BORDERLINE),
        ("21.4", Verdict.BORDERLINE),
        ("21.401", Verdict.NOT_MATCHED),
        ("18.5", Verdict.NOT_MATCHED),
    ],
)
def test_yields_match_up_to_the_limit_and_nearly_up_to_twice_it(b: str, verdict: Verdict) -> None:
    assert match_yields("20", b).verdict == verdict


def test_yields_by_two_formulas_are_never_compared() -> None:
    found = match_yields("20", "25", "12")
    assert found.verdict == Verdict.NOT_MEASURED
    assert (found.worst, found.rounds, found.mixed) == (None, {1: None}, True)


def test_what_can_be_compared_still_counts_beside_yields_by_another_formula() -> None:
    yields = [("A", 1, "18", "1"), ("B", 1, "22", "1"), ("A", 2, "18", "1"), ("B", 2, "18", "2")]
    found = match_property(
        [Measured(f"{s}{r}", s, r, Decimal(v), form) for s, r, v, form in yields], POINTS, "AB"
    )
    assert (found.verdict, found.worst) == (Verdict.NOT_MATCHED, Decimal(4))


def test_a_brew_without_a_yield_leaves_extraction_unmeasured() -> None:
    brews = [
        SlotReadings("A1", "A", 1, extraction=Decimal(20), form="1"),
        SlotReadings("B1", "B", 1),
    ]
    found = match(*brews).extraction
    assert found
    assert (found.verdict, found.missing) == (Verdict.NOT_MEASURED, ("B1",))


@pytest.mark.parametrize(
    ("b", "verdict"),
    [("102", Verdict.MATCHED), ("96", Verdict.BORDERLINE), ("104.01", Verdict.NOT_MATCHED)],
)
def test_age_is_when_brews_ended(b: str, verdict: Verdict) -> None:
    assert match_ends(("A1", 1, "100"), ("B1", 1, b)).verdict == verdict


def test_age_compares_means_within_a_round_and_never_between_rounds() -> None:
    found = match_ends(
        ("A1", 1, "0"), ("A2", 1, "2"), ("B1", 1, "1"), ("B2", 2, "60"), ("A3", 2, "61")
    )
    assert found.rounds == {1: Decimal(0), 2: Decimal(-1)}
    assert (found.overall, found.verdict) == (None, Verdict.MATCHED)


def test_times_of_day_around_midnight_lie_minutes_apart() -> None:
    assert match_ends(("A1", 1, "1439"), ("B1", 1, "1"), clock=DAY_CLOCK).worst == 2


def test_a_clocked_end_and_a_typed_one_do_not_compare() -> None:
    a = SlotReadings("A1", "A", 1, ended=Decimal(5), clock="server")
    b = SlotReadings("B1", "B", 1, ended=Decimal(5), clock=DAY_CLOCK)
    found = match(a, b).age
    assert found
    assert (found.verdict, found.mixed) == (Verdict.NOT_MEASURED, True)


def test_a_row_says_how_long_a_brew_waited_for_the_last_of_its_round() -> None:
    brews = [
        SlotReadings(slot, slot[0], 1, ended=Decimal(end), clock="server")
        for slot, end in (("A1", "10"), ("B1", "12.5"))
    ]
    assert [row.waited for row in match(*brews).rows] == [Decimal("2.5"), Decimal(0)]


def test_without_a_limit_neither_is_judged() -> None:
    table = match_brews([], Decimal("0.05"), Decimal(2))
    assert (table.extraction, table.age) == (None, None)


def test_a_negative_limit_of_them_is_refused() -> None:
    with pytest.raises(ValueError, match="age_limit must not be negative"):
        match_brews([], Decimal("0.05"), Decimal(2), age_limit=Decimal(-1))


@given(THOUSANDTHS, THOUSANDTHS, st.integers(1, 5000).map(lambda n: Decimal(n) / 1000))
def test_any_two_values_are_judged_by_limit_and_twice_the_limit_exactly(
    a: Decimal, b: Decimal, limit: Decimal
) -> None:
    pair = [Measured("A1", "A", 1, a), Measured("B1", "B", 1, b)]
    apart = abs(Fraction(a) - Fraction(b))
    verdict = match_property(pair, limit, "AB").verdict
    assert (verdict == Verdict.MATCHED) == (apart <= limit)
    assert (verdict == Verdict.NOT_MATCHED) == (apart > 2 * limit)
