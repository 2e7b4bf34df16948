from pathlib import Path

import click
import pytest

from server.cli.analyse.tick_all_rows import read_ticks

WIDE = "assessor,sample,papery,sweet\nann,fresh,1,0\nann,old,0,1\nbo,fresh,1,\nbo,old,0,0\n"
LONG = (
    "word,ticked,assessor,sample\npapery,1,ann,fresh\npapery,0,ann,old\nsweet,0,ann,fresh\n"
    "sweet,1,ann,old\npapery,1,bo,fresh\npapery,0,bo,old\nsweet,,bo,fresh\nsweet,0,bo,old\n"
)


def read(tmp_path: Path, text: str):
    file = tmp_path / "ticks.csv"
    file.write_text(text, encoding="utf-8")
    return read_ticks(file)


@pytest.mark.parametrize("text", [WIDE, LONG, WIDE.replace(",", ";"), WIDE.replace(",", "\t")])
def test_both_forms_give_the_same_answers(tmp_path, text):
    found = read(tmp_path, text)
    assert found["ann", "old", "sweet"] is True
    assert sorted(found) == sorted(read(tmp_path, WIDE))


def test_an_empty_cell_is_a_missing_answer(tmp_path):
    assert ("bo", "fresh", "sweet") not in read(tmp_path, WIDE)


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("assessor,sample,papery\nann,A,1\nann,B,2\n", "line 3: papery must be 1 or 0, not '2'"),
        ("assessor,sample,papery\nann,A,yes\nann,B,0\n", "line 2: papery must be 1 or 0"),
        ("assessor,sample,papery\n,A,1\nann,,0\n", "line 2: assessor is empty; line 3: sample is"),
        (
            "assessor,sample,papery\nann,A,1\nann,B,1\nann,A,1\n",
            "lines 2 and 4: ann answers on A twice",
        ),
        (
            "assessor,sample,word,ticked\nann,A,papery,1\nann,A,papery,1\n",
            "lines 2 and 3: ann answers on A, papery twice",
        ),
        ("assessor,sample,word,ticked\nann,A,,1\nann,B,papery,1\n", "line 2: word is empty"),
        ("assessor,sample,word,ticked\nann,A,papery,x\n", "line 2: ticked must be 1 or 0"),
        (
            "assessor,sample,word\nann,A,papery\n",
            "needs the columns assessor, sample, word, ticked",
        ),
        ("assessor,sample,ticked\nann,A,1\n", "needs the columns assessor, sample, word, ticked"),
        ("assessor,sample\nann,A\n", "or assessor, sample and one for every word"),
        ("assessor,papery\nann,1\n", "line 1: needs the columns"),
        ("assessor,sample,papery\nann,A,1\nbo,A,1\n", "has 1 samples: two or more are needed"),
        ("assessor,sample,papery\nann,A,\nbo,B,\n", "has 0 samples: two or more are needed"),
        ("assessor,sample,papery\n", "has no rows"),
    ],
)
def test_what_cannot_be_read_is_named_by_its_line(tmp_path, text, told):
    with pytest.raises(click.UsageError, match=told):
        read(tmp_path, text)


def test_only_some_of_many_bad_lines_are_named(tmp_path):
    rows = "".join(f"ann,A,{at % 2}\n" for at in range(9))
    with pytest.raises(click.UsageError, match="and 3 more such lines"):
        read(tmp_path, f"assessor,sample,papery\n{rows}")
