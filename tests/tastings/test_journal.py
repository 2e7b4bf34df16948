"""Every use case in every state: what may happen happens, what may not changes nothing."""

from pathlib import Path
from uuid import UUID

import pytest

from server.blinding.chain import verify_chain
from server.blinding.events import Kind, State
from server.storage import queries
from server.storage.tables import Tasting
from server.tastings import answering, closing, pouring, seating
from server.tastings.drafts import change_draft, delete_draft
from server.tastings.journal import open_journal
from server.tastings.refusals import NotFound, Refusal, WrongState
from server.tastings.sealing import seal_tasting
from server.tastings.voiding import void_place
from tests.playing import Play
from tests.snapshots import copy_database

DRAFT, SEALED, SERVING, CLOSED, UNSEALED, ABANDONED = State


def note_brew(play):
    form = {"slot": "A1", "tds": "1.3"}
    pouring.note_brew(play.bench, play.made.id, [1], form)


def void_by_pourer(play):
    pouring.void_serving(play.bench, play.bar, play.made.servings(2)[0].id, "spilt")


def confirm(play):
    serving = play.made.servings(2)[0].id
    answering.confirm_codes(play.bench, play.made.tokens[2], serving, differ=False)


def call(play, seat=2):
    serving = play.made.servings(seat)[0].id
    answering.confirm_codes(play.bench, play.made.tokens[seat], serving, differ=True)


def answer(play):
    serving = play.made.servings(2)[0]
    play.send(2, serving, {"pick": serving.codes[0]})


# What is done, and the states in which it may be done.
ACTS = {
    "seal": (lambda p: seal_tasting(p.bench, p.made.id), {DRAFT}),
    "delete": (lambda p: delete_draft(p.bench, p.made.id), {DRAFT}),
    "tick poured": (
        lambda p: pouring.tick_poured(p.bench, p.bar, "A1", done=True),
        {SEALED, SERVING},
    ),
    "tick served": (
        lambda p: pouring.tick_served(p.bench, p.bar, p.made.servings(2)[0].id, done=True),
        {SEALED, SERVING},
    ),
    "settle a call": (
        lambda p: pouring.settle_call(p.bench, p.bar, p.made.servings(3)[0].id),
        {SERVING},  # nobody has called before
    ),
    "void by the pourer": (void_by_pourer, {SEALED, SERVING}),
    "note a brew": (note_brew, {SEALED, SERVING, CLOSED}),
    "take a seat": (
        lambda p: seating.take_seat(p.bench, p.made.code, 2, "5eed", ""),
        {SEALED, SERVING},
    ),
    "read the instructions": (
        lambda p: seating.read_instructions(p.bench, p.made.tokens[2]),
        {SEALED, SERVING},
    ),
    "confirm codes": (confirm, {SEALED, SERVING}),
    "call": (call, {SEALED, SERVING}),
    "answer": (answer, {SEALED, SERVING, CLOSED, UNSEALED, ABANDONED}),  # late ones are kept
    "close": (
        lambda p: closing.close_tasting(p.bench, p.made.id, "late", "absent"),
        {SEALED, SERVING},
    ),
    "abandon": (lambda p: closing.abandon_tasting(p.bench, p.made.id, "late"), {SEALED, SERVING}),
    "unseal": (lambda p: closing.unseal_tasting(p.bench, p.made.id), {CLOSED, ABANDONED}),
    "look at the key": (
        lambda p: closing.look_at_key(p.bench, p.made.id, "away", "a guest is ill"),
        {SEALED, SERVING, CLOSED},
    ),
    "settle a contest": (
        lambda p: closing.settle_contest(p.bench, p.made.id, p.made.servings(1)[0].id, "2"),
        {SERVING, CLOSED},  # nothing is contested before
    ),
    "void by the leader": (
        lambda p: void_place(p.bench, p.made.id, "2", "1", "swapped"),
        {SEALED, SERVING, CLOSED},
    ),
}
THROUGH_A_LINK = {
    "tick poured",
    "tick served",
    "settle a call",
    "void by the pourer",
    "read the instructions",
    "confirm codes",
    "call",
    "answer",
}  # a draft has no links
SILENT = {("settle a call", SEALED), ("unseal", UNSEALED)}  # granted, and nothing to do

CASES = [
    (name, state)
    for name in ACTS
    for state in State
    if (state != DRAFT or name not in THROUGH_A_LINK) and (name, state) not in SILENT
]


class Draft:
    """A draft in the clothes of a sealed tasting: it has no seats and no links."""

    def __init__(self, bench, tasting_id):
        self.id = tasting_id
        with bench.reading() as db:
            self.code = db.get_one(Tasting, tasting_id).join_code

    def servings(self, _):
        """No serving is drawn."""
        return [self]


@pytest.fixture(scope="module")
def kept(tmp_path_factory):
    """A folder for one database a state, and what was made in it."""
    return tmp_path_factory.mktemp("states"), {}


@pytest.fixture
def build(bench, make_draft, make_tasting):
    """Make a tasting in a state; from serving on seat 1 is contested and seat 3 calls."""

    def build(state):
        if state == DRAFT:
            return Draft(bench, make_draft())
        play = Play(bench, make_tasting(assessors="3", rounds="1"))
        if state != SEALED:
            play.contest(1)
            call(play, 3)
        if state == ABANDONED:
            closing.abandon_tasting(bench, play.made.id, "the kettle broke")
        if state in (CLOSED, UNSEALED):
            play.close()
        if state == UNSEALED:
            closing.unseal_tasting(bench, play.made.id)
        return play.made

    return build


@pytest.fixture
def bring_to(bench, kept, build):
    """Bring a tasting to a state; each is made once and kept as a file."""
    folder, made = kept
    here = Path(bench.engine.url.database)

    def bring(state):
        if state not in made:
            made[state] = build(state)
            copy_database(here, folder / state)
        copy_database(folder / state, here)
        bench.rng.seed(f"after {state}")
        return Play(bench, made[state])

    return bring


@pytest.mark.parametrize(("name", "state"), CASES)
def test_a_use_case_is_granted_or_changes_nothing(bring_to, stored, name, state):
    play = bring_to(state)
    act, allowed = ACTS[name]
    before = stored()
    if state in allowed:
        act(play)
        assert stored() != before
    else:
        with pytest.raises(Refusal):
            act(play)
        assert stored() == before


@pytest.mark.parametrize(
    ("name", "state"), [("close", CLOSED), ("close", DRAFT), ("unseal", SEALED), ("seal", SERVING)]
)
def test_a_refusal_names_the_state(bring_to, name, state):
    with pytest.raises(WrongState, match=state.value):
        ACTS[name][0](bring_to(state))


@pytest.mark.parametrize(("name", "state"), sorted(SILENT))
def test_what_is_done_already_changes_nothing(bring_to, stored, name, state):
    play = bring_to(state)
    before = stored()
    ACTS[name][0](play)
    assert stored() == before


@pytest.mark.parametrize("state", list(State))
def test_state_version_and_head_are_those_of_the_chain(bench, bring_to, state):
    play = bring_to(state)
    with bench.reading() as db:
        tasting = db.get_one(Tasting, play.made.id)
    record = play.record
    assert tasting.state == state
    assert (tasting.version, tasting.head or "") == (record.version, record.head)


def test_the_chain_holds_from_seal_to_unsealing(bench, bring_to):
    play = bring_to(UNSEALED)
    with bench.reading() as db:
        assert not verify_chain(play.made.seal, queries.load_events(db, play.made.id))


def test_serving_begins_once(bench, play):
    for done in (True, False, True):
        pouring.tick_poured(bench, play.bar, "A1", done=done)
    with bench.reading() as db:
        kinds = [one.kind for one in queries.load_events(db, play.made.id)]
    assert kinds == [Kind.SERVING_BEGAN, Kind.POURED, Kind.POURED, Kind.POURED]


def break_half_way(play):
    with open_journal(play.bench, play.made.id, [SEALED]) as journal:
        journal.begin_serving()
        raise ZeroDivisionError


def test_a_fault_half_way_leaves_no_event(play, stored):
    before = stored()
    with pytest.raises(ZeroDivisionError):
        break_half_way(play)
    assert stored() == before


def test_there_is_no_journal_of_what_is_not_there(bench):
    with pytest.raises(NotFound), open_journal(bench, UUID(int=1, version=4), list(State)):
        pass


def test_there_is_no_journal_of_a_draft(bench, draft):
    with pytest.raises(WrongState), open_journal(bench, draft, list(State)):
        pass


def test_a_sealed_plan_cannot_be_changed(bench, play, plan_input, stored):
    before = stored()
    with pytest.raises(WrongState):
        change_draft(bench, play.made.id, plan_input(rounds="4"))
    assert stored() == before
