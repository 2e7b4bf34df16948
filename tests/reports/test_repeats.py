"""Several answers of a person, as the plan declared them.

Sixteen people with five triangles each, 39 of 80 right: pooled p .00306642 is a binomial tail
(recomputed below); the chance-corrected beta-binomial has mean .217549 and gamma .869954, the
mean of people p .023135 (the same counts with their sources in tests/stats/test_replicates.py).
"""

import re
from fractions import Fraction
from math import comb

import pytest

from server.reports.exports import render_text, report_tasting
from server.reports.families import REPEATS, find_family
from server.stats.mean_power import mean_test_power
from tests.reports.test_words import FORBIDDEN

RIGHT = [0, 1, 1, 1, 1, 2, 2, 2, 2, 2, 3, 3, 4, 5, 5, 5]
UNEVEN = [5, 5, 5, 4, 1, 1, 1, 0, 0]
PLAN = {"assessors": 16, "rounds": 5}


def taste(make_story, right, several, **changes):
    """Tell a tasting with so many right answers of each seat."""
    plan = PLAN | {"several": several, "assessors": len(right)} | changes
    story = make_story(**plan).brew()
    for serving in story.main:
        story.answer(serving, serving.round <= right[serving.seat - 1])
    return story.close().unseal()


def read(story):
    return {line.name: line.value for line in story.conclude().numbers}


def test_the_models_stand_beside_the_exact_p(make_story):
    ways = range(39, 81)
    third = Fraction(1, 3)
    tail = sum(comb(80, k) * third**k * (1 - third) ** (80 - k) for k in ways)
    numbers = read(taste(make_story, RIGHT, "pooled"))
    assert numbers["p_value"] == f"{float(tail):.4f}"
    assert numbers["mean_p"] == "0.0231"
    assert numbers["mean_share"].startswith("21.8% (")
    assert numbers["gamma"].startswith("0.87 (")


@pytest.mark.parametrize(
    ("several", "sentence"),
    [("pooled", "All answers together decide"), ("people", "the mean of people decides")],
)
def test_the_finding_says_what_decides_and_whom_it_speaks_about(make_story, several, sentence):
    limits = taste(make_story, RIGHT, several).conclude().limits
    said = next(line for line in limits if line.startswith("Declared beforehand"))
    assert sentence.lower() in said.lower()
    assert ("this panel" in said) == (several == "pooled")
    assert ("people like these" in said) == (several == "people")


def test_what_was_declared_decides_where_the_two_differ(make_story):
    # 22 of 45 right, most of them by four people: 22 or more come up in 2.2 of 100 by
    # guessing, while the mean of nine so different people is not shown to be above it.
    pooled, people = (taste(make_story, UNEVEN, one) for one in ("pooled", "people"))
    assert pooled.analyse().main.detected
    mean = people.analyse().repeats.mean_against_chance.p_value
    assert mean > 0.05
    assert people.analyse().main.detected is False
    assert people.analyse().main.p_value == mean
    for story in (pooled, people):
        assert any(line.startswith("The other test would") for line in story.conclude().limits)


def test_that_people_differ_is_said(make_story):
    assert any("People differed by more than chance" in one for one in
               taste(make_story, RIGHT, "pooled").conclude().limits)  # fmt: skip


def test_without_a_declaration_nothing_of_it_is_worked_out(make_story):
    story = taste(make_story, RIGHT, "")
    assert story.analyse().repeats is None
    assert "mean_p" not in read(story)
    assert "several" not in story.sealed.plan.model_dump(mode="json")


def test_where_the_mean_decides_its_p_is_said_beside_the_exact_one(make_story):
    said = taste(make_story, RIGHT, "people").conclude().may_say
    assert any("above guessing (p 0.0231, beta-binomial model)" in line for line in said)
    assert any("come up in 31 of 10,000 such tests" in line for line in said)


def test_a_miss_of_the_mean_does_not_speak_of_the_critical_number(make_story):
    said = taste(make_story, UNEVEN, "people").conclude().may_say
    assert not any("were needed at the planned level" in line for line in said)
    assert any("is above guessing is not shown (p" in line for line in said)


def test_controls_of_one_answer_each_stay_exact(make_story):
    positive = {"label": "12 % water added", "size_d_prime": "3"}
    story = make_story(several="people", positive_control=positive).brew()
    story.taste(6, 6, "positive").taste(9).close().unseal()
    (control,) = story.analyse().controls
    assert control.p_value == pytest.approx(3**-6)


@pytest.mark.parametrize("several", ["pooled", "people"])
@pytest.mark.parametrize("right", [RIGHT, [0] * 16, [5] * 16, [2, 1] * 8, [5]])
def test_no_sentence_claims_too_much_or_is_broken(make_story, several, right):
    finding = taste(make_story, right, several).conclude()
    text = render_text(finding)
    assert not FORBIDDEN.search(text), FORBIDDEN.search(text)
    assert "{" not in text
    assert not re.search(r"\b(None|nan|inf)\b", text)
    for sentence in (finding.headline, *finding.may_say, *finding.limits, *finding.next_steps):
        assert re.search(r"^[\w“✔✘].*[.”]$", sentence), sentence


def test_a_report_for_programs_has_the_models(make_story):
    analysis = taste(make_story, RIGHT, "people").analyse()
    assert find_family(analysis) is REPEATS
    reported = report_tasting(analysis)["analysis"]["repeats"]
    assert reported["corrected"]["mean"] == pytest.approx(0.217549, abs=1e-6)


def test_the_chance_to_find_the_size_is_that_of_the_test_that_decides(make_story):
    # Six people, three answers each, half noticing: all together 10 of 18 are needed, found in
    # 89 of 100 (a binomial sum); the mean of people finds it in 74 of 100
    # (tests/stats/test_mean_power.py walks over its panels).
    changes = {"rounds": 3, "size_d_prime": None, "size_share": "0.5"}
    pooled, people = (
        taste(make_story, [1] * 6, one, **changes).analyse() for one in ("pooled", "people")
    )
    way = sum(comb(18, k) * 2**k for k in range(10, 19)) / 3**18
    assert pooled.reach.power_reached == pytest.approx(way)
    walked = mean_test_power(6, 3, 1 / 3, 0.05, 0.5, 0.0)
    assert people.reach.power_reached == pytest.approx(walked)
    finding = taste(make_story, [1] * 6, "people", **changes).conclude()
    assert finding.verdict == "inconclusive_weak"
    assert finding.next_steps[0].startswith("Ask more people")
