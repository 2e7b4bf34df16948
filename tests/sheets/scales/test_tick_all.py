import pytest

from server.sheets.scales.base import InvalidValue
from server.sheets.scales.tick_all import TickAll

SCALE = TickAll(words=("papery", "woody", "earthy"))


def test_ticks_are_kept_as_the_sheet_orders_them() -> None:
    assert SCALE.parse({"asked": "1", "2": "on", "0": "on"}, ()) == ["papery", "earthy"]


def test_to_say_that_none_applies_is_an_answer() -> None:
    assert SCALE.parse({"asked": "1", "none": "on"}, ()) == []


def test_to_tick_nothing_is_none() -> None:
    assert SCALE.parse({"asked": "1"}, ()) is None


def test_a_word_and_none_together_are_refused() -> None:
    with pytest.raises(InvalidValue, match="none: Either tick words"):
        SCALE.parse({"asked": "1", "none": "on", "1": "on"}, ())


@pytest.mark.parametrize(
    "value", [["rubber"], ["woody", "papery"], ["woody", "woody"], "woody", {"woody": True}]
)
def test_words_from_elsewhere_and_in_another_order_are_refused(value: object) -> None:
    with pytest.raises(InvalidValue):
        SCALE.check(value, ())
