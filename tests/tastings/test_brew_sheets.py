"""Brews on the bench: begun, kept, forgotten, and counted for the piece they were made with."""

from uuid import UUID

import pytest

from server.storage import tables
from server.tastings import brew_sheets, specimens
from server.tastings.accounts import find_link, issue_link
from server.tastings.brew_keeping import keep_brew
from server.tastings.drafts import delete_draft
from server.tastings.refusals import NotFound, Refusal
from tests.brewing_bench import begin, draft_with_recipe, make_recipe, seal_with_recipe

NOWHERE = UUID(int=7)
CLOTH = {"label": "cloth 2", "part": "cloth filter", "state": "washed", "brews_before": "3"}


@pytest.fixture
def brew(bench, account):
    return begin(bench, account.id)


@pytest.fixture
def find(bench, account):
    return lambda brew_id: brew_sheets.get_brew(bench, account.id, brew_id)


@pytest.fixture
def keep(bench, account):
    """Keep a brew of which something has been noted."""

    def keep_one(brew_id):
        with bench.writing() as db:
            row = db.get_one(tables.Brew, brew_id)
            row.body = {"note": "even bed"}
            db.add(row)
            db.commit()
        keep_brew(bench, account.id, brew_id)

    return keep_one


def test_a_brew_has_its_recipe_by_value(brew, find):
    found = find(brew)
    assert (found.recipe, found.kept, found.brewed.steps) == (make_recipe(), False, ())


def test_a_double_tap_begins_one_brew(bench, account, brew):
    assert begin(bench, account.id) == brew
    assert len(brew_sheets.list_brews(bench, account.id)) == 1


def test_the_same_recipe_is_brewed_again_once_the_first_brew_is_kept(bench, account, brew, keep):
    keep(brew)
    assert begin(bench, account.id) != brew


def test_brews_are_listed_newest_first(bench, account, clock, brew, keep):
    keep(brew)
    clock.advance(minutes=5)
    second = begin(bench, account.id)
    assert [one.id for one in brew_sheets.list_brews(bench, account.id)] == [second, brew]


def test_brews_of_another_account_are_not_there(bench, brew):
    other = find_link(bench, issue_link(bench, "somebody else"))
    assert brew_sheets.list_brews(bench, other.id) == ()
    for act in (brew_sheets.get_brew, keep_brew):
        with pytest.raises(NotFound):
            act(bench, other.id, brew)


@pytest.mark.parametrize(
    "wrong",
    [{"recipe_id": NOWHERE}, {"tasting_id": NOWHERE}, {"specimen_id": NOWHERE}],
)
def test_a_brew_of_what_there_is_not_is_not_begun(bench, account, wrong):
    with pytest.raises(NotFound):
        begin(bench, account.id, **wrong)
    assert brew_sheets.list_brews(bench, account.id) == ()


def test_a_brew_without_a_recipe_is_refused(bench, account):
    with pytest.raises(Refusal, match="recipe"):
        brew_sheets.begin_brew(bench, account.id)


def test_a_trial_brew_takes_the_recipe_of_its_sample(bench, account, plan_input):
    draft = draft_with_recipe(bench, account.id, plan_input())
    brew_id = brew_sheets.begin_brew(bench, account.id, tasting_id=draft, level="B")
    (found,) = brew_sheets.list_brews(bench, account.id, draft)
    assert (found.id, found.level, found.recipe) == (brew_id, "B", make_recipe())


def test_a_brew_for_a_slot_is_of_the_sample_of_that_slot(bench, account, plan_input, find):
    tasting_id, _ = seal_with_recipe(bench, account.id, plan_input())
    brew_id = brew_sheets.begin_brew(bench, account.id, tasting_id=tasting_id, slot="B1")
    assert (find(brew_id).level, find(brew_id).slot) == ("B", "B1")


@pytest.mark.parametrize("wrong", [{"level": "Q"}, {"slot": "A99"}])
def test_a_brew_for_no_sample_or_slot_is_not_begun(bench, account, draft, wrong):
    with pytest.raises(NotFound):
        begin(bench, account.id, tasting_id=draft, **wrong)


def test_a_brew_without_anything_noted_is_not_kept(bench, account, brew):
    with pytest.raises(Refusal, match="nothing to keep"):
        keep_brew(bench, account.id, brew)


def test_keeping_twice_keeps_the_first_moment(bench, account, clock, brew, keep, find):
    keep(brew)
    first = find(brew).kept_at
    clock.advance(minutes=1)
    keep_brew(bench, account.id, brew)
    assert find(brew).kept_at == first == clock.now.replace(minute=0)


def test_keeping_counts_the_brew_of_the_piece_it_was_made_with(bench, account, keep, find):
    cloth = specimens.add_specimen(bench, account.id, CLOTH)
    for before in (3, 4):
        brew_id = begin(bench, account.id, specimen_id=cloth)
        keep(brew_id)
        part = find(brew_id).brewed.part
        assert (part.specimen, part.state, part.brews_before) == ("cloth 2", "washed", before)
    assert specimens.get_specimen(bench, account.id, cloth).brews == 5


def test_a_piece_that_is_put_away_makes_no_brew(bench, account):
    cloth = specimens.add_specimen(bench, account.id, CLOTH)
    specimens.retire_specimen(bench, account.id, cloth, retired=True)
    with pytest.raises(NotFound):
        begin(bench, account.id, specimen_id=cloth)


def test_a_brew_that_is_not_kept_can_be_forgotten(bench, account, brew):
    for _ in range(2):
        brew_sheets.delete_brew(bench, account.id, brew)
    assert brew_sheets.list_brews(bench, account.id) == ()


def test_a_kept_brew_cannot_be_forgotten(bench, account, brew, keep, find):
    keep(brew)
    with pytest.raises(Refusal, match="is kept"):
        brew_sheets.delete_brew(bench, account.id, brew)
    assert find(brew).kept


def test_trial_brews_outlive_the_draft_they_were_made_for(bench, account, plan_input, find):
    draft = draft_with_recipe(bench, account.id, plan_input())
    brew_id = brew_sheets.begin_brew(bench, account.id, tasting_id=draft, level="A")
    delete_draft(bench, draft)
    assert (find(brew_id).tasting_id, find(brew_id).level) == (None, None)


def test_a_sealed_tasting_takes_no_trial_brew(bench, account, plan_input):
    tasting_id, _ = seal_with_recipe(bench, account.id, plan_input())
    with pytest.raises(Refusal, match="is sealed"):
        brew_sheets.begin_brew(bench, account.id, tasting_id=tasting_id, level="A")
    assert brew_sheets.list_brews(bench, account.id) == ()
