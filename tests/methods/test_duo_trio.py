import pytest

from server.methods.base import InvalidAnswer
from server.methods.duo_trio import DUO_TRIO


@pytest.mark.parametrize(
    ("reference", "same", "other", "right"),
    [(0, 1, 2, True), (0, -1, 2, True), (0, 2, 1, False), (0, -2, 1, False), (0, 1, -1, False)],
)
def test_the_cup_nearer_to_the_reference_is_said_to_match(reference, same, other, right):
    assert DUO_TRIO.decide([reference, same, other]).item() is right


@pytest.mark.parametrize(("order", "like"), [("AAB", 1), ("ABA", 2), ("BAB", 2), ("BBA", 1)])
def test_the_cup_of_the_references_sample_is_right(order, like):
    codes = ("412", "587", "936")
    assert DUO_TRIO.is_correct({"pick": codes[like]}, codes, order)
    assert not DUO_TRIO.is_correct({"pick": codes[3 - like]}, codes, order)


def test_the_reference_itself_is_no_answer():
    with pytest.raises(InvalidAnswer, match="pick"):
        DUO_TRIO.parse_answer({"pick": "412"}, ("412", "587", "936"))
