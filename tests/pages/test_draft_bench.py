"""The bench of a draft, and sealing what is not matched."""

import re
from uuid import UUID, uuid4

import pytest

from server.brewing.recipe import read_recipe, write_recipe
from server.storage import tables
from server.tastings.sealing import seal_tasting
from tests.brew_rows import RECIPE, keep_trial
from tests.table_forms import draft_table

READ = {"temperature_c": "60", "fill_g": "40"}


@pytest.fixture
def address(draft):
    return f"/tastings/{draft}"


@pytest.fixture
def keep_recipe(bench, account):
    """Keep a recipe of an account, the leader's unless another is named; return its id."""

    def keep(title="Green tea in the pot", owner=account, **changed):
        body = write_recipe(read_recipe(RECIPE | {"title": title} | changed))
        row = tables.RecipeCard(
            account_id=owner.id, line=uuid4(), title=title, version=1, body=body,
            created_at=bench.clock(),
        )  # fmt: skip
        with bench.writing() as db:
            db.add(row)
            db.commit()
            return str(row.id)

    return keep


@pytest.fixture
def try_out(bench, account, draft):
    def keep(a="1.30", b="1.30", **more):
        for level, tds in (("A", a), ("B", b)):
            keep_trial(bench, account, draft, level, tds=[tds], **READ, **more)

    return keep


def load(bench, draft):
    with bench.reading() as db:
        return db.get_one(tables.Tasting, draft)


def test_a_draft_leads_to_its_bench_and_says_that_nothing_was_tried(leader, address):
    page = leader.get(address).text
    assert "No trial brews were matched; the finding will say so." in page
    assert f'href="{address}/bench"' in page
    assert "No trial brew yet." in leader.get(f"{address}/bench").text


def test_a_recipe_is_copied_into_the_plan(leader, address, bench, draft, keep_recipe):
    chosen = keep_recipe()
    answer = leader.post(f"{address}/bench/recipes", {"recipe_A": chosen, "recipe_B": ""})
    assert (answer.status_code, answer.headers["location"]) == (303, f"{address}/bench")
    recipes = load(bench, draft).plan["bench"]["recipes"]
    assert [recipes["A"]["title"], "B" in recipes] == ["Green tea in the pot", False]
    page = leader.get(f"{address}/bench").text
    assert f'value="{chosen}" selected' in page
    assert page.count("Brew a trial of") == 1


def test_a_copy_outlives_the_recipe_it_was_made_of(leader, address, bench, draft, keep_recipe):
    chosen = keep_recipe()
    leader.post(f"{address}/bench/recipes", {"recipe_A": chosen})
    with bench.writing() as db:
        row = db.get_one(tables.RecipeCard, UUID(chosen))
        db.delete(row)
        db.commit()
    assert "as it is in the plan" in leader.get(f"{address}/bench").text
    leader.post(f"{address}/bench/recipes", {"recipe_A": "as it is", "recipe_B": ""})
    assert load(bench, draft).plan["bench"]["recipes"]["A"]["title"] == "Green tea in the pot"


def test_no_recipe_empties_the_choice(leader, address, bench, draft, keep_recipe):
    leader.post(f"{address}/bench/recipes", {"recipe_A": keep_recipe()})
    leader.post(f"{address}/bench/recipes", {"recipe_A": "", "recipe_B": ""})
    assert "bench" not in load(bench, draft).plan


@pytest.mark.parametrize("wanted", ["nonsense", str(UUID(int=4))])
def test_what_is_no_recipe_of_ones_own_is_refused_and_changes_nothing(
    leader, address, bench, draft, keep_recipe, wanted
):
    form = {"recipe_A": keep_recipe(), "recipe_B": wanted}
    answer = leader.post(f"{address}/bench/recipes", form)
    assert answer.status_code == 422
    assert 'id="recipe_B-error" role="alert">Choose one of your recipes' in answer.text
    assert f'value="{form["recipe_A"]}" selected' in answer.text
    assert "bench" not in load(bench, draft).plan


def test_two_samples_by_one_recipe_are_said_to_be_a_null_control(leader, address, keep_recipe):
    chosen = keep_recipe()
    leader.post(f"{address}/bench/recipes", {"recipe_A": chosen, "recipe_B": chosen})
    said = "These two samples are one recipe: this is a null control, unless beans, water or a part"
    assert said in leader.get(f"{address}/bench").text
    assert "this is a null control" in leader.get(address).text


def test_matched_trials_are_shown_and_sealed(leader, address, bench, draft, try_out):
    try_out()
    page = leader.get(f"{address}/bench").text
    assert "Strength matched: 0 %TDS apart, limit 0.05 %TDS." in page
    assert leader.post(f"{address}/seal").status_code == 303
    assert load(bench, draft).state == "sealed"


def test_nearly_matched_trials_are_warned_of(leader, address, try_out):
    try_out(b="1.40")
    assert "Only nearly matched: the finding will say so." in leader.get(f"{address}/bench").text
    assert "Trial brews: only nearly matched." in leader.get(address).text


def test_unmatched_trials_are_not_sealed_without_a_reason(leader, address, bench, draft, try_out):
    try_out(b="1.45")
    answer = leader.post(f"{address}/seal", {"reason": " "})
    assert answer.status_code == 422
    assert re.search(r'id="reason-error" role="alert">The trial brews are not matched', answer.text)
    assert load(bench, draft).state == "draft"


def test_a_reason_seals_them_and_a_second_tap_changes_nothing(
    leader, address, bench, draft, try_out
):
    try_out(b="1.45")
    for reason in ("guests wait", "another"):
        assert leader.post(f"{address}/seal", {"reason": reason}).status_code == 303
    assert load(bench, draft).plan["bench"]["unmatched_reason"] == "guests wait"


def test_the_stronger_sample_is_diluted_by_so_much(leader, address, try_out):
    try_out(b="1.48")
    # 100 g from 1.48 to 1.30 %: 100 · (1.48 / 1.30 − 1) = 13.8 g, computed exactly.
    assert "Dilute sample B: 13.8 ± 1.2 g of water" in leader.get(f"{address}/bench").text


def test_where_extraction_differs_nothing_is_diluted(
    leader, address, bench, account, draft, keep_recipe
):
    chosen = keep_recipe()
    leader.post(f"{address}/bench/recipes", {"recipe_A": chosen, "recipe_B": chosen})
    for level, tds in (("A", "1.30"), ("B", "1.48")):
        keep_trial(bench, account, draft, level, tds=[tds], dose_g="20", beverage_g="260", **READ)
    page = leader.get(f"{address}/bench").text
    assert "Dial sample B in again instead of diluting it" in page
    assert "16.9 % ±" in page


def test_a_scored_table_has_the_same_gate(leader, bench, account):
    table = draft_table(bench, account.id)
    address = f"/tastings/{table}"
    for level, tds in (("A", "1.30"), ("B", "1.45"), ("C", "1.30")):
        keep_trial(bench, account, table, level, tds=[tds], **READ)
    assert leader.post(f"{address}/seal").status_code == 422
    assert leader.post(f"{address}/seal", {"reason": "x"}).status_code == 303


def test_a_sealed_tasting_has_no_bench_page(leader, address, bench, draft):
    seal_tasting(bench, draft)
    assert leader.get(f"{address}/bench").headers["location"] == address
    assert leader.post(f"{address}/bench/recipes", {"recipe_A": ""}).status_code == 409


def test_another_leader_finds_no_bench(stranger, address, keep_recipe):
    assert stranger.get(f"{address}/bench").status_code == 404
    answer = stranger.post(f"{address}/bench/recipes", {"recipe_A": keep_recipe()})
    assert answer.status_code == 404


def test_a_bench_asks_as_much_of_few_trials_as_of_many(leader, address, count_queries, try_out):
    try_out()
    few = count_queries(lambda: leader.get(f"{address}/bench"))
    for _ in range(4):
        try_out()
    assert count_queries(lambda: leader.get(f"{address}/bench")) == few
