import pytest

from server.sheets.scales.base import InvalidValue
from server.sheets.scales.comment import Comment


def test_a_comment_keeps_its_lines() -> None:
    assert Comment().parse({"": " flat,\r\na bit dusty \r\n"}, ()) == "flat,\na bit dusty"


def test_a_comment_of_500_characters_fits() -> None:
    assert len(Comment().parse({"": "x" * 500}, ()) or "") == 500


def test_a_longer_one_is_refused() -> None:
    with pytest.raises(InvalidValue, match="500 characters"):
        Comment().parse({"": "x" * 501}, ())


@pytest.mark.parametrize("value", ["", " flat", "fl\x07at", 5, None])
def test_a_value_that_is_no_tidy_text_is_refused(value: object) -> None:
    with pytest.raises(InvalidValue):
        Comment().check(value, ())
