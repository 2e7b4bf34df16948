"""Recipes beside the house reference: which brews count, and which tastings say something."""

import pytest

from server.reports.benchmark_tastings import Outcome
from server.tastings import pouring, recipes_kept
from server.tastings.benchmarking import read_benchmark
from server.tastings.sealing import seal_tasting
from tests.benchmarked import CONE, HOUSE, brew, draw_both, keep_both, put_recipes, unseal
from tests.conftest import look_up
from tests.table_forms import draft_table, lock


@pytest.fixture
def kept(bench, account):
    return keep_both(bench, account.id)


@pytest.fixture
def read(bench, account):
    return lambda: read_benchmark(bench, account.id)


@pytest.fixture
def seal(bench, account, plan_input):
    """Seal a test of the house reference and another recipe."""

    def draw(a=HOUSE, b=CONE, **changed):
        return draw_both(bench, account.id, plan_input(**changed), a, b)

    return draw


@pytest.fixture
def taste(bench, seal):
    """Play such a test to its end."""

    def play(right=18, **changed):
        played = seal(**changed)
        for slot in played.made.sealed.slots:
            form = {"slot": slot.name, "tds": "1.30", "temperature_c": "60", "fill_g": "40"}
            pouring.note_brew(bench, played.made.id, range(1, 9), form)
        played.fill(right)
        played.unseal()
        return played

    return play


@pytest.mark.usefixtures("kept")
def test_kept_brews_of_the_bench_are_summed_up_by_recipe(bench, account, read):
    brew(bench, account.id, CONE, ["1.40", "1.42"])
    brew(bench, account.id, HOUSE, ["1.30"])
    found = read()
    assert (found.house.numbers.brews, found.others[0].numbers.brews) == (1, 2)
    assert found.others[0].numbers.strength.middle == pytest.approx(1.41)


@pytest.mark.usefixtures("kept")
def test_brews_of_a_sealed_tasting_count_once_it_is_unsealed(read, seal, bench):
    played = seal()
    slot = next(one for one in played.made.sealed.slots if one.sample == "B")
    form = {"slot": slot.name, "tds": "1.44"}
    pouring.note_brew(bench, played.made.id, range(1, 9), form)
    assert (read().others[0].numbers.brews, read().sealed) == (0, 1)
    unseal(bench, played.made.id)
    assert (read().others[0].numbers.brews, read().sealed) == (1, 0)


@pytest.mark.usefixtures("kept")
def test_a_tasting_of_both_says_what_its_finding_says(read, taste):
    played = taste()
    [held] = read().others[0].held
    assert (held.tasting, held.said.outcome) == (played.made.id, Outcome.APART)
    assert held.said.headline.startswith("This panel told")
    assert {"pd", "people", "brews"} <= {one.name for one in held.said.numbers}


@pytest.mark.usefixtures("kept")
def test_a_tasting_still_sealed_says_nothing(read, seal):
    seal().fill(18)
    assert read().others[0].held == ()


@pytest.mark.usefixtures("kept")
def test_a_tasting_of_one_recipe_against_itself_holds_no_other_against_it(read, taste):
    taste(a=HOUSE, b=HOUSE)
    assert [one.held for one in read().others] == [()]


@pytest.mark.usefixtures("kept")
def test_a_preference_is_told_from_noticing(read, seal):
    played = seal(method="paired-preference")
    played.fill(17)
    played.unseal()
    [held] = read().others[0].held
    assert held.said.liking


@pytest.mark.usefixtures("kept")
def test_a_table_of_both_says_how_their_means_differ(read, bench, account):
    tasting_id = draft_table(bench, account.id, sample_c="")
    put_recipes(bench, tasting_id, A=HOUSE, B=CONE)
    made = look_up(bench, tasting_id, seal_tasting(bench, tasting_id))
    for seat in range(1, 7):
        lock(bench, made, seat, 200)
    unseal(bench, tasting_id)
    [held] = read().others[0].held
    assert held.said.means
    assert {row.difference for row in held.said.means} == {0.0}


@pytest.mark.usefixtures("kept")
def test_an_older_version_is_shown_as_long_as_it_was_used(bench, account, read, kept):
    _, cone = kept
    brew(bench, account.id, CONE, ["1.40"])
    finer = CONE.model_copy(update={"title": "Cone, finest"})
    recipes_kept.change_recipe(bench, account.id, cone, finer)
    found = [(one.kept.recipe.version, one.numbers.brews) for one in read().others]
    assert sorted(found) == [(1, 1), (2, 0)]


def test_without_a_house_reference_brews_are_summed_up_all_the_same(bench, account, read):
    recipes_kept.keep_recipe(bench, account.id, CONE)
    brew(bench, account.id, CONE, ["1.40"])
    found = read()
    assert (found.house, found.others[0].numbers.brews) == (None, 1)


@pytest.mark.usefixtures("kept")
def test_a_tasting_whose_sealed_text_is_spoilt_is_left_out(read, taste, monkeypatch):
    taste()
    monkeypatch.setattr("server.tastings.benchmarking.get_sealed_texts", lambda *_: {})
    assert read().others[0].held == ()
