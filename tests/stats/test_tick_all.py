import dataclasses
import json
import time
from itertools import product

import numpy as np
import pytest

from server.stats.cochran_q import NOBODY_DIFFERED, analyse_cochran
from server.stats.multiple import holm
from server.stats.tick_all import (
    LEADS,
    LEFT_OUT,
    NOBODY,
    TICKS_ONLY,
    analyse_ticks,
    count_ticks,
)

# A tea bar lets six people tick words for water through three states of its filter cartridge.
PEOPLE, WATERS = ("ann", "bo", "cy", "di", "ed", "fi"), ("fresh", "flushed", "old")
PAPERY = [(1, 0, 1), (1, 0, 1), (1, 0, 1), (1, 0, 1), (1, 0, 1), (1, 0, 0)]
SWEET = [(0, 1, 0), (0, 1, 0), (0, 1, 1), (0, 0, 0), (0, 1, 0), (1, 1, 0)]
FLAT = [(0, 0, 0)] * 6


def tick(**words):
    """Answers by assessor, sample and word from a table of rows a word."""
    return {
        (who, what, word): bool(answer)
        for word, rows in words.items()
        for who, row in zip(PEOPLE, rows, strict=True)
        for what, answer in zip(WATERS, row, strict=True)
    }


def test_every_word_is_counted_and_tested_by_cochrans_q():
    found = analyse_ticks(tick(papery=PAPERY, sweet=SWEET))
    assert found.words["papery"].ticks == {"fresh": 6, "flushed": 0, "old": 5}
    assert [word.chi_square for word in found.words.values()] == [
        analyse_cochran(rows).chi_square for rows in (PAPERY, SWEET)
    ]


def test_all_words_share_one_risk_by_holms_method():
    found = analyse_ticks(tick(papery=PAPERY, sweet=SWEET, flat=FLAT)).words
    p_values = [analyse_cochran(rows).p_value for rows in (PAPERY, SWEET)]
    assert [found[name].p_holm for name in ("papery", "sweet")] == pytest.approx(holm(p_values))
    assert found["flat"].p_holm is None


def test_a_word_beyond_alpha_only_by_itself_is_a_lead():
    alone = analyse_ticks(tick(sweet=SWEET), alpha=0.2).words["sweet"]
    assert (alone.finding, alone.lead) == (True, False)
    many = analyse_ticks(tick(sweet=SWEET, more=SWEET), alpha=alone.p_value).words
    assert [(word.finding, word.lead) for word in many.values()] == [(False, True)] * 2


def test_a_lead_is_explained():
    alpha = analyse_cochran(SWEET).p_value
    assert analyse_ticks(tick(sweet=SWEET, more=SWEET), alpha).notes == (TICKS_ONLY, LEADS)
    assert analyse_ticks(tick(sweet=SWEET), alpha).notes == (TICKS_ONLY,)


def test_a_word_that_nobody_ticked_has_no_q_and_says_so():
    word = analyse_ticks(tick(flat=FLAT)).words["flat"]
    assert (word.chi_square, word.p_value, word.finding, word.lead) == (None, None, False, False)
    assert word.notes == (NOBODY_DIFFERED,)


def test_shares_are_of_those_who_answered_on_every_sample():
    ticked = tick(papery=PAPERY)
    del ticked["fi", "old", "papery"]
    word = analyse_ticks(ticked).words["papery"]
    assert (word.assessors, word.shares) == (5, {"fresh": 1, "flushed": 0, "old": 1})
    assert word.notes == (LEFT_OUT.format("fi"),)


def test_whoever_is_left_out_of_one_word_stays_in_the_others():
    ticked = tick(papery=PAPERY, sweet=SWEET)
    del ticked["fi", "old", "papery"]
    found = analyse_ticks(ticked).words
    assert (found["papery"].assessors, found["sweet"].assessors) == (5, 6)


def test_a_word_that_nobody_answered_on_every_sample_has_no_shares():
    ticked = {("ann", "fresh", "papery"): True, ("bo", "flushed", "papery"): True}
    word = analyse_ticks(ticked).words["papery"]
    assert (word.assessors, word.shares, word.notes) == (0, {}, (NOBODY,))


def test_pairs_within_a_word_carry_the_names_of_the_samples():
    pairs = analyse_ticks(tick(papery=PAPERY)).words["papery"].pairs
    assert [(pair.first, pair.second) for pair in pairs] == [
        ("fresh", "flushed"),
        ("fresh", "old"),
        ("flushed", "old"),
    ]


def test_the_table_of_ticks_has_a_row_a_sample_and_a_column_a_word():
    found = analyse_ticks(tick(papery=PAPERY, sweet=SWEET))
    assert count_ticks(found) == ((6, 1), (0, 5), (5, 1))


def test_words_ticked_alike_raise_an_alarm_no_more_often_than_the_level_all_together():
    rng = np.random.default_rng(12)
    alarms = 0
    for _ in range(80):
        answers = rng.random((12, 3, 6)) < rng.uniform(0.1, 0.8, (12, 1, 6))
        keys = list(product(range(12), range(3), range(6)))
        ticked = {(f"p{a}", f"s{b}", f"w{c}"): bool(answers[a, b, c]) for a, b, c in keys}
        alarms += any(word.finding for word in analyse_ticks(ticked).words.values())
    assert alarms <= 9  # of 80 at 5 %; more has a chance of 1 %


def test_a_whole_sheet_of_a_large_panel_takes_seconds():
    rng = np.random.default_rng(5)
    keys = product(range(60), range(6), range(20))
    ticked = {(f"p{a}", f"s{b}", f"w{c}"): bool(rng.random() < 0.4) for a, b, c in keys}
    started = time.process_time()
    assert len(analyse_ticks(ticked).words) == 20
    assert time.process_time() - started < 8


def test_one_sample_is_refused():
    with pytest.raises(ValueError, match="ticked must be of two samples or more, not 1"):
        analyse_ticks({("ann", "fresh", "papery"): True})


def test_a_level_outside_0_to_1_is_refused():
    with pytest.raises(ValueError, match="alpha must be above 0 and below 1, not 0"):
        analyse_ticks(tick(papery=PAPERY), alpha=0)


@pytest.mark.parametrize("rows", [PAPERY, FLAT])
def test_the_result_is_strict_json(rows):
    found = dataclasses.asdict(analyse_ticks(tick(papery=rows)))
    assert json.loads(json.dumps(found, allow_nan=False))["words"]["papery"]["assessors"] == 6
