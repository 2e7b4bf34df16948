"""Ladders are begun with a draft, copied step by step, and show what is unsealed alone."""

from uuid import UUID, uuid4

import pytest

from server.blinding.plans import Plan
from server.reports import ladder_words as words
from server.storage.tables import Tasting
from server.tastings.ladder_reading import list_free_drafts, list_ladders, read_ladder
from server.tastings.laddering import (
    MESSAGES,
    NO_DOSE,
    NO_STATE,
    TAKEN,
    add_step,
    start_ladder,
)
from server.tastings.refusals import Invalid, NotFound
from server.tastings.sealing import seal_tasting
from server.tastings.soaking import draft_soak
from tests.conftest import look_up
from tests.playing import Play
from tests.tastings.test_soaking import read, soak

ASKED = {"title": "Does the clip give anything off?", "kind": "dose", "parts": "0"}


@pytest.fixture
def soaked(bench, account):
    return draft_soak(bench, account.id, soak())


@pytest.fixture
def begin(bench, account, soaked):
    def start(**changed):
        return start_ladder(bench, account.id, ASKED | {"tasting": str(soaked)} | changed)

    return start


def play(bench, tasting_id, right):
    made = look_up(bench, tasting_id, seal_tasting(bench, tasting_id))
    played = Play(bench, made)
    played.fill(right)
    played.unseal()


def refuse(act):
    with pytest.raises(Invalid) as refused:
        act()
    return refused.value.messages


def test_a_draft_becomes_the_first_step(bench, account, soaked, begin):
    line = begin()
    (found,) = list_ladders(bench, account.id)
    assert (found.line, found.steps) == (str(line), ("no part",))
    assert read(bench, soaked).ladder.at == 0
    assert list_free_drafts(bench, account.id) == ()


def test_a_next_step_copies_the_plan_with_another_number_of_parts(bench, account, begin, soaked):
    line = begin()
    following = read(bench, add_step(bench, account.id, line, {"parts": "2"}))
    first = read(bench, soaked)
    assert (following.ladder.step, following.ladder.at) == ("2 parts", 2)
    assert (following.bench.soak.parts, first.bench.soak.parts) == (2, 0)
    assert (following.contrast, following.method) == (first.contrast, first.method)


def test_a_state_goes_along_with_the_soak(bench, account, begin):
    line = begin(kind="state", state="new")
    used = {"state": "used", "brews_before": "5"}
    following = read(bench, add_step(bench, account.id, line, used))
    assert following.ladder.step == "after 5 brews"
    assert (following.bench.soak.state, following.bench.soak.brews) == ("used", 5)


def test_no_trial_brew_and_no_look_goes_along(bench, account, begin, soaked):
    line = begin()
    with bench.writing() as db:
        row = db.get_one(Tasting, soaked)
        kept = row.plan | {"look_check": {"odd": [1], "picked": [1], "cue": ""}}
        kept["bench"] = kept["bench"] | {"unmatched_reason": "one kettle"}
        row.plan = kept
        db.add(row)
        db.commit()
    following = read(bench, add_step(bench, account.id, line, {"parts": "1"}))
    assert following.look_check is None
    assert following.bench.unmatched_reason == ""


@pytest.mark.parametrize(
    ("changed", "name"),
    [
        ({"title": " "}, "title"),
        ({"kind": "roast"}, "kind"),
        ({"tasting": "x"}, "tasting"),
        ({"tasting": str(UUID(int=9))}, "tasting"),
        ({"parts": "many"}, "parts"),
        ({"parts": "-1"}, "parts"),
        ({"kind": "state"}, "state"),
        ({"kind": "state", "state": "used", "brews_before": "0"}, "brews_before"),
        ({"kind": "state", "state": "used"}, "brews_before"),
    ],
)
def test_what_cannot_be_taken_has_a_message_beside_it(begin, changed, name):
    assert list(refuse(lambda: begin(**changed))) == [name]


def test_parts_are_counted_in_water_or_in_a_pot_alone(bench, account, make_draft):
    other = make_draft(contrast="same brewer")
    given = ASKED | {"tasting": str(other)}
    assert refuse(lambda: start_ladder(bench, account.id, given)) == {"tasting": NO_DOSE}


def test_a_draft_that_blames_nothing_is_no_step(bench, account, make_draft):
    given = ASKED | {"tasting": str(make_draft()), "kind": "state", "state": "new"}
    assert refuse(lambda: start_ladder(bench, account.id, given)) == {"tasting": NO_STATE}


def test_a_sealed_tasting_begins_no_ladder(bench, begin, soaked):
    seal_tasting(bench, soaked)
    assert refuse(begin) == {"tasting": MESSAGES["tasting"]}


def test_a_step_comes_once(bench, account, begin):
    line = begin()
    refused = refuse(lambda: add_step(bench, account.id, line, {"parts": "0"}))
    assert refused == {"parts": TAKEN}


def test_a_ladder_is_its_leaders_alone(bench, account, begin):
    line = begin()
    with pytest.raises(NotFound):
        read_ladder(bench, uuid4(), line)
    with pytest.raises(NotFound):
        add_step(bench, account.id, uuid4(), {"parts": "1"})


def test_nothing_sealed_shows_a_result(bench, account, begin, soaked):
    line = begin()
    add_step(bench, account.id, line, {"parts": "2"})
    play(bench, soaked, 9)
    first, second = read_ladder(bench, account.id, line).rungs
    assert (first.result.correct, first.result.trials) == (9, 18)
    assert (second.result, second.why) == (None, words.NOT_OVER)
    assert read_ladder(bench, account.id, line).result.said[0] == words.OPEN


def test_all_steps_unsealed_are_tested_for_a_rise(bench, account, begin, soaked):
    line = begin()
    second = add_step(bench, account.id, line, {"parts": "2"})
    play(bench, soaked, 9)
    play(bench, second, 18)
    found = read_ladder(bench, account.id, line).result
    assert found.trend.rises
    assert found.said[0] == words.RISES


def test_a_later_step_never_changes_an_earlier_ones_finding(bench, account, begin, soaked):
    line = begin()
    second = add_step(bench, account.id, line, {"parts": "2"})
    play(bench, soaked, 9)
    before = read_ladder(bench, account.id, line).rungs[0].result
    play(bench, second, 18)
    assert read_ladder(bench, account.id, line).rungs[0].result == before


def test_a_step_planned_when_all_results_are_known_is_named(bench, account, begin, soaked, clock):
    line = begin()
    clock.advance(minutes=1)
    second = add_step(bench, account.id, line, {"parts": "1"})
    for drafted, right in ((soaked, 9), (second, 12)):
        play(bench, drafted, right)
    clock.advance(days=1)
    third = add_step(bench, account.id, line, {"parts": "4"})
    play(bench, third, 18)
    said = read_ladder(bench, account.id, line).result.said
    assert words.LATE.format(step="4 parts") in said
    assert not any(one.startswith("“1 part” was planned") for one in said)


def test_the_step_is_sealed_with_its_tasting(bench, begin, soaked):
    begin()
    made = look_up(bench, soaked, seal_tasting(bench, soaked))
    assert made.sealed.plan.ladder.step == "no part"
    assert isinstance(made.sealed.plan, Plan)
