import click
import pytest

from server.cli.analyse.round_rows import RoundAnswers, read_rounds


@pytest.fixture
def read(tmp_path):
    """Read a file with this text."""

    def read(text: str, block: int | None = None) -> RoundAnswers:
        file = tmp_path / "answers.csv"
        file.write_text(text, encoding="utf-8")
        return read_rounds(file, block)

    return read


def rounds(*sizes: int) -> str:
    """Return a file with rounds of these sizes, all answers right."""
    rows = [f"1,r{number}" for number, size in enumerate(sizes, start=1) for _ in range(size)]
    return "\n".join(["correct,round", *rows])


def test_without_rounds_every_answer_is_one(read):
    assert read("correct\n1\n0\n1\n") == RoundAnswers((1, 0, 1), 1, None, ())


def test_without_rounds_the_block_is_the_one_asked_for(read):
    assert read("correct\n1\n0\n1\n", block=2) == RoundAnswers((1, 0, 1), 2, None, ())


@pytest.mark.parametrize("column", ["round", "block", "Round"])
def test_rounds_end_where_their_name_changes(read, column):
    found = read(f"{column},correct\na,1\na,0\nb,0\nb,1\n")
    assert (found.correct, found.block, found.looks) == ((1, 0, 0, 1), 2, (2, 4))


def test_a_shorter_last_round_is_not_complete(read):
    found = read(rounds(3, 3, 2))
    assert (found.block, found.looks, found.short) == (3, (3, 6), ())


def test_a_shorter_round_before_the_last_is_complete_and_named(read):
    found = read(rounds(3, 2, 3))
    assert (found.looks, found.short) == ((3, 5, 8), ("r2",))


def test_a_first_round_that_lost_an_answer_takes_the_size_asked_for(read):
    found = read(rounds(2, 3, 3), block=3)
    assert (found.block, found.looks, found.short) == (3, (2, 5, 8), ("r1",))


def test_an_only_round_smaller_than_the_size_asked_for_is_not_complete(read):
    assert read(rounds(2), block=3).looks == ()


@pytest.mark.parametrize(
    ("text", "block", "told"),
    [
        (rounds(2, 3), None, "line 6: round 'r2' has 3 answers, more than the 2 of a complete one"),
        (rounds(3), 2, "line 4: round 'r1' has 3 answers, more than the 2"),
        ("correct,round\n1,a\n1,b\n1,a\n", None, "line 4: round 'a' had ended on line 2"),
        ("correct,round\n1,a\n1,\n", None, "line 3: round is empty; every answer belongs to one"),
        ("correct,round,block\n1,a,a\n", None, "has both a column round and a column block"),
        ("correct\n1\nyes\n", None, "line 3: correct must be 1 or 0, not 'yes'"),
        ("right\n1\n", None, "line 1: needs the columns correct"),
        ("correct\n1\n", 0, "block must be 1 or more, not 0"),
    ],
)
def test_a_file_that_cannot_be_is_refused_by_its_line(read, text, block, told):
    with pytest.raises(click.UsageError, match=told.replace("(", r"\(")):
        read(text, block)
