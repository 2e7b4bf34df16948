import pytest

from server.sheets.scales.base import InvalidValue
from server.sheets.scales.line import Line

LINE = Line(low="none", high="strong")


@pytest.mark.parametrize(("text", "value"), [("0", 0), ("1000", 1000), (" 625 ", 625)])
def test_a_mark_is_kept_in_thousandths_of_the_length(text: str, value: int) -> None:
    assert LINE.parse({"": text}, ()) == value


def test_an_untouched_line_has_no_value_rather_than_zero() -> None:
    assert LINE.parse({"": "", "mm": ""}, ()) is None


@pytest.mark.parametrize("text", ["-1", "1001", "1.5", "middle", "٣", "1e2"])
def test_a_mark_beside_the_line_is_refused(text: str) -> None:
    with pytest.raises(InvalidValue, match="not on the line"):
        LINE.parse({"": text}, ())


@pytest.mark.parametrize(
    ("text", "value"),
    [("0", 0), ("150", 1000), ("75", 500), ("1", 7), ("74.5", 497), ("74,5", 497), ("150.0", 1000)],
)
def test_a_printed_line_is_read_in_millimetres(text: str, value: int) -> None:
    assert LINE.parse({"mm": text}, ()) == value


@pytest.mark.parametrize("text", ["151", "150.1", "-1", "74.55", "half", "٣", "1e2"])
def test_a_measure_beyond_the_printed_line_is_refused_beside_it(text: str) -> None:
    with pytest.raises(InvalidValue, match="from 0 to 150") as refusal:
        LINE.parse({"mm": text}, ())
    assert refusal.value.field == "mm"


def test_millimetres_typed_beside_a_mark_replace_it() -> None:
    assert LINE.parse({"": "620", "mm": "75"}, ()) == 500


def test_what_a_ruler_read_is_shown_again_as_it_was_typed() -> None:
    typed = [f"{halves / 2:g}" for halves in range(301)]
    assert [LINE.fill_paper(LINE.parse({"mm": one}, ()))["mm"] for one in typed] == typed


def test_every_mark_of_a_device_is_found_again_by_its_measure() -> None:
    assert [LINE.parse(LINE.fill_paper(one), ()) for one in range(1001)] == list(range(1001))


def test_the_analysis_has_hundredths_of_the_length() -> None:
    assert LINE.to_number(1000) == 100.0


def test_a_line_with_two_sides_shows_its_middle_on_paper() -> None:
    line = LINE.model_copy(update={"middle": "as the reference"})
    assert line.paper.words == ("none", "as the reference", "strong")
