"""The gate before a brew's cups go out."""

import pytest

from server.reports.gate_words import NEEDS_REASON
from server.tastings import pouring
from server.tastings.pouring import note_brew, tick_poured
from server.tastings.refusals import Invalid, NotFound, Refusal, WrongState
from server.tastings.releasing import list_slot_gates, release_brew, suggest_reason
from tests.playing import Play

READ = {"temperature_c": "60", "fill_g": "40"}


@pytest.fixture
def play(bench, sealed_tasting):
    return Play(bench, sealed_tasting)


@pytest.fixture
def note(bench, sealed_tasting):
    """Note a reading of a slot."""

    def act(slot, tds, **more):
        note_brew(bench, sealed_tasting.id, range(1, 4), {"slot": slot, "tds": tds} | READ | more)

    return act


@pytest.fixture
def release(bench, sealed_tasting):
    """Release a slot, with a reason or without."""

    def act(slot, reason="", rounds=range(1, 4)):
        form = {"slot": slot, "release_reason": reason}
        release_brew(bench, sealed_tasting.id, rounds, form)

    return act


@pytest.fixture
def unmatched(note):
    note("A1", "1.30")
    note("B1", "1.45")


def pour(play, slot):
    tick_poured(play.bench, play.bar, slot, done=True)


def test_a_matched_brew_is_poured_and_needs_no_release(play, note):
    note("A1", "1.30")
    note("B1", "1.33")
    pour(play, "A1")
    assert "A1" in play.record.poured


def test_an_unread_brew_is_poured(play, note):
    note("B1", "1.45")
    pour(play, "A1")
    assert "A1" in play.record.poured


def test_a_read_brew_with_nothing_beside_it_is_poured(play, note):
    note("B1", "1.45")
    pour(play, "B1")
    assert "B1" in play.record.poured


@pytest.mark.usefixtures("unmatched")
@pytest.mark.parametrize("slot", ["A1", "B1"])
def test_an_unmatched_brew_waits_and_is_told_what_to_do(play, slot):
    with pytest.raises(Refusal) as refused:
        pour(play, slot)
    assert "strength (0.15 %TDS apart, limit 0.05 %TDS) not matched" in str(refused.value)
    assert "release it with a reason" in str(refused.value)
    assert play.record.poured == set()


@pytest.mark.usefixtures("unmatched")
def test_a_brew_poured_already_can_be_unticked_at_any_time(play, note, release):
    release("A1", "guests wait")
    pour(play, "A1")
    note("A1", "1.2")
    tick_poured(play.bench, play.bar, "A1", done=False)
    assert play.record.poured == set()


@pytest.mark.usefixtures("unmatched")
@pytest.mark.parametrize("reason", ["", " \n"])
def test_an_unmatched_brew_is_not_released_without_a_reason(play, release, reason):
    with pytest.raises(Invalid) as refused:
        release("A1", reason)
    assert refused.value.messages == {"release_reason": NEEDS_REASON}
    assert play.record.releases == {}


@pytest.mark.usefixtures("unmatched")
def test_a_reason_lets_it_go_and_stays_on_record(play, release):
    release("A1", " the guests\nwait ")
    pour(play, "A1")
    given = play.record.releases["A1"]
    assert given.reason == "the guests wait"
    assert given.found == {"strength": "not matched", "temperature": "matched", "fill": "matched"}


@pytest.mark.usefixtures("unmatched")
def test_a_reading_after_the_release_makes_it_wait_again_unless_it_matches(play, note, release):
    release("A1", "guests wait")
    note("B1", "1.50")
    with pytest.raises(Refusal):
        pour(play, "A1")
    note("B1", "1.31")
    pour(play, "A1")
    assert "A1" in play.record.poured


def test_a_matched_release_keeps_no_reason(play, note, release):
    note("A1", "1.30")
    note("B1", "1.30")
    release("A1", "whatever was typed")
    assert play.record.releases["A1"].reason == ""


@pytest.mark.usefixtures("unmatched")
def test_a_double_tap_releases_once(play, release):
    release("A1", "guests wait")
    version = play.record.version
    release("A1", "guests wait")
    assert play.record.version == version
    release("A1", "another reason")
    assert play.record.releases["A1"].reason == "another reason"


def test_an_unread_brew_has_nothing_to_release(play, release):
    with pytest.raises(Refusal, match="not read yet"):
        release("A1", "guests wait")
    assert play.record.releases == {}


@pytest.mark.usefixtures("unmatched")
@pytest.mark.parametrize(("slot", "rounds"), [("A99", (1, 2)), ("", (1,)), ("A1", (2, 3))])
def test_only_brews_of_the_links_rounds_are_released(release, slot, rounds):
    with pytest.raises(NotFound):
        release(slot, "guests wait", rounds)


def test_nothing_is_released_after_closing(play, note, release):
    note("A1", "1.3")
    play.close()
    with pytest.raises(WrongState):
        release("A1")


def test_a_brew_is_compared_within_its_round_alone(play, note):
    late = next(one.name for one in play.bar.slots(2) if one.sample == "B")
    note("A1", "1.30")
    note(late, "1.60")
    pour(play, "A1")
    assert "A1" in play.record.poured


@pytest.mark.usefixtures("unmatched")
def test_the_other_brew_of_the_round_is_offered_the_same_reason(play, release):
    release("A1", "guests wait")
    gates = list_slot_gates(play.bar.layout, play.record, play.bar.slots(1))
    assert [(one.slot.name, one.held) for one in gates] == [("A1", False), ("B1", True)]
    assert (suggest_reason(gates, 1), suggest_reason(gates, 2)) == ("guests wait", "")


def test_brews_of_a_control_are_not_compared(bench, make_tasting):
    made = make_tasting(null_control="on", pot_ml="1000")
    play = Play(bench, made)
    layout = play.bar.layout
    control = next(one for one in layout.comparisons if one.purpose == "null")
    number = next(one.round for one in layout.servings if one.comparison == control.name)
    slots = play.bar.slots(number)
    for slot, tds in zip(slots, ("1.0", "1.9"), strict=False):
        pouring.note_brew(bench, made.id, [number], {"slot": slot.name, "tds": tds} | READ)
    pour(play, slots[0].name)
    with pytest.raises(Refusal, match="belongs to a control"):
        release_brew(bench, made.id, [number], {"slot": slots[0].name})
