"""Every state a test can end in, with what may be said of it, what may not, and what is next.

The rows are the project's own table of permitted conclusions, in the words of its reports.
That strength, heat and looks are rival causes, that two brews of one sample must not be told
apart, and that a miss counts only beside a known difference that was found, is common
practice, no source.
"""

import re
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import pytest

from server.blinding.events import Kind
from server.blinding.plans import Purpose
from server.reports.exports import render_text

POSITIVE = {"label": "12 % water added", "size_d_prime": "6"}
BOTH = {"null_control": True, "positive_control": POSITIVE}
LARGE = BOTH | {"size_d_prime": "3"}  # a size that 18 answers find with a good chance
LOOKS = {"odd": (1, 2, 3, 1, 2, 3), "picked": (1, 2, 3, 1, 2, 1)}
CAUSES = re.compile(
    r"material|maker|cartridge caused|because of|taint|stronger|weaker|better|worse|customers",
    re.IGNORECASE,
)
ABSENCE = re.compile(
    r"no difference|\bsame\b|\bsafe\b|\balike\b|nobody would|identical|cannot be told apart",
    re.IGNORECASE,
)
SIMILARITY = re.compile(
    r"(?<!shown that )\b(fewer|less) than [^.]*\b(would notice|noticed)"
    r"|\b(?<!planned as a )similar|equivalent",
    re.IGNORECASE,
)


@dataclass(frozen=True)
class Row:
    """One state: how it comes about, and what the finding of it must and must not say."""

    state: str
    tell: Callable[[Any], Any]
    verdict: str
    says: tuple[str, ...]
    forbids: tuple[str, ...]
    next: str
    never: re.Pattern[str] = CAUSES
    alone: bool = False


def stage(right, null=2, positive=6, tds=None, **changes):
    """Stage a whole tasting: so many right of 18, of 6 null and of 6 positive answers."""

    def tell(make_story):
        story = make_story(**changes).brew(tds).taste(right)
        if story.sealed.plan.null_control:
            story.taste(null, purpose=Purpose.NULL)
        if story.sealed.plan.positive_control:
            story.taste(positive, purpose=Purpose.POSITIVE)
        return story.close().unseal()

    return tell


def spoil(happen, **close):
    """Stage a tasting of 12 right answers in which something happens before closing."""

    def tell(make_story):
        story = make_story(**BOTH).brew().taste(12)
        happen(story)
        return story.close(**close).unseal(close.get("reason") != "seal broken")

    return tell


def sit(*right, spoil=None, tds=None, pourer="alone", reason="", **changes):
    """Stage sittings alone: so many right of three each; ``spoil`` happens before closing."""

    def tell(make_alone):
        story = make_alone(**{"sittings": len(right)} | changes).brew(tds).sit_all(*right)
        if spoil:
            spoil(story)
        return story.close(reason, pourer).unseal()

    return tell


def look(kind, **body):
    return lambda story: story.tell(kind, **body)


def step(right, said=True):
    """Stage whole rounds of six people under a sequential plan; ``said`` is its last word."""

    def tell(make_story):
        sequential = {"beta": "0.1", "every": 1}
        size = {"size_d_prime": None, "size_share": "0.5"}
        story = make_story(rounds=6, stop_rule="sequential", sequential=sequential, **size).brew()
        for number, count in enumerate(right, 1):
            for at, one in enumerate(one for one in story.main if one.round == number):
                story.answer(one, at < count)
            stop = said and number == len(right)
            story.tell(Kind.BLOCK_JUDGED, block=number, stop=stop)
        return story.close("" if said else "the shop opens").unseal()

    return tell


FEW = {
    "assessors": 60, "rounds": 1, "size_d_prime": None, "size_share": "0.3",
    "similarity": {"limit": "0.3", "beta": "0.05"},
}  # fmt: skip
COULD = "“I could tell them apart in these conditions.”"
ME = "Anything about other people or customers."
APART = "“This panel could tell them apart in these brews.”"
RIVAL = "Told apart; {} a rival cause."
MISSED = ("Not detected at the planned level in these brews.",)
ALLOWS = "would come up in fewer than 5 of 100 such tests. This was not planned as a similarity"
UNMATCHED = {"A": ["1.30"], "B": ["1.41"]}
PART = "That a part, its material or its maker caused it."
NO_MISS = ("That the two taste alike.", "That the part leaves no taste.", "That nobody would")
NOT_PLANNED = "The p-value as if the test had gone as planned."
OPEN = "a lead for a new test, not a finding"
AGAIN = "Seal a new tasting"

ROWS = [
    Row(
        "told apart, matched, null control unnoticed and positive control noticed",
        stage(11, **BOTH), "told_apart", (APART,),
        (PART, "Why they differ, how strongly", "That drinkers in general"),
        "Ask what differs: name one attribute",
    ),
    Row(
        "told apart, strength not matched",
        stage(11, tds=UNMATCHED, **BOTH), "told_apart_not_matched",
        (RIVAL.format("strength is"), "strength was not matched: a rival cause"),
        ("That anything but strength made them differ.", PART),
        "Bring strength within the planned limit and repeat.",
    ),
    Row(
        "told apart, and so were two brews of one sample",
        stage(11, null=5, **BOTH), "told_apart_brews",
        ("Brew-to-brew differences alone are noticeable.", "5 of 6 servings of two brews"),
        ("That a part, its material or its maker had any effect.",),
        "pour every cup from a blend",
    ),
    Row(
        "told apart, and so were two brews, and strength was not matched",
        stage(11, null=6, tds=UNMATCHED, **BOTH), "told_apart_brews",
        ("Brew-to-brew differences alone are noticeable.",),
        ("That a part, its material or its maker had any effect.",),
        "more brews",
    ),
    Row(
        "not detected, positive control noticed, good chance",
        stage(8, **LARGE), "not_detected", (*MISSED, ALLOWS, "Not detected: 8 of 18"),
        NO_MISS, "is small enough", ABSENCE,
    ),
    Row(
        "not detected, positive control missed",
        stage(8, positive=3, **LARGE), "inconclusive_control_missed",
        ("Inconclusive: not detected, but a small known difference was missed as well.",),
        NO_MISS, "Find out why a known difference was missed", ABSENCE,
    ),
    Row(
        "not detected, positive control too small to tell",
        stage(8, **LARGE | {"positive_control": POSITIVE | {"size_d_prime": "1"}}),
        "inconclusive_control_small",
        ("Inconclusive: not detected, and the positive control was too small to tell",),
        NO_MISS, "Give the positive control at least", ABSENCE,
    ),
    Row(
        "not detected, no positive control",
        stage(8, size_d_prime="3"), "inconclusive_unshown",
        ("Inconclusive: not detected, and nothing showed",), NO_MISS, "Serve a positive control",
        ABSENCE,
    ),
    Row(
        "not detected, positive control noticed, little chance at the size that matters",
        stage(8, **BOTH), "inconclusive_weak",
        ("such tests would miss a difference of the size that matters",), NO_MISS,
        "Plan at least 57 answers", ABSENCE,
    ),
    Row(
        "stopped early after a look at the key",
        lambda make_story: make_story(**BOTH).brew().taste(9, 12)
        .tell(Kind.KEY_LOOKED, who="away", reason="spill").close("late").unseal(),
        "exploratory", (OPEN, "stopped short of its plan"), (NOT_PLANNED,), AGAIN,
    ),
    Row(
        "results looked at",
        spoil(look(Kind.RESULTS_LOOKED, how="page")),
        "exploratory", (OPEN, "looked at the results"), (NOT_PLANNED,), AGAIN,
    ),
    Row(
        "key looked at by somebody who tastes",
        spoil(look(Kind.KEY_LOOKED, who="taster", reason="spill")),
        "exploratory", (OPEN, "the tasting was open"), (NOT_PLANNED,), AGAIN,
    ),
    Row(
        "key does not match the seal",
        spoil(lambda story: story, reason="seal broken"),
        "exploratory", (OPEN, "does not match the published seal"), (NOT_PLANNED,),
        "Find out why seal and record do not fit",
    ),
    Row(
        "told apart, but the odd cup could be found by looking",
        stage(11, look_check=LOOKS, **BOTH), "told_apart_not_matched",
        (RIVAL.format("looks are"),), ("That anything but looks made them differ.",),
        "Make the cups look alike",
    ),
    Row(
        "one taster, told apart",
        stage(11, assessors=1, rounds=18, spare_seats=0), "told_apart",
        ("“I could tell them apart in these conditions.”",),
        ("Anything about other people or customers.",), "Ask a panel",
    ),
    Row(
        "one taster, not detected",
        stage(8, assessors=1, rounds=18, spare_seats=0), "inconclusive_weak",
        ("“I have not shown that I can tell them apart in these conditions.”",),
        ("Anything about other people or customers.",), "Ask a panel", ABSENCE,
    ),
    Row(
        "fewer right than guessing gives",
        stage(0, **BOTH), "below_guessing",
        ("below guessing; check key and trays", "a wrong key or swapped trays"),
        ("That the tasters noticed the opposite",), "Check key and trays", ABSENCE,
    ),
    Row(
        "alone, told apart, matched",
        sit(3, 3, 2, 2, 1, 1), "told_apart", (COULD,), (PART, ME), "Ask a panel", alone=True,
    ),
    Row(
        "alone, told apart, strength not matched",
        sit(3, 3, 2, 2, 1, 1, tds=UNMATCHED), "told_apart_not_matched",
        (COULD, RIVAL.format("strength is")), ("That anything but strength made them differ.", ME),
        "Bring strength within the planned limit and repeat.", alone=True,
    ),
    Row(
        "alone, not detected, little chance at the size that matters",
        sit(1, 1, 1, 1, 1, 1, size_share="0.3"), "inconclusive_weak",
        ("“I have not shown that I can tell them apart in these conditions.”",),
        (*NO_MISS, ME), "Plan at least 42 answers", ABSENCE, alone=True,
    ),
    Row(
        "alone, not detected, good chance, but no control can be served",
        sit(2, 2, 1, 1, 1, 1), "inconclusive_unshown",
        ("nothing showed that this one taster notices a small known difference",),
        (*NO_MISS, ME), "With a helper who pours, serve a positive control", ABSENCE, alone=True,
    ),
    Row(
        "alone, stopped when marks had been turned",
        sit(3, 3, 3, sittings=6, reason="clear enough"), "exploratory",
        (OPEN, "a part of the result was known"), (NOT_PLANNED,), "taste every one", alone=True,
    ),
    Row(
        "alone, a mark of answered cups was seen",
        sit(3, 3, 3, spoil=lambda story: story.tell(Kind.RESULTS_LOOKED, how="a mark came off")),
        "exploratory", (OPEN, "looked at the results"), (NOT_PLANNED,), "planned beforehand",
        alone=True,
    ),
    Row(
        "alone, the taster knew which cup was which",
        sit(3, 3, 3, pourer="taster"), "exploratory", (OPEN, "the tasting was open"),
        (NOT_PLANNED,), "Seal a new tasting with all its sittings", alone=True,
    ),
    Row(
        "alone, every right answer named a cue",
        lambda make_alone: make_alone(sittings=3).brew().sit_all(3, 3, 3, cue="foam")
        .close().unseal(),
        "exploratory", (OPEN, "something other than smell and taste"), (NOT_PLANNED,),
        "Mend what gave cups away", alone=True,
    ),
    Row(
        "alone, more of a tasting whose result was known",
        sit(3, 3, 3, extends="ab" * 32), "exploratory", (OPEN, "an earlier tasting"),
        (NOT_PLANNED, "add up"), "Seal a new tasting with all its sittings", alone=True,
    ),
    Row(
        "alone, fewer right than guessing gives",
        sit(0, 0, 0, 0, 0, 0), "below_guessing", ("below guessing; check key and trays",),
        ("That the tasters noticed the opposite",), "Check key and trays", ABSENCE, alone=True,
    ),
    Row(
        "similarity planned and passed, one judgement a person",
        stage(20, **FEW), "few",
        ("fewer than 30% of judgements noticed", "were sealed before the first sip"),
        ("That the two taste alike.", "That nobody would notice."), "Accept it", ABSENCE,
    ),
    Row(
        "similarity planned and passed, but a known difference was missed",
        stage(20, positive=9, **FEW | {"positive_control": POSITIVE}),
        "inconclusive_control_missed", MISSED, NO_MISS, "Find out why", ABSENCE,
    ),
    Row(
        "similarity planned and not passed",
        stage(26, **FEW), "few_unshown", ("25 or fewer were needed",),
        ("a miss does not show it", "That they can be told apart."), "positive control", ABSENCE,
    ),
    Row(
        "stopped as a sequential plan said, above",
        step([4, 6]), "told_apart", (APART, "the sealed plan ended the test"),
        (PART, "A p-value or limits"), "null control",
    ),
    Row(
        "stopped as a sequential plan said, below",
        step([2, 2]), "not_of_size", ("smaller ones stay possible",),
        (*NO_MISS, "That a smaller share than"), "plan a test for it", ABSENCE,
    ),
    Row(
        "closed before a sequential plan said stop",
        step([3, 3], said=False), "undecided", ("6 of 12 answers were right.",),
        ("That they can or cannot be told apart.",), AGAIN, ABSENCE,
    ),
]  # fmt: skip


@pytest.fixture(params=ROWS, ids=lambda row: row.state)
def told(request, make_story, make_alone):
    """A row of the table, and the finding of a tasting that ended in its state."""
    make = make_alone if request.param.alone else make_story
    return request.param, request.param.tell(make).conclude()


def test_each_state_has_its_own_conclusion(told):
    row, finding = told
    assert finding.verdict == row.verdict


def test_what_may_be_said_is_said(told):
    row, finding = told
    said = " ".join((finding.headline, *finding.may_say))
    assert [one for one in row.says if one not in said] == []


def test_what_may_not_be_said_is_listed_as_such(told):
    row, finding = told
    forbidden = " ".join(finding.may_not_say)
    assert [one for one in row.forbids if one not in forbidden] == []


def test_what_may_not_be_said_is_never_said(told):
    row, finding = told
    said = " ".join((finding.headline, *finding.may_say))
    assert row.never.search(said) is None


def test_each_state_has_its_next_step(told):
    row, finding = told
    assert row.next in " ".join(finding.next_steps)


def test_an_exploratory_p_is_marked_wherever_it_stands(told):
    row, finding = told
    p = next(line.value for line in finding.numbers if line.name == "p_value")
    assert ("(not as planned)" in p) == (row.verdict == "exploratory")


def test_similarity_is_said_only_where_it_was_planned(told):
    # A claim that fewer than some share notice needs a limit and a risk fixed beforehand.
    row, finding = told
    said = finding.headline if row.verdict.startswith("few") else render_text(finding)
    if not row.state.startswith("similarity planned and passed, but"):
        assert bool(SIMILARITY.search(" ".join(said.split()))) == (row.verdict == "few")


@pytest.mark.parametrize(
    "claim",
    [
        "Fewer than 30% of such tasters would notice.",
        "Fewer than 30% noticed.",
        "They are similar.",
        "equivalent",
    ],
)
def test_the_pattern_for_similarity_finds_what_it_is_for(claim):
    assert SIMILARITY.search(claim)


def test_an_allowed_share_is_never_called_more_than_a_limit(make_story):
    # One-sided exact 95 % limit for 8 of 18 by scipy.stats, as a share of judgements.
    from scipy.stats import binomtest

    high = binomtest(8, 18, alternative="less").proportion_ci(0.95, method="exact").high
    finding = stage(8, **LARGE)(make_story).conclude()
    assert (
        f"If the difference were noticed in more than {150 * (high - 1 / 3):.1f}% of judgements, "
        "so few right answers would come up in fewer than 5 of 100 such tests. "
        "This was not planned as a similarity test."
    ) in finding.may_say


def test_what_may_be_said_of_a_miss_is_not_repeated_as_a_limit(make_story):
    finding = stage(8, **LARGE)(make_story).conclude()
    assert not set(finding.may_say) & set(finding.limits)
