import pytest
from pydantic import ValidationError

from server.sheets.scales.base import Analysis, InvalidValue
from server.sheets.scales.category import Category

WORDS = ("none", "weak", "clear", "strong")


def test_words_are_an_order_unless_their_steps_are_declared_equal() -> None:
    assert Category(words=WORDS).analysis == Analysis.ORDERED
    assert Category(words=WORDS, equal_steps=True).analysis == Analysis.NUMBERS


def test_the_number_of_a_word_counts_from_zero() -> None:
    assert Category(words=WORDS, equal_steps=True).to_number(3) == 3.0


def test_words_without_equal_steps_give_no_number() -> None:
    assert Category(words=WORDS).to_number(3) is None


@pytest.mark.parametrize("text", ["4", "-1", "clear"])
def test_what_is_no_number_of_a_word_is_refused(text: str) -> None:
    with pytest.raises(InvalidValue, match="Choose one of the words"):
        Category(words=WORDS).parse({"": text}, ())


@pytest.mark.parametrize(
    "words",
    [("one",), tuple(f"word {n}" for n in range(16)), ("weak", "Weak"), ("weak", "")],
    ids=["one", "sixteen", "one twice", "an empty one"],
)
def test_words_that_cannot_be_chosen_from_are_refused(words: tuple[str, ...]) -> None:
    with pytest.raises(ValidationError):
        Category(words=words)
