import pytest

from server.methods.base import InvalidAnswer
from server.methods.paired_preference import PAIRED_PREFERENCE, PREFERENCE_OR_NEITHER


@pytest.mark.parametrize(("first", "second", "counted"), [(4, 6, True), (6, 4, False)])
def test_the_answer_counts_for_the_second_sample_if_it_is_liked_better(first, second, counted):
    assert PAIRED_PREFERENCE.decide([first, second]).item() is counted


def test_a_preference_has_no_distance():
    assert "people may prefer either" in PAIRED_PREFERENCE.model.without_d_prime


def test_neither_is_an_answer_where_the_plan_takes_it() -> None:
    codes = ["412", "587"]
    assert PREFERENCE_OR_NEITHER.parse_answer({"pick": "neither"}, codes)["pick"] == "neither"
    with pytest.raises(InvalidAnswer, match="Pick the cup that you like better, or neither"):
        PREFERENCE_OR_NEITHER.parse_answer({}, codes)


def test_neither_is_no_answer_where_everybody_chooses() -> None:
    with pytest.raises(InvalidAnswer, match=r"Pick the cup that you like better\."):
        PAIRED_PREFERENCE.parse_answer({"pick": "neither"}, ["412", "587"])


def test_a_code_of_another_tray_is_refused() -> None:
    with pytest.raises(InvalidAnswer, match="not on this tray"):
        PAIRED_PREFERENCE.parse_answer({"pick": "999"}, ["412", "587"])
