"""Similarity tests: what may be said when few notice.

Largest numbers of right answers that pass are those of ISO 4120, Table A.2 (from memory), at
beta 0.05 and a limit of 30 %: 11 of 30, 13 of 36, 25 of 60; all of them are recomputed here
by plain sums.
"""

import re
from fractions import Fraction
from math import comb

import pytest

from server.reports.exports import render_text, report_tasting
from server.reports.families import FEW_NOTICE, find_family
from server.reports.repair import suggest_repair
from tests.reports.test_words import FORBIDDEN

THIRD, LIMIT = Fraction(1, 3), Fraction(3, 10)
FEW = {
    "assessors": 60, "rounds": 1, "size_d_prime": None, "size_share": "0.3",
    "similarity": {"limit": "0.3", "beta": "0.05"},
}  # fmt: skip
ADDED = {"positive_control": {"label": "12 % water added", "size_d_prime": "3"}}


def at_most(right, trials, share):
    """Chance of so few right answers or fewer where such a share notices."""
    pc = THIRD + share * (1 - THIRD)
    ways = range(right + 1)
    return float(sum(comb(trials, k) * pc**k * (1 - pc) ** (trials - k) for k in ways))


def read(story):
    return {line.name: line.value for line in story.conclude().numbers}


def say(finding):
    lists = (finding.may_say, finding.may_not_say, finding.limits, finding.next_steps)
    return [finding.headline, *(line for lines in lists for line in lines)]


@pytest.mark.parametrize(("trials", "most"), [(30, 11), (36, 13), (60, 25)])
def test_the_largest_number_that_passes_is_that_of_the_printed_table(tell_whole, trials, most):
    assert at_most(most, trials, LIMIT) <= 0.05 < at_most(most + 1, trials, LIMIT)
    plan = FEW | {"assessors": trials}
    for right, verdict in ((most, "few"), (most + 1, "few_unshown")):
        assert tell_whole(right, **plan).conclude().verdict == verdict
    assert read(tell_whole(most, **plan))["most_correct"] == str(most)


def test_a_pass_names_limit_and_largest_share_and_never_nobody(tell_whole):
    story = tell_whole(22, **FEW)
    finding, few = story.conclude(), story.analyse().few
    # The one-sided upper limit u has P(X <= 22) = .05 where a share of u notices.
    assert at_most(22, 60, Fraction(few.upper)) == pytest.approx(0.05, rel=1e-9)
    assert finding.headline == (
        "With these people and brews, fewer than 30% of judgements noticed the difference "
        f"(one-sided 95% limit: {100 * few.upper:.1f}%)."
    )
    assert "That nobody would notice." in finding.may_not_say
    assert any("a small known difference is not known" in line for line in finding.limits)


def test_so_few_right_answers_are_as_rare_as_the_sum_says(tell_whole):
    said = tell_whole(22, **FEW).conclude().may_say
    rare = at_most(22, 60, LIMIT)
    assert any(f"come up in {10_000 * rare:.0f} of 10,000 such tests" in line for line in said)


def test_a_miss_says_neither_that_many_notice_nor_that_few_do(tell_whole):
    finding = tell_whole(26, **FEW).conclude()
    assert finding.headline.startswith("Not shown that fewer than 30% of judgements notice")
    assert any("a miss does not show it" in line for line in finding.may_not_say)


def test_a_small_difference_may_be_noticed_and_yet_by_few(tell_whole):
    # 60 answers: 27 show a difference; at a limit of 60 %, 38 or fewer still pass.
    plan = FEW | {"size_share": "0.6", "similarity": {"limit": "0.6", "beta": "0.05"}}
    finding = tell_whole(30, **plan).conclude()
    assert at_most(30, 60, Fraction(6, 10)) < 0.05
    assert finding.verdict == "few_told_apart"
    assert "told “fresh cartridge” and “flushed cartridge” apart" in finding.headline


def test_many_right_answers_are_told_apart_and_the_limit_is_not_shown(tell_whole):
    finding = tell_whole(30, **FEW).conclude()
    assert finding.verdict.startswith("told_apart")
    assert "It is not shown that fewer than 30% of judgements notice." in finding.limits


def test_too_few_people_draw_no_conclusion(tell_whole):
    finding = tell_whole(2, **FEW | {"assessors": 6}).conclude()
    assert finding.verdict == "few_out_of_reach"
    assert any("ISO 5495:2005 advises against" in line for line in finding.limits)


def test_far_fewer_than_guessing_gives_is_no_pass(tell_whole):
    assert tell_whole(8, **FEW).conclude().verdict == "below_guessing"


def test_several_answers_of_a_person_carry_no_claim(tell_whole):
    story = tell_whole(22, **FEW | {"assessors": 20, "rounds": 3})
    assert story.analyse().few is None
    assert story.conclude().verdict == "few_out_of_reach"
    assert any("carry no similarity claim" in line for line in story.conclude().limits)


@pytest.mark.parametrize(("found", "verdict"), [(55, "few"), (10, "inconclusive_control_missed")])
def test_a_panel_that_misses_a_known_difference_shows_nothing(make_story, found, verdict):
    story = make_story(**FEW, **ADDED).brew().taste(found, 60, "positive").taste(20)
    assert story.close().unseal().conclude().verdict == verdict


def test_a_look_at_the_results_leaves_no_conclusion(make_story):
    story = make_story(**FEW).brew().taste(22, 40)
    story.tell("results_looked", how="the page").close("looked").unseal()
    assert story.conclude().verdict == "exploratory"


def test_closing_short_keeps_limit_and_p_and_says_the_chance_to_pass(make_story):
    story = make_story(**FEW).brew().taste(16, 48).close("out of cups").unseal()
    assert story.conclude().verdict == "few"
    assert any("the chance to pass if nobody notices is" in one for one in story.conclude().limits)


def test_a_method_without_d_prime_has_its_similarity_test_too(tell_whole):
    # Two out of five, limit 20 %: chance 1/10; recomputed by sums of its own.
    plan = FEW | {"method": "two-out-of-five", "size_share": "0.2"}
    story = tell_whole(9, **plan | {"similarity": {"limit": "0.2", "beta": "0.05"}})
    pc = Fraction(1, 10) + Fraction(2, 10) * Fraction(9, 10)
    tails = [sum(comb(60, k) * pc**k * (1 - pc) ** (60 - k) for k in range(x)) for x in (11, 12)]
    most = story.analyse().few.most_correct
    assert [float(tail) <= 0.05 for tail in tails] == [most >= 10, most >= 11]


@pytest.mark.parametrize("right", [0, 8, 20, 22, 25, 26, 27, 30, 60])
@pytest.mark.parametrize("assessors", [60, 30, 4])
def test_no_sentence_claims_too_much_or_is_broken(tell_whole, right, assessors):
    story = tell_whole(min(right, assessors), **FEW | {"assessors": assessors})
    text = render_text(story.conclude())
    assert not FORBIDDEN.search(text), FORBIDDEN.search(text)
    assert "{" not in text
    assert not re.search(r"\b(None|nan|inf)\b", text)
    for sentence in say(story.conclude()):
        assert re.search(r"^[\w“✔✘].*[.”]$", sentence), sentence
    assert "not planned as a similarity test" not in text


def test_both_figures_are_drawn_and_said(tell_whole):
    analysis = tell_whole(22, **FEW).analyse()
    figures = find_family(analysis).figures
    assert find_family(analysis) is FEW_NOTICE
    for figure in figures.values():
        assert figure.draw(analysis) == figure.draw(analysis)
        assert figure.draw(analysis).startswith(b"<?xml")
    assert "25 or fewer pass" in figures["guessing"].describe(analysis)
    assert "not to be reached: 30%" in figures["share"].describe(analysis)


def test_the_next_plan_asks_more_people_once_each(tell_whole):
    repair = suggest_repair(tell_whole(18, **FEW | {"assessors": 40}).analyse())
    assert repair.changes["assessors"] == "46"  # stable number of `stats.similarity_trials`
    assert "rounds" not in repair.changes


def test_a_report_for_programs_has_the_similarity_test(tell_whole):
    reported = report_tasting(tell_whole(22, **FEW).analyse())["analysis"]["few"]
    assert (reported["most_correct"], reported["similar"]) == (25, True)
