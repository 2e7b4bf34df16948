"""Sheets are kept by version; what a tasting uses never changes under it."""

from uuid import UUID

import pytest

from server.sheets.cards import export_sheet, write_sheet
from server.sheets.starters import get_starter
from server.storage import tables
from server.tastings import sheets_kept
from server.tastings.refusals import Invalid, NotFound, Refusal

ROAST = get_starter("roast-consistency").sheet


@pytest.fixture
def kept(bench, account):
    return sheets_kept.keep_sheet(bench, account.id, ROAST)


@pytest.fixture
def use(bench, account):
    """Store a draft that plans with a version of a sheet."""

    def plan_with(sheet):
        plan = {"table": {"sheet": write_sheet(sheet)}}
        with bench.writing() as db:
            row = tables.Tasting(
                name="Tasting", join_code="ABC", method="table", plan=plan, created_at=bench.clock()
            )
            db.add(row)
            db.flush()
            db.add(tables.Membership(account_id=account.id, tasting_id=row.id))
            db.commit()

    return plan_with


def retitle(title):
    return ROAST.model_copy(update={"title": title})


def test_a_sheet_is_kept_as_it_is(bench, account, kept):
    assert sheets_kept.get_sheet(bench, account.id, kept).sheet == ROAST


def test_a_version_that_no_tasting_uses_changes_in_place(bench, account, kept):
    same = sheets_kept.change_sheet(bench, account.id, kept, retitle("Lantern Row roasts"))
    found = sheets_kept.get_sheet(bench, account.id, same)
    assert (same, found.sheet.title, found.sheet.version) == (kept, "Lantern Row roasts", 1)


def test_changing_a_version_in_use_makes_the_next_one(bench, account, kept, use):
    use(ROAST)
    later = sheets_kept.change_sheet(bench, account.id, kept, retitle("Lantern Row roasts"))
    found = [(one.id, one.sheet.version) for one in sheets_kept.list_sheets(bench, account.id)]
    assert sorted(found, key=lambda one: one[1]) == [(kept, 1), (later, 2)]


def test_a_version_in_use_stays_as_it_is(bench, account, kept, use):
    use(ROAST)
    sheets_kept.change_sheet(bench, account.id, kept, retitle("Lantern Row roasts"))
    assert sheets_kept.get_sheet(bench, account.id, kept).sheet == ROAST


def test_only_the_newest_version_can_be_changed(bench, account, kept, use):
    use(ROAST)
    sheets_kept.change_sheet(bench, account.id, kept, retitle("Lantern Row roasts"))
    with pytest.raises(Refusal, match="newer version"):
        sheets_kept.change_sheet(bench, account.id, kept, retitle("Another"))


def test_keeping_the_same_again_makes_no_version(bench, account, kept, use):
    use(ROAST)
    assert sheets_kept.change_sheet(bench, account.id, kept, ROAST) == kept


def test_a_sheet_in_use_cannot_be_deleted(bench, account, kept, use):
    use(ROAST)
    with pytest.raises(Refusal, match="stays as it is"):
        sheets_kept.delete_sheet(bench, account.id, kept)


def test_a_deleted_sheet_is_gone_and_deleting_again_does_nothing(bench, account, kept):
    sheets_kept.delete_sheet(bench, account.id, kept)
    sheets_kept.delete_sheet(bench, account.id, kept)
    assert sheets_kept.list_sheets(bench, account.id) == ()


def test_a_file_that_was_exported_is_the_same_sheet_again(bench, account):
    sheet_id = sheets_kept.import_kept(bench, account.id, export_sheet(ROAST))
    assert sheets_kept.get_sheet(bench, account.id, sheet_id).sheet == ROAST


def test_a_file_that_is_no_sheet_is_refused_with_its_place(bench, account):
    with pytest.raises(Invalid) as refused:
        sheets_kept.import_kept(bench, account.id, b'{"format": "shopping list"}')
    assert refused.value.messages == {"file": "format: this is no score sheet of Oddcup"}


def test_a_starter_is_copied_to_be_changed(bench, account):
    sheet_id = sheets_kept.copy_starter(bench, account.id, "taint-screen")
    assert sheets_kept.get_sheet(bench, account.id, sheet_id).sheet.title == "Taint screen"


def test_an_unknown_starter_is_not_there(bench, account):
    with pytest.raises(NotFound):
        sheets_kept.copy_starter(bench, account.id, "nothing")


def test_nobody_finds_the_sheets_of_others(bench, kept):
    with pytest.raises(NotFound):
        sheets_kept.get_sheet(bench, UUID(int=5), kept)
