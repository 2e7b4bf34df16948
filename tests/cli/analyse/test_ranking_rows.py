from pathlib import Path

import click
import pytest

from server.cli.analyse.ranking_rows import read_rankings

LONG = "assessor,sample,rank\nann,fresh,1\nann,flushed,2\nbo,flushed,1.5\nbo,fresh,1.5\n"
WIDE = "assessor,fresh,flushed\nann,1,2\nbo,1.5,1.5\n"


def read(tmp_path: Path, text: str):
    file = tmp_path / "ranks.csv"
    file.write_text(text, encoding="utf-8")
    return read_rankings(file)


@pytest.mark.parametrize("text", [LONG, WIDE, WIDE.replace(",", ";").replace("1.5", "1,5")])
def test_both_forms_give_the_same_rankings(tmp_path, text):
    found = read(tmp_path, text)
    assert (found.assessors, found.samples) == (("ann", "bo"), ("fresh", "flushed"))
    assert found.ranks == ((1, 2), (1.5, 1.5))


def test_lines_of_one_assessor_need_not_stand_together(tmp_path):
    text = "sample,rank,assessor,remark\nA,1,ann,\nA,2,bo,\nB,1,bo,sure\nB,2,ann,\n"
    assert read(tmp_path, text).ranks == ((1, 2), (2, 1))


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("assessor,sample,rank\nann,A,1\nann,B,2\nbo,A,1\n", "line 4: bo has no rank of B"),
        ("assessor,A,B\nann,1,2\nbo,1,\n", "line 3: B is empty"),
        (
            "assessor,A,B,C\nann,1,2,3\nbo,1,2,2\n",
            "line 3: bo: ranks must be 1 to 3, each once, ties as their mean (1, 2.5, 2.5), "
            "not 1, 2, 2",
        ),
        ("assessor,A,B,C\nann,1,2,4\n", "line 2: ann: ranks must be 1 to 3, each once"),
        ("assessor,sample,rank\nann,A,1\nann,B,3\n", "line 2: ann: ranks must be 1 to 2"),
        (
            "assessor,sample,rank\nann,A,1\nann,B,2\nann,A,2\n",
            "lines 2 and 4: ann ranks A twice",
        ),
        ("assessor,A,B\nann,1,2\nann,2,1\n", "lines 2 and 3: ann ranks twice"),
        ("assessor,A,B\nann,1,2\nbo,first,2\n", "line 3: A must be a number, not 'first'"),
        ("assessor,A,B\nann,0,2\n", "line 2: A must be a rank, 1 or more, or half way, not '0'"),
        ("assessor,A,B\nann,1.2,1.8\n", "line 2: A must be a rank"),
        ("assessor,sample,rank\n,A,1\n", "line 2: assessor is empty"),
        (
            "assessor,sample,order\nann,A,1\n",
            "line 1: needs the columns assessor, sample, rank, or",
        ),
        ("taster,A,B\nann,1,2\n", "line 1: needs the columns"),
        ("assessor,A\nann,1\n", "ranks 1 samples: two or more are needed"),
        ("assessor\nann\n", "ranks 0 samples: two or more are needed"),
        ("assessor,A,B\n", "has no rows"),
    ],
)
def test_what_is_no_full_ranking_is_refused_with_its_line(tmp_path, text, told):
    with pytest.raises(click.UsageError) as refused:
        read(tmp_path, text)
    assert told in refused.value.message


def test_a_long_list_of_gaps_is_cut(tmp_path):
    rows = "".join(f"p{place},A,1\n" for place in range(9))
    with pytest.raises(click.UsageError) as refused:
        read(tmp_path, f"assessor,sample,rank\nann,A,1\nann,B,2\n{rows}")
    assert refused.value.message.endswith("; and 4 more such lines")
