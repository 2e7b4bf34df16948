import warnings

import pytest

from server.reports.table_figures.canvas import Canvas, draw_on
from tests.reports.table_figures.reading import list_words, read_picture


def write(words: str) -> bytes:
    return draw_on(lambda canvas: canvas.write(10, 10, words), 20, "light")


@pytest.mark.parametrize(
    "words", ["$x$ & <b>", "pH 6.123456", "茶 深煎り", "a − b → c", "☕", "100 % “so”", "{}%s\\n"]
)
def test_words_are_written_as_they_are(words):
    assert [one.words for one in list_words(write(words))] == [words]


def test_letters_the_measuring_font_lacks_raise_no_warning():
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        assert write("焙煎")


def test_the_same_drawing_gives_the_same_bytes():
    assert write("body") == write("body")


def test_a_picture_carries_no_date_and_no_program():
    svg = write("body").decode()
    assert "date" not in svg
    assert "Matplotlib" not in svg


def test_what_is_drawn_later_lies_on_top():
    def plot(canvas: Canvas) -> None:
        canvas.line([0, 100], [10, 10], "#111111")
        canvas.box(20, 5, 20, 10, facecolor="#222222")

    svg = draw_on(plot, 20, "light")
    assert svg.index(b"#111111") < svg.index(b"#222222")


def test_a_point_of_the_sheet_is_a_unit_of_the_picture():
    assert read_picture(write("body")).get("viewBox") == "0 0 320 20"
