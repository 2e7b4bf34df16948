import pytest
from pydantic import ValidationError

from server.sheets.scales.base import Analysis
from server.sheets.scales.hedonic import NINE, Hedonic


def test_the_words_are_in_balance() -> None:
    """Peryam & Pilgrim 1957, from memory: four words a side that mirror each other."""
    mirrored = [word.replace("dislike", "like") for word in NINE[:4]]
    assert mirrored == list(reversed(NINE[5:]))


def test_numbers_count_from_one_liked_least() -> None:
    assert [Hedonic().describe(number) for number in (1, 5, 9)] == [
        "dislike extremely",
        "neither like nor dislike",
        "like extremely",
    ]


def test_liking_is_marked_as_what_drinkers_must_say() -> None:
    assert Hedonic().analysis == Analysis.LIKING
    assert "drinkers" in Hedonic.ADVICE


@pytest.mark.parametrize("number", [5, 8, 10])
def test_any_other_number_of_words_is_refused(number: int) -> None:
    with pytest.raises(ValidationError):
        Hedonic(words=tuple(f"word {n}" for n in range(number)))
