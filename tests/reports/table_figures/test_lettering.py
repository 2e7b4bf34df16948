import pytest
from hypothesis import given
from hypothesis import strategies as st

from server.reports.table_figures.lettering import ELLIPSIS, clean, measure, wrap


@given(st.text(max_size=60), st.floats(20, 200))
def test_no_line_is_wider_than_it_may_be(words, width):
    assert all(measure(line) <= width for line in wrap(words, width))


@given(st.text(st.sampled_from("abc de"), max_size=40))
def test_nothing_is_lost_where_there_is_room(words):
    assert "".join(wrap(words, 60, most=99)).replace(" ", "") == words.replace(" ", "")


def test_what_is_cut_says_so():
    assert wrap("a word " * 30, 60)[-1].endswith(ELLIPSIS)


def test_bold_words_take_more_room():
    assert measure("sweetness", bold=True) > measure("sweetness")


@pytest.mark.parametrize("words", ["\x00", "\ud800", "a\u202eb", "\x1b[31m"])
def test_what_no_picture_can_hold_is_left_out(words):
    assert clean(words).isprintable()
