"""Sequential tests: where the answers decide when to stop.

Wald's lines for a triangle (chance 1/3), p1 2/3, alpha .05, beta .1: x = .5 n - 1.623964 and
.5 n + 2.084963, by hand: K = ln(2) + ln(2), h = ln(18)/K and ln(.1/.95)/K, slope 1/2. The
exact risks are recomputed here by walking over all counts.
"""

import re
from math import comb, log

import pytest

from server.blinding.events import Kind
from server.reports.exports import render_text, report_tasting
from server.reports.families import STOPPING, find_family
from server.reports.repair import suggest_repair
from server.reports.stopping.facts import find_risks
from server.reports.stopping.following import make_sequential
from server.reports.tables import list_tables
from tests.reports.test_words import FORBIDDEN

PLAN = {
    "assessors": 4, "rounds": 6, "size_d_prime": None, "size_share": "0.5",
    "stop_rule": "sequential", "sequential": {"beta": "0.1", "every": 1},
}  # fmt: skip


def serve(make_story, right, said=None, **changes):
    """Serve whole rounds with so many right answers each, and what the plan said after each."""
    story = make_story(**PLAN | changes).brew()
    for number, count in enumerate(right, 1):
        served = [one for one in story.main if one.round == number]
        for at, serving in enumerate(served):
            story.answer(serving, at < count)
        stop = (said or [False] * (len(right) - 1) + [True])[number - 1]
        story.tell(Kind.BLOCK_JUDGED, block=number, stop=stop)
    return story


def end(make_story, right, said=None, **changes):
    return serve(make_story, right, said, **changes).close().unseal()


def read(story):
    return {line.name: line.value for line in story.conclude().numbers}


def walk(plan, p):
    """Chances of the three endings and the mean number of answers, count by count."""
    right, wrong = log(plan.p_correct / plan.chance), log((1 - plan.chance) / (1 - plan.p_correct))
    high, low = log((1 - plan.beta) / plan.alpha), log(plan.beta / (1 - plan.alpha))
    going, ends, mean = {0: 1.0}, [0.0, 0.0, 0.0], 0.0
    for n in range(plan.block, plan.cap + 1, plan.block):
        spread = {}
        for x, chance in going.items():
            for k in range(plan.block + 1):
                way = comb(plan.block, k) * p**k * (1 - p) ** (plan.block - k)
                spread[x + k] = spread.get(x + k, 0) + chance * way
        going = {}
        for x, chance in spread.items():
            ratio = x * right - (n - x) * wrong
            over = 0 if ratio >= high - 1e-9 else 1 if ratio <= low + 1e-9 else None
            over = 2 if over is None and n == plan.cap else over
            if over is None:
                going[x] = chance
            else:
                ends[over] += chance
                mean += n * chance
    return ends, mean


def test_the_risks_are_those_of_all_endings_walked_through(make_story):
    plan = make_sequential(make_story(**PLAN).sealed.plan)
    assert (plan.block, plan.cap) == (4, 24)
    risks = find_risks(plan)
    guessing, mean = walk(plan, 1 / 3)
    size, mean_size = walk(plan, 2 / 3)
    assert risks.false_alarm == pytest.approx(guessing[0], rel=1e-9)
    assert risks.miss == pytest.approx(1 - size[0], rel=1e-9)
    assert (risks.mean_guessing, risks.mean_size) == pytest.approx((mean, mean_size), rel=1e-9)


def test_a_difference_ends_it_and_is_told_apart_without_a_p(make_story):
    # After 8 answers the upper line is at 6.08: 7 end it.
    story = end(make_story, [4, 3])
    finding, numbers = story.conclude(), read(story)
    assert finding.verdict.startswith("told_apart")
    assert numbers["p_value"] == "none: the answers decided when to stop"
    assert numbers["answers"] == "8 of 24"
    assert not {"pc", "pd", "d_prime", "critical"} & numbers.keys()
    assert "After 8 answers the sealed plan ended the test: 7 or more right were needed." in (
        finding.may_say
    )


def test_stopping_as_planned_is_neither_incomplete_nor_exploratory(make_story):
    analysis = end(make_story, [4, 3]).analyse()
    assert not analysis.incomplete
    assert analysis.exploratory == ()


def test_a_key_look_does_not_spoil_a_stop_that_the_plan_said(make_story):
    story = serve(make_story, [4, 3])
    story.tell(Kind.KEY_LOOKED, who="away", reason="a label came off").close().unseal()
    assert "stopped_after_key_look" not in story.analyse().exploratory


def test_the_lower_line_speaks_of_the_planned_size_alone(make_story):
    # After 8 answers the lower line is at 2.38: 2 end it.
    finding = end(make_story, [1, 1]).conclude()
    assert finding.verdict == "not_of_size"
    assert "smaller ones stay possible" in finding.headline
    assert "That nobody would notice." in finding.may_not_say


@pytest.mark.parametrize(
    ("rule", "verdict"), [("no decision", "undecided"), ("nearer line", "not_of_size")]
)
def test_between_the_lines_at_the_end_goes_as_it_was_sealed(make_story, rule, verdict):
    # 12 of 24: the lines are at 10.38 and 14.08, midway 12.23.
    sequential = {"beta": "0.1", "every": 1, "at_end": rule}
    story = end(make_story, [2] * 6, sequential=sequential)
    assert story.conclude().verdict == verdict


def test_closing_before_the_plan_says_stop_decides_nothing(make_story):
    story = serve(make_story, [2, 2], [False, False]).close("out of cups").unseal()
    finding = story.conclude()
    assert finding.verdict == "undecided"
    assert "closed before the sealed plan said stop" in finding.headline
    assert any("8 of 24 planned answers" in line for line in finding.limits)


def test_answers_after_the_end_are_left_out(make_story):
    story = serve(make_story, [4, 3])
    story.answer(next(one for one in story.main if one.round == 3), False)
    story.close().unseal()
    assert story.analyse().main.trials == 8
    assert any(
        "1 answer came after the answers had ended" in one for one in story.conclude().limits
    )


def test_an_answer_taken_out_after_the_word_makes_it_exploratory(make_story):
    story = serve(make_story, [4, 3])
    for gone in [one for one in story.main if one.round == 2][:3]:
        story.void(gone.id)
    assert story.close().unseal().conclude().verdict == "exploratory"
    assert story.analyse().exploratory == ("contradicted",)


def test_a_word_that_the_answers_do_not_bear_out_makes_it_exploratory(make_story):
    assert end(make_story, [4, 3, 4], [False, False, True]).analyse().exploratory == (
        "contradicted",
    )


def test_blocks_of_several_rounds_are_judged_when_all_of_them_are_there(make_story):
    sequential = {"beta": "0.1", "every": 2}
    story = make_story(**PLAN | {"sequential": sequential}).brew()
    for serving in [one for one in story.main if one.round < 3]:
        story.answer(serving, True)
    analysis = story.tell(Kind.BLOCK_JUDGED, block=1, stop=True).close().unseal().analyse()
    assert [step.trials for step in analysis.sequence.path if step.judged] == [8]
    assert analysis.exploratory == ()


def test_a_lost_serving_does_not_hold_a_block_up(make_story):
    story = make_story(**PLAN).brew()
    first = [one for one in story.main if one.round == 1]
    story.void(first[0].id)
    for serving in [one for one in story.main if one.round < 3 and one.id != first[0].id]:
        story.answer(serving, True)
    story.tell(Kind.BLOCK_JUDGED, block=1, stop=False)
    story.tell(Kind.BLOCK_JUDGED, block=2, stop=True).close().unseal()
    assert (story.analyse().main.trials, story.analyse().exploratory) == (7, ())


@pytest.mark.parametrize("right", [[0, 0], [1, 1], [2, 2], [4, 3], [4, 4], [2] * 6, [2, 1] * 3, []])
def test_no_sentence_claims_too_much_or_is_broken(make_story, right):
    story = end(make_story, right)
    text = render_text(story.conclude())
    tables = "".join(f"{one.title} {one.rows}" for one in list_tables(story.analyse()))
    assert not FORBIDDEN.search(text), FORBIDDEN.search(text)
    assert "{" not in text + tables
    assert not re.search(r"\b(None|nan|inf)\b", text + tables)
    finding = story.conclude()
    for sentence in (finding.headline, *finding.may_say, *finding.limits, *finding.next_steps):
        assert re.search(r"^[\w“✔✘].*[.”]$", sentence), sentence


def test_the_path_is_drawn_said_and_tabulated(make_story):
    analysis = end(make_story, [2, 3, 4]).analyse()
    assert find_family(analysis) is STOPPING
    figure = find_family(analysis).figures["path"]
    assert figure.draw(analysis) == figure.draw(analysis)
    assert figure.describe(analysis).startswith("Right answers against answers")
    looks = next(one for one in list_tables(analysis) if one.name == "looks")
    assert looks.rows == (
        ("4", "2", "0", "–", "go on"),
        ("8", "5", "2", "7", "go on"),
        ("12", "9", "4", "9", "stop"),
    )


def test_a_report_for_programs_has_the_way_of_the_count(make_story):
    found = report_tasting(end(make_story, [4, 3]).analyse())["analysis"]["sequence"]
    assert (found["decision"], found["decided_at"]) == ("difference", 8)


def test_a_next_plan_adds_rounds_and_never_a_control(make_story):
    undecided = suggest_repair(end(make_story, [2, 2, 2], rounds=3).analyse())
    rounds = int(undecided.changes["rounds"])
    longer = make_sequential(make_story(**PLAN | {"rounds": rounds}).sealed.plan)
    assert walk(longer, 1 / 3)[0][1] >= 0.95
    assert walk(longer, 2 / 3)[0][0] >= 0.9
    found = suggest_repair(end(make_story, [4, 3]).analyse())
    assert not {"null_control", "positive_control"} & found.changes.keys()


def test_a_late_guest_in_a_spare_seat_changes_no_round_that_was_judged(make_story):
    story = serve(make_story, [4, 3], spare_seats=1)
    for serving in story.spare[:2]:
        story.answer(serving, False)
    analysis = story.close().unseal().analyse()
    assert (analysis.main.trials, analysis.exploratory) == (8, ())
    assert any("counts the planned seats alone" in line for line in story.conclude().limits)


def test_a_spare_serving_in_place_of_a_lost_one_counts(make_story):
    story = make_story(**PLAN).brew()
    first = [one for one in story.main if one.round == 1]
    instead = next(one for one in story.spare if one.round == 1)
    story.void(first[0].id, instead.id).answer(instead, True)
    for serving in [one for one in story.main if one.round < 3 and one.id != first[0].id]:
        story.answer(serving, True)
    story.tell(Kind.BLOCK_JUDGED, block=1, stop=False)
    story.tell(Kind.BLOCK_JUDGED, block=2, stop=True).close().unseal()
    assert (story.analyse().main.trials, story.analyse().exploratory) == (8, ())
