import pytest
from scipy.stats import binomtest

from server.blinding.events import Kind
from server.blinding.sealed import Purpose
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


def test_a_null_control_that_missed_says_what_it_could_not_exclude(conclude_with):
    # One-sided exact 95 % limit of 2 of 6 by scipy.stats, as a share of judgements.
    high = binomtest(2, 6, alternative="less").proportion_ci(0.95, method="exact").high
    said = find_limit(conclude_with(null=(2, 6)).conclude(), "null control")
    assert said == [
        "In the null control (two brews of “fresh cartridge”) 2 of 6 answers were right: "
        "not noticed at the planned level. "
        f"That up to {150 * (high - 1 / 3):.1f}% of judgements notice brews alone is not excluded."
    ]


def test_a_null_control_too_small_to_miss_anything_says_so(conclude_with):
    said = find_limit(conclude_with(null=(2, 2)).conclude(), "null control")
    assert said[0].endswith(
        "But 2 answers could not have reached that level, even if all were right."
    )


def test_a_null_control_below_guessing_asks_for_key_and_trays(conclude_with):
    said = find_limit(conclude_with(11, (0, 12), assessors=12, rounds=2).conclude(), "null control")
    assert said[0].endswith("That is fewer than guessing gives; check key and trays.")


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
