"""Pieces of a part: what is kept of them, and how their brews are counted."""

from uuid import UUID

import pytest

from server.storage import tables
from server.tastings import specimens
from server.tastings.journal import AT_THE_TABLE, open_journal
from server.tastings.refusals import Invalid, NotFound

SIEVE = {"label": "sieve 1", "part": "steel sieve", "state": "new", "note": "smells of nothing"}
RECIPE = {"title": "Green tea", "dose_g": "6", "water_g": "500"}


@pytest.fixture
def add(bench, account):
    """Keep a piece; any field can be changed."""
    return lambda **changed: specimens.add_specimen(bench, account.id, SIEVE | changed)


@pytest.fixture
def find(bench, account):
    return lambda specimen_id: specimens.get_specimen(bench, account.id, specimen_id)


@pytest.fixture
def brew(bench, account):
    """Store a brew on the bench, kept or not."""

    def store(specimen_id, *, kept=True, body=None, **columns):
        with bench.writing() as db:
            row = tables.Brew(
                account_id=account.id,
                recipe=RECIPE,
                specimen_id=specimen_id,
                body=body or {},
                created_at=bench.clock(),
                kept_at=bench.clock() if kept else None,
                **columns,
            )
            db.add(row)
            db.commit()

    return store


@pytest.fixture
def note(bench):
    """Append a `brewed` event that names a piece."""

    def append(tasting, slot, label, **more):
        part = {"part": {"specimen": label}} if label else {}
        readings = {"tds": [], "temperature_c": None, "fill_g": None, "time": None, "note": ""}
        with open_journal(bench, tasting.id, AT_THE_TABLE) as journal:
            journal.append("brewed", slot=slot, **readings, brew=part | more)

    return append


def test_a_piece_is_kept_as_it_was_typed(add, find):
    kept = find(add())
    assert (kept.label, kept.part, kept.state, kept.note) == tuple(SIEVE.values())
    assert kept.is_fresh


def test_the_same_form_again_makes_no_second_piece(bench, account, add):
    assert add() == add()
    assert len(specimens.list_specimens(bench, account.id)) == 1


def test_two_pieces_cannot_share_a_label(add):
    add()
    with pytest.raises(Invalid) as refused:
        add(part="cloth filter")
    assert refused.value.messages == {"label": specimens.MESSAGES["taken"]}


@pytest.mark.parametrize(
    ("changed", "field"),
    [
        ({"label": " "}, "label"),
        ({"part": ""}, "part"),
        ({"state": "shiny"}, "state"),
        ({"brews_before": "-1"}, "brews_before"),
        ({"brews_before": "2.5"}, "brews_before"),
        ({"note": "x" * 2001}, "note"),
        ({"brews_before": "3"}, "state"),
    ],
)
def test_what_cannot_be_is_refused_beside_its_field(add, changed, field):
    with pytest.raises(Invalid) as refused:
        add(**changed)
    assert refused.value.messages == {
        field: specimens.MESSAGES.get("not_new" if changed == {"brews_before": "3"} else field)
    }


def test_nobody_finds_the_pieces_of_others(bench, add):
    with pytest.raises(NotFound):
        specimens.get_specimen(bench, UUID(int=5), add())


def test_brews_before_and_brews_kept_are_added_up(add, find, brew):
    piece = add(state="used", brews_before="7")
    brew(piece)
    brew(piece, kept=False)
    brew(piece, body={"shots": 2})
    assert find(piece).brews == 10


def test_a_noted_brew_of_a_sealed_slot_counts_for_the_piece_it_names(
    add, find, note, sealed_tasting
):
    piece = add()
    note(sealed_tasting, "A1", "sieve 1")
    note(sealed_tasting, "A2", "sieve 9")
    assert find(piece).brews == 1


def test_a_slot_and_its_working_copy_count_once(add, find, note, brew, sealed_tasting):
    piece = add()
    brew(piece, tasting_id=sealed_tasting.id, level="A", slot="A1")
    note(sealed_tasting, "A1", "sieve 1")
    assert find(piece).brews == 1


def test_a_later_note_moves_the_brew_to_another_piece(add, find, note, sealed_tasting):
    first, second = add(), add(label="sieve 2")
    note(sealed_tasting, "A1", "sieve 1")
    note(sealed_tasting, "A1", "sieve 2")
    assert (find(first).brews, find(second).brews) == (0, 1)


def test_a_blend_counts_every_brew_in_it(add, find, note, make_tasting):
    made = make_tasting(pots="blend")
    note(made, "A1", "sieve 1")
    piece = add()
    assert find(piece).brews == next(one.brews for one in made.sealed.slots if one.name == "A1")
    assert find(piece).brews >= 2


def test_a_change_of_state_is_dated_and_a_second_tap_changes_nothing(bench, account, add, find):
    piece = add()
    for _ in range(2):
        specimens.change_specimen(
            bench, account.id, piece, {"state": "washed", "note": "boiled\r\ntwice"}
        )
    kept = find(piece)
    assert (kept.state, kept.note) == ("washed", "boiled\ntwice")
    assert kept.changes == ("2031-05-14: new → washed",)


def test_a_piece_that_has_brewed_is_never_new_again(bench, account, add, brew):
    piece = add(state="used")
    brew(piece)
    with pytest.raises(Invalid) as refused:
        specimens.change_specimen(bench, account.id, piece, {"state": "new"})
    assert refused.value.messages == {"state": specimens.MESSAGES["not_new"]}


def test_a_piece_put_away_comes_last_and_can_come_back(bench, account, add, find):
    first, second = add(), add(label="sieve 2")
    specimens.retire_specimen(bench, account.id, first, retired=True)
    listed = [one.id for one in specimens.list_specimens(bench, account.id)]
    assert listed == [second, first]
    specimens.retire_specimen(bench, account.id, first, retired=False)
    assert not find(first).retired
