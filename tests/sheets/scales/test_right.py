import pytest
from pydantic import ValidationError

from server.sheets.scales.base import Analysis
from server.sheets.scales.right import Right
from server.stats.jar import analyse_jar

WORDS = ("much too thin", "too thin", "just about right", "too heavy", "much too heavy")


def test_the_middle_is_zero() -> None:
    assert Right(words=WORDS).choices[2] == (0, "just about right")


def test_sides_are_no_numbers_for_means() -> None:
    scale = Right(words=WORDS)
    assert (scale.analysis, scale.to_number(1)) == (Analysis.SIDES, None)


def test_values_are_what_the_analysis_of_sides_takes() -> None:
    found = analyse_jar([-2, 0, 0, 1], [3, 8, 7, 6], points=len(WORDS), right=0)
    assert found.counts == (1, 0, 2, 1, 0)


@pytest.mark.parametrize("number", [1, 2, 4, 9])
def test_there_must_be_a_middle_and_two_sides(number: int) -> None:
    with pytest.raises(ValidationError):
        Right(words=tuple(f"word {n}" for n in range(number)))
