"""Recipes are kept by version; what was brewed or planned by one keeps its copy."""

from uuid import uuid4

import pytest

from server.storage import tables
from server.tastings import brew_sheets, recipes_kept
from server.tastings.refusals import NotFound, Refusal
from tests.brewing_bench import draft_with_recipe, make_recipe

BARLEY = make_recipe()
RYE = make_recipe(title="Rye")


@pytest.fixture
def kept(bench, account):
    return recipes_kept.keep_recipe(bench, account.id, BARLEY)


@pytest.fixture
def brewed(bench, account, kept):
    """Begin a brew by the version that is kept."""
    return brew_sheets.begin_brew(bench, account.id, recipe_id=kept)


@pytest.fixture
def listed(bench, account):
    return lambda: [
        (one.id, one.recipe.title, one.recipe.version)
        for one in recipes_kept.list_recipes(bench, account.id)
    ]


def test_a_recipe_is_kept_as_it_is(bench, account, kept):
    found = recipes_kept.get_recipe(bench, account.id, kept)
    assert (found.recipe, found.newest, found.house, found.used) == (BARLEY, True, False, False)


def test_the_very_same_recipe_is_kept_once(bench, account, kept, listed):
    assert recipes_kept.keep_recipe(bench, account.id, BARLEY) == kept
    assert len(listed()) == 1


def test_a_version_that_nothing_was_brewed_by_changes_in_place(bench, account, kept, listed):
    assert recipes_kept.change_recipe(bench, account.id, kept, RYE) == kept
    assert listed() == [(kept, "Rye", 1)]


@pytest.mark.usefixtures("brewed")
def test_changing_a_version_that_was_brewed_makes_the_next_one(bench, account, kept, listed):
    later = recipes_kept.change_recipe(bench, account.id, kept, make_recipe(dose_g="21"))
    assert listed() == [(later, BARLEY.title, 2), (kept, BARLEY.title, 1)]
    assert recipes_kept.get_recipe(bench, account.id, kept).recipe == BARLEY


def test_a_version_that_a_plan_holds_counts_as_used(bench, account, kept, plan_input):
    draft_with_recipe(bench, account.id, plan_input())
    assert recipes_kept.get_recipe(bench, account.id, kept).used


@pytest.mark.usefixtures("brewed")
def test_only_the_newest_version_can_be_changed(bench, account, kept):
    recipes_kept.change_recipe(bench, account.id, kept, RYE)
    with pytest.raises(Refusal, match="newer version"):
        recipes_kept.change_recipe(bench, account.id, kept, make_recipe(title="Oats"))


@pytest.mark.usefixtures("brewed")
def test_keeping_the_same_again_makes_no_version(bench, account, kept):
    assert recipes_kept.change_recipe(bench, account.id, kept, BARLEY) == kept


def test_after_the_last_version_there_is_no_next_one(bench, account):
    last = make_recipe(version=9999)
    recipe_id = recipes_kept.keep_recipe(bench, account.id, last)
    brew_sheets.begin_brew(bench, account.id, recipe_id=recipe_id)
    with pytest.raises(Refusal, match="begin a new one"):
        recipes_kept.change_recipe(bench, account.id, recipe_id, RYE)


def test_there_is_one_house_reference_at_a_time(bench, account, kept):
    other = recipes_kept.keep_recipe(bench, account.id, RYE)
    for one in (kept, other):
        recipes_kept.mark_house(bench, account.id, one, house=True)
    houses = [one.id for one in recipes_kept.list_recipes(bench, account.id) if one.house]
    assert houses == [other]


def test_taking_the_mark_off_another_recipe_leaves_the_house_reference(bench, account, kept):
    other = recipes_kept.keep_recipe(bench, account.id, RYE)
    recipes_kept.mark_house(bench, account.id, kept, house=True)
    recipes_kept.mark_house(bench, account.id, other, house=False)
    assert recipes_kept.get_recipe(bench, account.id, kept).house


@pytest.mark.usefixtures("brewed")
def test_a_next_version_does_not_become_the_house_reference_by_itself(bench, account, kept):
    recipes_kept.mark_house(bench, account.id, kept, house=True)
    later = recipes_kept.change_recipe(bench, account.id, kept, RYE)
    found = [recipes_kept.get_recipe(bench, account.id, one).house for one in (kept, later)]
    assert found == [True, False]


def test_a_brew_keeps_its_copy_of_a_deleted_recipe(bench, account, kept, brewed, listed):
    for _ in range(2):
        recipes_kept.delete_recipe(bench, account.id, kept)
    found = brew_sheets.get_brew(bench, account.id, brewed)
    assert (listed(), found.recipe, found.recipe_id) == ([], BARLEY, None)


def test_nobody_reaches_the_recipes_of_others(bench, account, kept):
    with bench.writing() as db:
        db.add(tables.Account(id=(other := uuid4()), name="other", created_at=bench.clock()))
        db.commit()
    recipes_kept.delete_recipe(bench, other, kept)
    for act in (
        lambda: recipes_kept.get_recipe(bench, other, kept),
        lambda: recipes_kept.change_recipe(bench, other, kept, RYE),
        lambda: recipes_kept.mark_house(bench, other, kept, house=True),
    ):
        with pytest.raises(NotFound):
            act()
    assert recipes_kept.get_recipe(bench, account.id, kept).recipe == BARLEY
