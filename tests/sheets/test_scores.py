import pytest

from server.sheets.scores import Score, collect_ratings, group_scores


def test_attributes_come_in_the_order_they_appear_in():
    scores = [Score("ann", "X", name, 1) for name in ("sweet", "bitter", "sweet")]
    assert {name: len(rows) for name, rows in group_scores(scores).items()} == {
        "sweet": 2,
        "bitter": 1,
    }


def test_a_missing_value_is_left_out():
    ratings = collect_ratings([Score("ann", "X", "sweet", None), Score("bo", "Y", "sweet", 4)])
    assert (ratings.assessors, ratings.samples, ratings.bowl) == (("bo",), ("Y",), None)


def test_bowls_of_one_name_are_different_bowls_if_they_hold_different_samples():
    ratings = collect_ratings(
        [Score("ann", sample, "sweet", 4, bowl=bowl) for sample in "XY" for bowl in "12"]
    )
    assert ratings.bowls == ("1 of X", "1 of Y", "2 of X", "2 of Y")


def test_a_bowl_named_for_some_scores_only_is_refused():
    scores = [Score("ann", "X", "sweet", 4, bowl="1"), Score("ann", "X", "sweet", 4)]
    with pytest.raises(ValueError, match="scores must all name their bowl or none, not 1 of them"):
        collect_ratings(scores)


def test_scores_without_a_value_are_refused():
    with pytest.raises(ValueError, match="at least one value"):
        collect_ratings([Score("ann", "X", "sweet", None)])
