from pathlib import Path

import click
import pytest

from server.cli.analyse.ratings_rows import read_scores
from server.sheets.scores import Score

LONG = (
    "assessor,sample,attribute,value\n"
    "ann,fresh,sweet,5\nann,fresh,salty,1.5\nbo,fresh,sweet,6\nbo,fresh,salty,\n"
)
WIDE = "assessor,sample,sweet,salty\nann,fresh,5,1.5\nbo,fresh,6,\n"
SCORES = [
    Score("ann", "fresh", "sweet", 5),
    Score("ann", "fresh", "salty", 1.5),
    Score("bo", "fresh", "sweet", 6),
    Score("bo", "fresh", "salty", None),
]


@pytest.fixture
def read(tmp_path: Path):
    """Read a table."""

    def read(text: str, *bowls: str):
        file = tmp_path / "scores.csv"
        file.write_text(text, encoding="utf-8")
        return read_scores(file, *bowls)

    return read


@pytest.mark.parametrize(
    "text",
    [
        LONG,
        WIDE,
        WIDE.replace(",", ";").replace("1.5", "1,5"),
        WIDE.replace(",", "\t"),
        WIDE.replace("assessor,sample", "Assessor,SAMPLE"),
        LONG.replace("\n", "\r\n"),
    ],
    ids=["long", "wide", "semicolons", "tabs", "upper case", "carriage returns"],
)
def test_all_forms_give_the_same_scores(read, text):
    assert read(text) == SCORES


def test_position_and_sitting_come_along(read):
    [score] = read("assessor,sample,position,sitting,sweet\nann,fresh,2,2031-05-14,5\n")
    assert (score.position, score.sitting) == (2, "2031-05-14")


def test_positions_and_sittings_may_be_empty(read):
    [score] = read("assessor,sample,position,sitting,sweet\nann,fresh,,,5\n")
    assert (score.position, score.sitting) == (None, None)


def test_replicates_and_cups_are_no_attributes(read):
    scores = read("assessor,sample,Replicate,cup,sweet\nann,fresh,1,3,5\nann,fresh,2,4,6\n")
    assert [(one.attribute, one.value) for one in scores] == [("sweet", 5), ("sweet", 6)]


@pytest.mark.parametrize("column", ["pot", "Pot", "cup"])
def test_any_column_may_name_the_shared_bowls(read, column):
    text = f"assessor,sample,{column},sweet\nann,fresh,A,5\nbo,fresh,A,6\n"
    scores = read(text, "Cup" if column == "cup" else "pot")
    assert [(one.bowl, one.attribute) for one in scores] == [("A", "sweet")] * 2


def test_a_bowl_that_is_not_asked_for_is_none(read):
    assert read("assessor,sample,cup,sweet\nann,fresh,A,5\n")[0].bowl is None


def test_one_bowl_may_be_tasted_twice_in_two_replicates(read):
    text = (
        "assessor,sample,replicate,pot,sweet\nann,fresh,1,A,5\nann,fresh,1,B,5\nann,fresh,2,A,6\n"
    )
    assert len(read(text, "pot")) == 3


def test_without_a_column_that_tells_them_apart_scores_may_repeat(read):
    assert len(read("assessor,sample,sweet\nann,fresh,5\nann,fresh,5\n")) == 2


def test_an_attribute_may_be_called_value(read):
    assert read("assessor,sample,value\nann,fresh,5\n") == [Score("ann", "fresh", "value", 5)]


@pytest.mark.parametrize(
    ("text", "told"),
    [
        (
            "assessor,sample,attribute,value,replicate\n"
            "ann,fresh,sweet,5,1\nann,fresh,sweet,5,2\nann,fresh,sweet,6,1\n",
            "lines 2 and 4: the same assessor, sample, attribute, replicate (ann, fresh, sweet, 1)",
        ),
        (
            "assessor,sample,cup,sweet,salty\nann,fresh,1,5,\nann,fresh,1,,2\n",
            "lines 2 and 3: the same assessor, sample, cup (ann, fresh, 1)",
        ),
        (
            "assessor,sample,sitting,sweet\nann,fresh,1,5\nann,fresh,1,5\n",
            "lines 2 and 3: the same assessor, sample, sitting",
        ),
        ("assessor,sample,sweet\nann,fresh,five\n", "line 2: sweet must be a number, not 'five'"),
        ("assessor,sample,sweet\nann,fresh,nan\n", "leave the cell of a missing value empty"),
        ("assessor,sample,sweet\n,fresh,5\n", "line 2: assessor is empty"),
        ("assessor,sample,sweet\nann,,5\n", "line 2: sample is empty"),
        (LONG.replace("sweet", ""), "line 2: attribute is empty"),
        ("assessor,sample,position,sweet\nann,fresh,0,5\n", "line 2: position must be a whole"),
        ("assessor,sample\nann,fresh\n", "line 1: no column is left for an attribute"),
        ("assessor,sample,replicate\nann,fresh,1\n", "line 1: no column is left for an attribute"),
        ("assessor,sample,sweet,\nann,fresh,5,\n", "line 1: a column has no name"),
        ("assessor,sample,attribute\nann,fresh,sweet\n", "'value' is missing"),
        ("taster,sample,sweet\nann,fresh,5\n", "line 1: needs the columns assessor, sample"),
        ("assessor,sample,sweet\n", "has no rows"),
    ],
)
def test_what_cannot_be_read_is_refused_with_its_lines(read, text, told):
    with pytest.raises(click.UsageError) as refused:
        read(text)
    assert told in refused.value.message


@pytest.mark.parametrize("column", ["pot", "sample", ""])
def test_bowls_that_no_column_names_are_refused(read, column):
    with pytest.raises(click.UsageError, match="--shared-bowls must be one of the columns sweet"):
        read("assessor,sample,sweet\nann,fresh,5\n", column)


def test_an_empty_bowl_is_refused(read):
    with pytest.raises(click.UsageError, match="line 2: pot is empty"):
        read("assessor,sample,pot,sweet\nann,fresh,,5\n", "pot")


def test_a_long_list_of_repeats_is_cut(read):
    rows = "ann,fresh,1,5\n" * 9
    with pytest.raises(click.UsageError) as refused:
        read(f"assessor,sample,cup,sweet\n{rows}")
    assert refused.value.message.endswith("; and 3 more such lines")
