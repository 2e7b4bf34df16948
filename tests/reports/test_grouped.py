"""Secondary comparisons: declared groups of seats.

Exact p of each group is a binomial tail at 1/3; Holm by hand: of k groups in order of p, the
i-th p times (k - i + 1), never below the one before (Holm 1979).
"""

from fractions import Fraction
from math import comb

import pytest

from server.reports.exports import render_text, report_tasting
from tests.reports.test_words import FORBIDDEN

GROUPS = [
    {"label": "staff", "seats": [1, 2, 3]},
    {"label": "guests", "seats": [4, 5, 6]},
    {"label": "left side", "seats": [1, 4]},
]


def tail(right, trials):
    ways = range(right, trials + 1)
    return float(sum(Fraction(comb(trials, k) * 2 ** (trials - k), 3**trials) for k in ways))


def taste(make_story, right, **changes):
    """Tell a tasting of six people, three answers each, with so many right ones of each seat."""
    story = make_story(groups=GROUPS, **changes).brew()
    for serving in story.main:
        story.answer(serving, serving.round <= right[serving.seat - 1])
    return story


def end(make_story, right, **changes):
    return taste(make_story, right, **changes).close().unseal()


def test_each_group_has_its_exact_p_and_holm_adjusts_them_among_themselves(make_story):
    staff, guests, left = end(make_story, [3, 3, 2, 1, 1, 0]).analyse().groups
    assert [(one.correct, one.trials) for one in (staff, guests, left)] == [(8, 9), (2, 9), (4, 6)]
    exact = [tail(8, 9), tail(2, 9), tail(4, 6)]
    assert [one.p_value for one in (staff, guests, left)] == pytest.approx(exact, rel=1e-9)
    by_hand = [3 * exact[0], max(2 * exact[2], exact[1]), 2 * exact[2]]
    assert [one.adjusted for one in (staff, guests, left)] == pytest.approx(by_hand, rel=1e-9)
    assert [one.detected for one in (staff, guests, left)] == [True, False, False]


def test_groups_decide_nothing_of_the_whole(make_story):
    story, plain = end(make_story, [3, 3, 3, 0, 0, 0]), make_story().brew()
    for serving in plain.main:
        plain.answer(serving, serving.round <= [3, 3, 3, 0, 0, 0][serving.seat - 1])
    assert story.conclude().verdict == plain.close().unseal().conclude().verdict
    assert story.analyse().groups[0].detected
    assert not story.analyse().main.detected


def test_they_are_shown_as_secondary_and_never_compared_by_their_p(make_story):
    finding = end(make_story, [3, 3, 3, 0, 0, 0]).conclude()
    numbers = {line.name: line for line in finding.numbers}
    assert numbers["group_1"].label == "Secondary, “staff” (seats 1, 2, 3)"
    assert "reaches the planned level by itself" in numbers["group_1"].value
    assert any("says nothing of how they differ" in line for line in finding.limits)


def test_a_group_without_answers_stays_in_the_family(make_story):
    story = make_story(groups=GROUPS).brew()
    for serving in [one for one in story.main if one.seat in (1, 2, 3)]:
        story.answer(serving, serving.round < 3)
    groups = story.close("guests left").unseal().analyse().groups
    assert (groups[1].trials, groups[1].p_value) == (0, 1.0)
    assert groups[0].adjusted == pytest.approx(3 * tail(6, 9))


def test_an_exploratory_tasting_has_no_p_of_groups(make_story):
    story = taste(make_story, [3] * 6)
    story.tell("results_looked", how="the page").close().unseal()
    values = [line.value for line in story.conclude().numbers if line.name.startswith("group")]
    assert values[0] == "9 of 9 right (not as planned)"


def test_words_and_programs_have_them_too(make_story):
    story = end(make_story, [3, 2, 1, 0, 1, 2])
    assert not FORBIDDEN.search(render_text(story.conclude()))
    assert [one["label"] for one in report_tasting(story.analyse())["analysis"]["groups"]] == [
        "staff",
        "guests",
        "left side",
    ]


def test_a_plan_without_groups_keeps_the_sealed_text_it_always_had(make_story):
    assert "groups" not in make_story().sealed.plan.model_dump(mode="json")
