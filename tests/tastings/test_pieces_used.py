"""The piece that made a brew: only those sealed for its sample, counted before it."""

import pytest

from server.brewing.brewed import PartUsed
from server.storage import tables
from server.tastings import pieces_planned, specimens
from server.tastings.journal import AT_THE_TABLE, open_journal
from server.tastings.pieces_used import (
    NOT_THERE,
    list_parts,
    list_slot_parts,
    read_part,
)
from server.tastings.refusals import Invalid
from server.tastings.sealing import seal_tasting


@pytest.fixture
def pieces(bench, account):
    """Two lids, one of them brewed with before."""
    return {
        label: specimens.add_specimen(
            bench, account.id, {"label": label, "part": "lid", "state": state, "brews_before": n}
        )
        for label, state, n in (("lid 1", "new", "0"), ("lid 2", "used", "12"))
    }


@pytest.fixture
def sealed(bench, account, draft, pieces):
    """A sealed tasting whose sample B is brewed with the first lid."""
    form = {pieces_planned.name_field("B", pieces["lid 1"]): "on"}
    pieces_planned.choose_pieces(bench, account.id, draft, form)
    seal_tasting(bench, draft)
    with bench.reading() as db:
        return db.get_one(tables.Tasting, draft)


@pytest.fixture
def plan(sealed):
    return pieces_planned.Plan.model_validate(sealed.plan)


def note(bench, tasting, slot, label):
    readings = {"tds": [], "temperature_c": None, "fill_g": None, "time": None, "note": ""}
    with open_journal(bench, tasting.id, AT_THE_TABLE) as journal:
        journal.append("brewed", slot=slot, **readings, brew={"part": {"specimen": label}})


def test_on_the_bench_every_piece_in_use_can_be_chosen(bench, account, pieces):
    specimens.retire_specimen(bench, account.id, pieces["lid 2"], retired=True)
    assert [one.label for one in list_parts(bench, account.id)] == ["lid 1"]


def test_for_a_slot_only_pieces_sealed_for_its_sample_can_be_chosen(bench, sealed, plan):
    parts = {level: list_slot_parts(bench, sealed.id, plan, level) for level in "AB"}
    assert [one.label for one in parts["B"]] == ["lid 1"]
    assert parts["A"] == ()


def test_a_brew_is_not_counted_before_itself(bench, sealed, plan):
    for slot in ("B1", "B2"):
        note(bench, sealed, slot, "lid 1")
    assert [one.brews for one in list_slot_parts(bench, sealed.id, plan, "B")] == [2]
    assert [one.brews for one in list_slot_parts(bench, sealed.id, plan, "B", "B2")] == [1]


def test_the_piece_is_read_with_its_state_and_its_brews(bench, account, pieces):
    choices = list_parts(bench, account.id)
    assert len(pieces) == len(choices)
    assert read_part({"specimen": "lid 2"}, choices) == PartUsed(
        specimen="lid 2", part="lid", state="used", brews_before=12
    )


def test_no_piece_named_is_no_piece(bench, account):
    assert read_part({"specimen": " "}, list_parts(bench, account.id)) is None


def test_a_piece_of_the_other_sample_is_refused(bench, sealed, plan):
    with pytest.raises(Invalid) as refused:
        read_part({"specimen": "lid 2"}, list_slot_parts(bench, sealed.id, plan, "B", "B1"))
    assert refused.value.messages == {"specimen": NOT_THERE}


def test_a_piece_that_no_account_keeps_is_told_by_its_seal(bench, sealed, plan):
    (gone,) = plan.bench.specimens["B"]
    renamed = gone.model_copy(update={"label": "lid of elsewhere", "brews": 4})
    other = plan.bench.model_copy(update={"specimens": {"B": (renamed,)}})
    moved = plan.model_copy(update={"bench": other})
    (found,) = list_slot_parts(bench, sealed.id, moved, "B")
    assert (found.label, found.brews, found.specimen_id) == ("lid of elsewhere", 4, None)


def test_a_note_corrected_later_keeps_the_brews_of_then(bench, account, pieces):
    earlier = PartUsed(specimen="lid 1", part="lid", state="new", brews_before=0)
    specimens.change_specimen(bench, account.id, pieces["lid 1"], {"state": "used"})
    choices = list_parts(bench, account.id)
    assert read_part({"specimen": "lid 1"}, choices, earlier) == earlier
    assert read_part({"specimen": "lid 2"}, choices, earlier) != earlier
