from math import hypot

import pytest
from scipy.stats import binomtest

from server.blinding.events import Kind
from server.blinding.plans import Purpose
from server.reports.tables import list_tables

POSITIVE = {"label": "12 % water added", "size_d_prime": "6"}
SMALL = {"label": "12 % water added", "size_d_prime": "1"}


@pytest.fixture
def conclude_with(make_story):
    """The finding of a tasting with a null control or a positive one, in so many answers."""

    def tell(right=11, null=None, positive=None, **changes):
        changes = {"null_control": null is not None} | changes
        if positive is not None:
            changes = {"positive_control": POSITIVE} | changes
        story = make_story(**changes).brew().taste(right)
        for counted, purpose in ((null, Purpose.NULL), (positive, Purpose.POSITIVE)):
            if counted is not None:
                story.taste(*counted, purpose)
        return story.close().unseal()

    return tell


def find_limit(finding, word):
    return [one for one in finding.limits if word in one]


def limit_difference(test, null):
    """Newcombe 1998, method 10, in points, from Wilson's limits by scipy.stats."""
    (p, p_low, p_high), (q, q_low, q_high) = (
        (k / n, *binomtest(k, n).proportion_ci(0.95, method="wilson")) for k, n in (test, null)
    )
    above, below = hypot(p_high - p, q - q_low), hypot(p - p_low, q_high - q)
    return 100 * (p - q + above), -100 * (p - q - below)


def test_a_null_control_that_missed_says_what_it_could_not_exclude(conclude_with):
    # One-sided exact 95 % limit of 2 of 6 by scipy.stats, as a share of judgements.
    high = binomtest(2, 6, alternative="less").proportion_ci(0.95, method="exact").high
    above, below = limit_difference((11, 18), (2, 6))
    said = find_limit(conclude_with(null=(2, 6)).conclude(), "null control")
    assert said == [
        "In the null control (two brews of “fresh cartridge”) 2 of 6 answers were right: "
        "not noticed at the planned level. "
        f"That up to {150 * (high - 1 / 3):.1f}% of judgements notice brews alone is not excluded. "
        "The share right of the test less that of the null control is +27.8 points "
        f"(two-sided 95% limits −{below:.1f} points to +{above:.1f} points, "
        "every answer counted as independent): "
        "that the samples are told apart no more often than two brews is not excluded."
    ]


def test_a_null_control_too_small_to_miss_anything_says_so(conclude_with):
    said = find_limit(conclude_with(null=(2, 2)).conclude(), "null control")
    assert "But 2 answers could not have reached that level, even if all were right." in said[0]


def test_a_null_control_below_guessing_asks_for_key_and_trays(conclude_with):
    said = find_limit(conclude_with(11, (0, 12), assessors=12, rounds=2).conclude(), "null control")
    assert "That is fewer than guessing gives; check key and trays." in said[0]


@pytest.mark.parametrize(
    ("right", "null", "allows", "verdict"),
    [
        (11, (2, 6), "no more often than two brews is not excluded.", "told_apart"),
        (18, (2, 6), "the samples were told apart more often than two brews were.", "told_apart"),
        (18, (5, 6), "no more often than two brews is not excluded.", "told_apart_brews"),
        (2, (6, 6), "than the samples were; check key and trays.", "inconclusive_unshown"),
    ],
)
def test_the_difference_to_the_test_says_what_a_null_control_allows(
    conclude_with, right, null, allows, verdict
):
    finding = conclude_with(right, null=null, size_d_prime="3").conclude()
    assert find_limit(finding, "null control")[0].endswith(allows)
    assert finding.verdict == verdict


def test_a_test_beyond_a_noticed_null_control_is_told_apart_all_the_same(conclude_with):
    # Of 36 brews alone 18 are noticed (p < .05): more than guessing, fewer than 36 of 36.
    story = conclude_with(36, null=(18, 36), assessors=36, rounds=1)
    assert story.analyse().controls[0].detected
    assert story.conclude().verdict == "told_apart"


def test_only_a_test_beyond_its_null_control_speaks_of_more_than_brews(conclude_with):
    said = "That the samples differ by more than two brews of one sample do."
    assert said in conclude_with(11, null=(2, 6)).conclude().may_not_say
    assert said not in conclude_with(18, null=(2, 6)).conclude().may_not_say
    assert said not in conclude_with(11).conclude().may_not_say


def test_no_null_control_is_said_only_when_none_was_served(conclude_with):
    said = "No null control was served"
    assert find_limit(conclude_with().conclude(), said)
    assert not find_limit(conclude_with(null=(2, 6)).conclude(), said)


def test_a_planned_control_without_answers_is_named(conclude_with):
    changes = {"null_control": True, "positive_control": POSITIVE}
    limits = " ".join(conclude_with(8, **changes).conclude().limits)
    assert "A null control was planned, but no answer of it counts" in limits
    assert "A positive control was planned, but no answer of it counts" in limits


@pytest.mark.parametrize(
    ("counted", "changes", "said"),
    [
        ((6, 6), {}, "(“12 % water added”) was noticed: 6 of 6 answers were right"),
        ((3, 6), {}, "(“12 % water added”) was missed: 3 of 6 answers were right"),
        ((6, 6), {"positive_control": SMALL}, "was too small to tell: 6 of 6 answers were right"),
        ((2, 2), {}, "was too small to tell: 2 of 2 answers were right"),
    ],
)
@pytest.mark.parametrize("right", [8, 11])
def test_a_positive_control_says_what_it_showed(conclude_with, right, counted, changes, said):
    assert find_limit(conclude_with(right, positive=counted, **changes).conclude(), said)


def test_a_positive_control_too_small_shows_its_limits_and_no_p(conclude_with):
    # Two-sided exact 95 % limits of 2 of 2 by scipy.stats.
    story, low = conclude_with(8, positive=(2, 2)), binomtest(2, 2).proportion_ci(0.95).low
    said = find_limit(story.conclude(), "positive control")[0]
    assert f"(95% limits of the share right {100 * low:.1f}% to 100%)" in said
    assert said.endswith("less than 80%, and nothing is concluded from it.")
    rows = next(t.rows for t in list_tables(story.analyse()) if t.name == "controls")
    assert rows[-1][-1] == "not used: too few answers"


def test_controls_of_an_exploratory_tasting_are_leads(make_story):
    story = make_story(null_control=True, positive_control=POSITIVE).brew().taste(11)
    story.taste(6, purpose=Purpose.NULL).taste(6, purpose=Purpose.POSITIVE)
    limits = " ".join(story.close(pourer="taster").unseal().conclude().limits)
    assert limits.count("6 of 6 answers were right: a lead too.") == 2
    assert "noticed:" not in limits


def test_numbers_set_the_null_rate_against_the_test_rate(conclude_with):
    # Two-sided exact 95 % limits of 2 of 6 and 11 of 18 by scipy.stats.
    null, test = (
        binomtest(k, n).proportion_ci(0.95, method="exact") for k, n in ((2, 6), (11, 18))
    )
    shown = {line.name: line.value for line in conclude_with(null=(2, 6)).conclude().numbers}
    assert shown["null"] == (
        f"2 of 6, 33.3% (two-sided 95% limits {100 * null.low:.1f}% to {100 * null.high:.1f}%); "
        f"test: 11 of 18, 61.1% (two-sided 95% limits {100 * test.low:.1f}% to "
        f"{100 * test.high:.1f}%)"
    )


def test_a_table_sets_test_and_controls_side_by_side(conclude_with):
    tables = list_tables(conclude_with(11, (2, 6), (6, 6)).analyse())
    rows = next(table.rows for table in tables if table.name == "controls")
    assert [row[:5] for row in rows] == [
        ("test", "18", "18", "11", "61.1%"),
        ("null control: two brews of one sample", "6", "6", "2", "33.3%"),
        ("positive control: a small known difference", "6", "6", "6", "100%"),
    ]


def test_without_controls_there_is_no_table_of_them(conclude_with):
    assert "controls" not in [table.name for table in list_tables(conclude_with().analyse())]


def test_p_in_the_table_of_an_exploratory_tasting_is_not_as_planned(make_story):
    story = make_story(null_control=True).brew().taste(11).taste(5, purpose=Purpose.NULL)
    story.tell(Kind.RESULTS_LOOKED, how="page").close().unseal()
    rows = next(t.rows for t in list_tables(story.analyse()) if t.name == "controls")
    assert rows[1][-1] == "0.0178 (not as planned)"
