"""Words that no finding may use, over tastings of every kind."""

import re
from dataclasses import fields

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from server.blinding.events import CHECKLIST, Kind
from server.reports import (
    amendment_words,
    blinding_words,
    claim_words,
    headline_words,
    labels,
    limit_words,
    next_words,
    pair_words,
)
from server.reports.exports import render_text
from server.reports.tables import list_tables

FORBIDDEN = re.compile(
    r"safe|\bprov(e|es|ed|en|ing)\b|\bproof\b|\bsame\b|no difference|\bcompl(y|ies|ied)\b"
    r"|\bidentical\b|\bequivalent\b|\btaint",
    re.IGNORECASE,
)
SAID = (
    headline_words,
    claim_words,
    limit_words,
    amendment_words,
    next_words,
    blinding_words,
    pair_words,
    labels,
)
READINGS = st.sampled_from([[], ["1.30"], ["1.36"], ["1.45"]])
POTS = st.sampled_from(["separate", "blend", "single"])
HEATS = st.sampled_from([None, "58", "61", "66"])
FILLS = st.sampled_from([None, "30", "33", "40"])
LOOKS = st.sampled_from(
    [
        None,
        {"odd": (1, 2, 3, 1, 2, 3), "picked": (1, 2, 3, 1, 2, 1), "cue": "foam"},
        {"odd": (1, 2, 3, 1, 2, 3), "picked": (2, 2, 2, 2, 2, 2)},
    ]
)
POSITIVES = st.sampled_from(
    [None, *({"label": "12 % water added", "size_d_prime": d} for d in ("0.5", "1.5", "6"))]
)
SHARES = st.sampled_from(["0.05", "0.5", "0.95"])
METHODS = st.sampled_from(["triangle", "duo-trio", "tetrad", "two-out-of-five"])


def draw_sizes(draw, method):
    """Draw the size that matters and that of a control: as d′ or, where there is none, a share."""
    positive = draw(POSITIVES)
    if method != "two-out-of-five":
        return {"positive_control": positive, "size_d_prime": draw(st.sampled_from(D_PRIMES))}
    by_share = positive and positive | {"size_d_prime": None, "size_share": draw(SHARES)}
    return {"positive_control": by_share, "size_d_prime": None, "size_share": draw(SHARES)}


D_PRIMES = ["0.05", "1.5", "3"]


def tell_anything(make_story, data):
    """Draw a tasting with whatever may go right or wrong in one."""
    draw = data.draw
    assessors, rounds = draw(st.integers(1, 8)), draw(st.integers(1, 4))
    pourer, method = draw(st.sampled_from(["taster", "present", "absent", "relay"])), draw(METHODS)
    story = make_story(
        assessors=assessors, rounds=rounds, pourer=pourer, spare_seats=1, method=method,
        pots=draw(POTS), pot_ml="900", null_control=draw(st.booleans()), look_check=draw(LOOKS),
        begun=False, **draw_sizes(draw, method),
    )  # fmt: skip
    story.strike(*draw(st.lists(st.sampled_from(story.main), max_size=2, unique=True))).begin()
    for item in draw(st.lists(st.sampled_from(CHECKLIST), unique=True)):
        story.tell(Kind.CHECKED, item=item, done=True)
    if draw(st.booleans()):
        story.brew(*({"A": draw(one), "B": draw(one)} for one in (READINGS, HEATS, FILLS)))
    for purpose in story.sealed.plan.controls:
        story.taste(draw(st.integers(0, assessors)), draw(st.integers(0, assessors)), purpose)
    trials = draw(st.integers(0, assessors * rounds))
    story.taste(draw(st.integers(0, trials)), trials)
    for mishap in draw(st.lists(st.sampled_from(MISHAPS), max_size=4, unique=True)):
        mishap(story)
    if draw(st.booleans()):
        story.tell(Kind.ABANDONED, reason="no water")
    else:
        story.close(draw(st.sampled_from(["", "late"])), pourer)
        if draw(st.booleans()):
            story.answer(story.main[-1], True, Kind.LATE)
    return story.unseal(draw(st.booleans()))


def tell_anything_alone(make_alone, data):
    """Draw a tasting alone with whatever may go right or wrong in one."""
    draw = data.draw
    sittings, rounds = draw(st.integers(1, 3)), draw(st.integers(1, 4))
    direction = draw(st.sampled_from([None, {"attribute": "bitter", "more": "B"}]))
    size = {"size_d_prime": "1", "size_share": None} if direction else {}
    story = make_alone(
        sittings=sittings, rounds=rounds, pots=draw(POTS), pot_ml="900", look_check=draw(LOOKS),
        direction=direction, extends=draw(st.sampled_from(["", "ab" * 32])), **size,
    )  # fmt: skip
    if draw(st.booleans()):
        story.brew(*({"A": draw(one), "B": draw(one)} for one in (READINGS, HEATS, FILLS)))
    for number in range(1, draw(st.integers(0, sittings)) + 1):
        for serving in story.sitting(number):
            if draw(st.integers(0, 5)):
                cue, seconds = draw(st.sampled_from([None, "", "foam"])), draw(SECONDS)
                story.lock(serving, draw(st.booleans()), cue=cue, seconds=seconds)
            else:
                story.void(serving.id)
        for _ in range(draw(st.integers(1, 2))):
            photo = draw(st.sampled_from([None, "ab" * 32]))
            story.turn(
                number, draw(st.sets(st.sampled_from([one.id for one in story.main]))), photo
            )
    if draw(st.booleans()):
        story.tell(Kind.ABANDONED, reason="no water")
    else:
        story.close(draw(st.sampled_from(["", "late"])), draw(st.sampled_from(["alone", "taster"])))
    return story.unseal(draw(st.booleans()))


SECONDS = st.sampled_from([None, 3, 25])
MISHAPS = [
    lambda s: s.void(s.main[0].id, s.spare[0].id).answer(s.spare[0], True),
    lambda s: s.void(s.main[-1].id),
    lambda s: s.answer(s.main[0], False, Kind.CONTESTED, revision=2),
    lambda s: s.tell(Kind.CODES_DIFFER, serving=str(s.main[0].id)),
    lambda s: s.tell(Kind.KEY_LOOKED, who="taster", reason="a label came off"),
    lambda s: s.tell(Kind.KEY_LOOKED, who="present", reason="a label came off"),
    lambda s: s.tell(Kind.RESULTS_LOOKED, how="the page"),
    lambda s: s.erase([1]),
    lambda s: s.erase([one.seq for one in s.events if one.kind == Kind.ANSWERED][:1]),
]


def tell(make_story, make_alone, data):
    alone = data.draw(st.booleans())
    return tell_anything_alone(make_alone, data) if alone else tell_anything(make_story, data)


@settings(max_examples=40, deadline=None)
@given(data=st.data())
def test_no_finding_uses_a_forbidden_word_or_leaves_a_blank(make_story, make_alone, data):
    story = tell(make_story, make_alone, data)
    finding, tables = story.conclude(), list_tables(story.analyse())
    text = render_text(finding) + "".join(f"{t.title} {t.head} {t.rows}" for t in tables)
    assert not FORBIDDEN.search(text), FORBIDDEN.search(text)
    assert "{" not in text
    assert not re.search(r"\b(None|nan|inf)\b", text)


@settings(max_examples=20, deadline=None)
@given(data=st.data())
def test_every_sentence_of_a_finding_is_whole(make_story, make_alone, data):
    finding = tell(make_story, make_alone, data).conclude()
    lists = (getattr(finding, one.name) for one in fields(finding) if one.type == "tuple[str, ...]")
    for sentence in (finding.headline, *finding.may_say, *finding.limits, *finding.next_steps):
        assert re.search(r"^[\w“✔✘].*[.”]$", sentence), sentence
        assert "  " not in sentence
    assert all(isinstance(one, str) for sentences in lists for one in sentences)


@settings(max_examples=20, deadline=None)
@given(data=st.data())
def test_a_finding_that_was_not_told_apart_never_says_it_was(make_story, make_alone, data):
    story = tell(make_story, make_alone, data)
    analysis, finding = story.analyse(), story.conclude()
    if not analysis.main.detected or analysis.exploratory:
        assert not finding.verdict.startswith("told_apart")
        assert "could tell them apart" not in " ".join(finding.may_say)


@pytest.mark.parametrize(
    "written",
    ["It is safe.", "This proves it.", "They are the same.", "There is no difference.",
     "It complies.", "Unsafe", "a taint"],
)  # fmt: skip
def test_the_pattern_finds_what_it_is_for(written):
    assert FORBIDDEN.search(written)


def test_no_sentence_at_all_uses_a_forbidden_word():
    written = " ".join(
        repr(value) for said in SAID for name, value in vars(said).items() if name.isupper()
    )
    assert not FORBIDDEN.search(written)
