import re

import pytest

from server.reports.table_figures.right import build_right, describe, split, tabulate
from server.reports.table_figures.right_drawing import draw
from server.stats.jar import analyse_jar
from tests.reports.table_figures.reading import list_words

# Answers of one panel on a scale of five, with liking; shares follow by hand: 2, 3 and 1 of 6.
ANSWERS, LIKING = [1, 2, 3, 3, 3, 4], [4, 6, 8, 7, 9, 5]


def list_bars(svg: bytes) -> list[tuple[float, float]]:
    """Left and right edges of what has a drawn edge."""
    found = re.findall(
        rb'<path d="M ?([\d.]+) [^"]*?L ([\d.]+) [^"]*" style="fill: [^"]*stroke:', svg
    )
    return [(float(left), float(right)) for left, right in found]


def test_the_shares_are_those_of_the_analysis():
    found = analyse_jar(ANSWERS, LIKING)
    [row] = tabulate(build_right({"body": {"X": found.counts}})).rows
    shares = [100 * one for one in (found.low.share, found.right.share, found.high.share)]
    assert [float(cell.rstrip("%")) for cell in row[3:]] == pytest.approx(shares, abs=0.05)


def test_bars_are_as_long_as_their_shares_and_centred_on_about_right():
    bars = list_bars(draw(build_right({"body": {"X": (0, 1, 2, 1, 0)}}), "light"))
    lengths = [right - left for left, right in bars]
    assert lengths[1] == pytest.approx(2 * lengths[0], abs=0.2)
    assert lengths[0] == pytest.approx(lengths[2], abs=0.2)


def test_the_sides_differ_by_their_hatching_alone_in_print():
    svg = draw(build_right({"body": {"X": (3, 4, 3)}}), "print").decode()
    assert len(re.findall("<pattern", svg)) == 2


def test_the_words_name_the_most_one_sided_sample():
    data = build_right({"body": {"X": (1, 8, 1), "Y": (0, 3, 7)}, "sour": {"X": (2, 6, 2)}})
    assert describe(data).endswith("Most one-sided: Y in body, 70% too much.")


def test_everybody_about_right_is_said_as_that():
    data = build_right({"body": {"X": (0, 8, 0)}})
    assert describe(data).endswith("No answer lies to one side of about right.")
    assert draw(data, "dark")


def test_a_sample_without_answers_says_so():
    data = build_right({"body": {"X": (0, 0, 0)}})
    assert "no answer" in [one.words for one in list_words(draw(data, "light"))]
    assert tabulate(data).rows == (("body", "X", "0", "–", "–", "–"),)


@pytest.mark.parametrize("counts", [(1, 2), (1,), (1, 2, 3, 4)])
def test_a_scale_without_a_middle_is_refused(counts):
    with pytest.raises(ValueError, match="counts must be of an odd number of answers"):
        split(counts)
