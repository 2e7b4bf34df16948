import pytest

from server.sheets.text import check_different, join_line, tidy_lines


@pytest.mark.parametrize(
    ("text", "line"),
    [(" wet\n hay ", "wet hay"), ("a\u2028b", "a b"), ("a\x00b", "ab"), ("\ud800", ""), ("", "")],
)
def test_a_line_has_single_spaces_and_nothing_unprintable(text: str, line: str) -> None:
    assert join_line(text) == line


def test_lines_stay_lines() -> None:
    assert tidy_lines("one\r\ntwo\rthree\n") == "one\ntwo\nthree"


def test_words_that_differ_in_case_alone_are_the_same() -> None:
    with pytest.raises(ValueError, match='"SWEET" is there twice'):
        check_different(["sweet", "bitter", "SWEET"])
