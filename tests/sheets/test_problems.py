import pytest

from server.sheets.problems import Problem


@pytest.mark.parametrize(
    ("place", "said"),
    [
        ((), "must be so"),
        (("title",), "title: must be so"),
        (("attributes",), "attributes: must be so"),
        (("attributes", 0), "attribute 1: must be so"),
        (("attributes", 2, "scale", "words", 1), "attribute 3, scale, word 2: must be so"),
        (("attributes", 2, "scale", "words"), "attribute 3, scale, words: must be so"),
    ],
)
def test_a_problem_says_where_it_is_counted_from_one(
    place: tuple[str | int, ...], said: str
) -> None:
    assert str(Problem(place, "must be so")) == said
