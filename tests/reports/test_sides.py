"""Pairs in which either sample may be chosen more often: comparison and preference.

Two-sided critical numbers at 5 %: 24 answers need 18, 20 need 15, 8 need all (binomial with
1/2; ISO 5495:2005 table for two-sided tests, from memory, and by exact sums below).
"""

import re
from math import comb

import pytest
from scipy import stats

from server.blinding.events import Kind
from server.reports.exports import render_text, report_tasting
from server.reports.families import EITHER_SIDE, RIGHT_OR_WRONG, find_family
from server.reports.repair import suggest_repair
from server.reports.tables import list_tables

BITTER = {"attribute": "bitter", "method": "paired-comparison", "assessors": 8, "rounds": 3}
LIKED = {
    "method": "paired-preference", "assessors": 24, "rounds": 1, "size_d_prime": None,
    "size_share": "0.6",
}  # fmt: skip
NOTICING = re.compile(r"notic|told apart|right\b|wrong|guess|detect", re.IGNORECASE)
GRADING = re.compile(r"\bbetter\b|\bbest\b|\bworse\b", re.IGNORECASE)
ALLOWED = (
    "No null control was served", "Set two brews of one sample",
    "Find out whether the two can be told apart at all",
)  # fmt: skip


def choose(make_story, b, a, neither=0, **changes):
    """Tell a tasting with so many answers for each sample."""
    story = make_story(**changes).brew(grams={"A": "30", "B": "30"})
    picks = ["B"] * b + ["A"] * a + ["neither"] * neither
    for serving, wanted in zip(story.main, picks, strict=False):
        samples = [story.sealed.key[cup.id][0] for cup in serving.cups]
        pick = wanted if wanted == "neither" else serving.codes[samples.index(wanted)]
        story.tell_pick(serving, pick)
    return story.close().unseal()


def read(story):
    return {line.name: line.value for line in story.conclude().numbers}


def say(story):
    finding = story.conclude()
    lists = (finding.may_say, finding.may_not_say, finding.limits, finding.next_steps)
    return [finding.headline, *(line for lines in lists for line in lines)]


def test_the_method_chooses_the_family(make_story):
    assert find_family(choose(make_story, 4, 4, **LIKED).analyse()) is EITHER_SIDE
    assert find_family(make_story().taste(4).close().unseal().analyse()) is RIGHT_OR_WRONG


@pytest.mark.parametrize(("b", "a"), [(17, 7), (18, 6), (6, 18), (7, 17)])
def test_both_sides_count_against_an_even_split(make_story, b, a):
    analysis = choose(make_story, b, a, **BITTER).analyse()
    more = max(b, a)
    tail = sum(comb(24, k) for k in range(more, 25)) / 2**24
    assert analysis.main.p_value == pytest.approx(2 * tail, rel=1e-12)
    assert analysis.main.p_value == pytest.approx(stats.binomtest(b, 24).pvalue, rel=1e-9)
    assert analysis.main.detected == (more >= 18)


def test_the_sample_that_is_ahead_is_named_with_its_share(make_story):
    numbers = read(choose(make_story, 5, 19, **BITTER))
    finding = choose(make_story, 5, 19, **BITTER).conclude()
    low, high = stats.binomtest(19, 24).proportion_ci(0.95, "exact")
    assert finding.verdict == "leans"
    assert finding.headline.startswith("“fresh cartridge” was said to have more “bitter” in 19 of")
    assert numbers["correct"] == "19 of 24"
    assert numbers["critical"] == "18 or more, or 6 or fewer"
    assert numbers["pc"] == f"79.2% (two-sided 95% limits {100 * low:.1f}% to {100 * high:.1f}%)"


def test_a_comparison_has_its_d_prime_and_a_preference_none(make_story):
    # Paired comparison: d′ = √2 z(share); 18 of 24: √2 × .6745 = .954 (normal table).
    compared = choose(make_story, 18, 6, **BITTER).analyse()
    assert compared.counts.d_prime == pytest.approx(0.954, abs=1e-3)
    assert "d_prime" not in read(choose(make_story, 18, 6, **LIKED))


def test_the_power_is_that_of_both_sides(make_story):
    # Size 60 % from an even split: 80 of 100 answers for one sample; 18 of 24 are needed.
    reach = choose(make_story, 12, 12, **LIKED).analyse().reach
    both = stats.binom.sf(17, 24, 0.8) + stats.binom.cdf(6, 24, 0.8)
    assert reach.power_reached == pytest.approx(both, rel=1e-9)


def test_left_out_the_test_is_about_the_others(make_story):
    story = choose(make_story, 15, 5, 4, no_preference="left_out", **LIKED)
    analysis, numbers = story.analyse(), read(story)
    assert (analysis.main.correct, analysis.main.trials, analysis.main.neither) == (15, 20, 4)
    assert analysis.main.p_value == pytest.approx(stats.binomtest(15, 20).pvalue)
    assert numbers["neither"] == "4, left out"
    assert not analysis.incomplete
    assert "in 15 of 20 servings with a preference" in story.conclude().headline


def test_split_evenly_everybody_counts(make_story):
    story = choose(make_story, 17, 4, 3, no_preference="split_evenly", **LIKED)
    said = say(story)
    assert (story.analyse().main.correct, story.analyse().main.trials) == (18, 24)
    assert any("at least as large as it should be" in line for line in said)
    assert "Their number was odd: the last one counts for the sample that is behind." in said


def test_if_nobody_names_a_sample_nothing_is_estimated(make_story):
    finding = choose(make_story, 0, 0, 24, no_preference="left_out", **LIKED).conclude()
    assert (finding.verdict, finding.headline) == (
        "no_answers",
        "Not estimable: nobody named either sample.",
    )


def test_half_and_half_may_be_two_groups(make_story):
    finding = choose(make_story, 12, 12, **LIKED).conclude()
    assert finding.verdict == "no_lean"
    assert any("two groups that want opposite things" in line for line in finding.may_not_say)


def test_a_preference_says_nothing_about_being_told_apart(make_story):
    forbidden = choose(make_story, 20, 4, **LIKED).conclude().may_not_say
    assert any("could tell the two apart" in line for line in forbidden)


@pytest.mark.parametrize("policy", ["forced", "left_out", "split_evenly"])
@pytest.mark.parametrize("b", [0, 6, 12, 20, 24])
def test_no_finding_of_liking_speaks_of_noticing_or_grades_a_sample(make_story, policy, b):
    neither = 0 if policy == "forced" or b > 20 else 3
    story = choose(make_story, b, 24 - b - neither, neither, no_preference=policy, **LIKED)
    lines = [line for line in say(story) if not line.startswith(ALLOWED)]
    named = [line.label for line in story.conclude().numbers]
    told = [line for line in lines if "gave a cup away" not in line and "pots" not in line]
    assert not [line for line in (*told, *named) if NOTICING.search(line.replace("tell", ""))]
    assert not GRADING.search(render_text(story.conclude()))


def test_one_pot_of_each_says_nothing_of_the_samples(make_story):
    story = choose(make_story, 20, 4, pots="single", pot_ml="2000", **LIKED)
    assert story.conclude().verdict == "leans_pots"


def test_strength_that_was_not_matched_is_a_rival_cause(make_story):
    story = make_story(**BITTER).brew(tds={"A": ["1.30"], "B": ["1.45"]})
    for serving in story.main:
        samples = [story.sealed.key[cup.id][0] for cup in serving.cups]
        story.tell_pick(serving, serving.codes[samples.index("B")])
    finding = story.close().unseal().conclude()
    assert finding.verdict == "leans_not_matched"
    assert "strength was not matched: a rival cause" in finding.headline


def test_tables_name_the_sample_that_is_counted(make_story):
    tables = {one.name: one for one in list_tables(choose(make_story, 18, 6, **BITTER).analyse())}
    assert tables["rounds"].head[-1] == "For “flushed cartridge”"
    assert tables["positions"].head[-1] == "“flushed cartridge” stood here"


def test_both_figures_are_drawn_and_said(make_story):
    analysis = choose(make_story, 5, 19, **BITTER).analyse()
    figures = find_family(analysis).figures
    for figure in figures.values():
        assert figure.draw(analysis) == figure.draw(analysis)
        assert figure.draw(analysis).startswith(b"<?xml")
    assert "19 for “fresh cartridge”; needed: 18 or more, or 6 or fewer" in figures[
        "guessing"
    ].describe(analysis)


def test_a_next_plan_asks_for_more_answers_and_for_no_control(make_story):
    repair = suggest_repair(choose(make_story, 4, 4, **LIKED | {"assessors": 8}).analyse())
    assert set(repair.changes) == {"rounds"}
    assert not any("control" in one.lower() for one in repair.reasons)


def test_a_report_for_programs_says_how_many_named_neither(make_story):
    story = choose(make_story, 15, 5, 4, no_preference="left_out", **LIKED)
    assert report_tasting(story.analyse())["analysis"]["main"]["neither"] == 4


def test_alone_a_lost_mark_is_read_for_either_sample(make_alone):
    plan = LIKED | {"assessors": 1, "rounds": 4, "sittings": 1, "pots": "blend"}
    story = make_alone(**plan).tell(Kind.PREPARED, sitting=1)
    for serving in story.main:
        story.lock(serving, right=True)  # sample B
    story.turn(1, lost=[story.main[0].id])
    readings = {one.name: one for one in story.close().unseal().conclude().readings}
    counted = {name: one.counted for name, one in readings.items()}
    assert counted == {
        "planned": "3 of 3 for “flushed cartridge”",
        "lost_wrong": "3 of 4 for “flushed cartridge”",
        "lost_right": "4 of 4 for “flushed cartridge”",
    }
    assert readings["lost_wrong"].label == "Answers with a lost mark counted for “fresh cartridge”"
