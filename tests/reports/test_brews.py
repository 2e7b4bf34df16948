import pytest


@pytest.mark.parametrize(
    ("grams", "verdict"),
    [
        ({"A": "30", "B": "31"}, "told_apart"),
        ({"A": "30", "B": "33"}, "told_apart_nearly_matched"),
        ({"A": "30", "B": "40"}, "told_apart_not_matched"),
        ({"A": "30", "B": None}, "told_apart"),
    ],
)
def test_fill_is_a_rival_cause_unless_it_matched_or_was_not_read(make_story, grams, verdict):
    finding = make_story().brew(grams=grams).taste(11).close().unseal().conclude()
    assert finding.verdict == verdict
    assert ("fill" in finding.headline) == (verdict != "told_apart")


def test_fill_that_was_not_read_is_a_limit_only(make_story):
    finding = make_story().brew().taste(11).close().unseal().conclude()
    assert any(one.startswith("Fill was not measured in every brew") for one in finding.limits)


def test_fill_is_held_to_the_planned_limit(make_story):
    story = make_story(fill_limit="0.4").brew(grams={"A": "30", "B": "31"}).taste(11)
    finding = story.close().unseal().conclude()
    assert (
        "Fill was not matched: samples differed by up to 1 g, the planned limit is 0.4 g."
    ) in finding.limits
