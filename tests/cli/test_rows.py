from pathlib import Path

import click
import pytest

from server.cli.rows import Row, Table, read_table


def read(tmp_path: Path, text: str | bytes, *choices: tuple[str, ...]) -> Table:
    file = tmp_path / "rows.csv"
    file.write_bytes(text.encode() if isinstance(text, str) else text)
    return read_table(file, *(choices or (("who", "correct"),)))


def take(row: Row) -> tuple[str, int]:
    return row.text("who"), row.whole("correct")


def refusal(tmp_path: Path, text: str | bytes) -> str:
    with pytest.raises(click.UsageError) as refused:
        read(tmp_path, text).read(take)
    return refused.value.message


@pytest.mark.parametrize(
    "text",
    [
        "who,correct\nann,3\nbo,4\n",
        "WHO;Correct\r\nann;3\r\nbo;4",
        "\ufeffwho\tcorrect\n\nann\t3\n,\n bo \t4\n".replace(",\n", "\t\n"),
        '"who","correct"\n"ann","3"\n"bo","4"\n',
    ],
    ids=["comma", "semicolon", "tab, byte order mark, blank lines", "quotes"],
)
def test_tables_come_from_many_programs(tmp_path, text):
    assert read(tmp_path, text).read(take) == [("ann", 3), ("bo", 4)]


def test_every_bad_row_is_named_by_its_line(tmp_path):
    told = refusal(tmp_path, "who,correct\nann,3\nbo,four\ncy,-1\n,2\n")
    assert told == (
        "line 3: correct must be a whole number, 0 or more, not 'four'; "
        "line 4: correct must be a whole number, 0 or more, not '-1'; line 5: who is empty"
    )


def test_a_long_list_of_bad_rows_is_cut(tmp_path):
    assert refusal(tmp_path, "who,correct\n" + "ann,x\n" * 9).endswith("; and 4 more such lines")


def test_a_line_break_in_quotes_does_not_shift_the_line_numbers(tmp_path):
    assert refusal(tmp_path, 'who,correct\n"an\nn",3\nbo,x\n').startswith("line 4:")


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("", "has no rows"),
        ("who,correct\n", "has no rows"),
        ("who,right\nann,3\n", "line 1: needs the columns who, correct; found who, right"),
        ("who,who,correct\na,b,3\n", "line 1: column 'who' stands there twice"),
        ("who,correct\nann,3,4\nbo\n", "line 2: 3 cells, but the header has 2; line 3: 1 cells"),
        ('who,correct\n"ann,3\n', "line 2: unexpected end of data"),
        (b"who,correct\n\xff,3\n", "is not UTF-8 text"),
    ],
    ids=["empty", "header", "columns", "twice", "ragged", "quote", "bytes"],
)
def test_a_file_that_is_no_table_is_refused(tmp_path, text, told):
    assert told in refusal(tmp_path, text)


def test_a_decimal_comma_is_a_number_between_semicolons_only(tmp_path):
    (row,) = read(tmp_path, "who;correct\nann;0,5\n").rows
    assert row.number("correct") == 0.5


@pytest.mark.parametrize("typed", ["x", "nan", "inf", "1_0", "0,5"])
def test_what_is_no_number_is_refused(typed):
    with pytest.raises(ValueError, match=f"correct must be a number, not '{typed}'"):
        Row(2, {"correct": typed}).number("correct")


@pytest.mark.parametrize("typed", ["yes", "2", "٣", ""])
def test_what_is_neither_1_nor_0_is_refused(typed):
    with pytest.raises(ValueError, match="correct"):
        Row(2, {"correct": typed}).yes_no("correct")


def test_words_are_taken_in_any_case():
    assert Row(2, {"pair": "Same"}).one_of("pair", ("same", "different")) == "same"
