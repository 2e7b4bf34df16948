"""Planning a scored table page by page, up to its seal."""

import re

import pytest

from server.blinding.events import State
from server.methods.registry import SCORED
from server.storage import queries
from server.tastings.sealing import seal_tasting
from tests.table_forms import RANKED, TABLE, draft_table


@pytest.fixture
def table_draft(bench, account):
    return draft_table(bench, account.id)


def find_row(bench, tasting_id):
    with bench.reading() as db:
        return queries.find_tasting(db, tasting_id)


def test_the_way_to_a_scored_table_is_on_the_first_page(leader):
    assert 'href="/tastings/new/table"' in leader.get("/").text


def test_the_empty_form_offers_every_starter(leader):
    page = leader.get("/tastings/new/table").text
    assert page.count('<option value="starter:') == 6


@pytest.mark.parametrize("method", SCORED.values(), ids=list(SCORED))
def test_the_form_leads_to_every_method_and_is_filled_in_for_it(leader, method):
    address = f"/tastings/new/table?preset={method.name}"
    assert f'href="{address}"' in leader.get("/tastings/new/table").text
    page = leader.get(address).text
    assert f'<option value="starter:{method.starter}" selected>' in page
    assert f'name="method" value="{method.name}"' in page
    assert method.standard in page
    assert f'id="{method.asked}"' in leader.get("/help").text  # the words it points at


def test_a_ranking_offers_nothing_that_would_put_a_sample_there_twice(leader):
    page = leader.get("/tastings/new/table?preset=ranking").text
    assert not re.search('name="(twice_a|scattered|block)"', page)
    assert 'name="twice_a"' in leader.get("/tastings/new/table").text


def test_an_unknown_preset_is_an_empty_form(leader):
    page = leader.get("/tastings/new/table?preset=sniffing")
    assert page.status_code == 200
    assert 'name="method"' not in page.text


def test_a_ranking_is_kept_with_its_method_and_its_order(leader):
    answer = leader.post("/tastings/new/table", RANKED | {"order": "b, c, a"})
    page = leader.get(answer.headers["location"]).text
    assert "ISO 8587" in page
    assert "B, C, A" in page


def test_a_plan_is_kept_and_shown_with_what_follows(leader):
    answer = leader.post("/tastings/new/table", TABLE)
    page = leader.get(answer.headers["location"]).text
    assert answer.status_code == 303
    assert "batch 16" in page
    assert "Is it balanced?" in page


def test_a_bad_form_keeps_what_was_typed_and_says_what_is_wrong(leader):
    answer = leader.post("/tastings/new/table", TABLE | {"assessors": "many"})
    assert answer.status_code == 422
    assert 'value="many"' in answer.text
    assert "A whole number from 1 to 60." in answer.text


def test_a_preview_says_what_follows(leader):
    assert "Codes before a person" in leader.post("/plans/table", TABLE).text


def test_a_preview_of_half_a_plan_says_what_is_missing(leader):
    assert "Choose a score sheet." in leader.post("/plans/table", {"question": "?"}).text


def test_a_draft_can_be_changed(leader, table_draft, bench):
    url = f"/tastings/{table_draft}/plan/table"
    form = TABLE | {"sheet": f"planned:{table_draft}", "assessors": "9"}
    assert leader.post(url, form).status_code == 303
    assert find_row(bench, table_draft).plan["assessors"] == 9


def test_changing_a_draft_to_something_wrong_is_refused_beside_the_field(leader, table_draft):
    answer = leader.post(f"/tastings/{table_draft}/plan/table", TABLE | {"bowls": "0"})
    assert answer.status_code == 422


def test_the_plan_of_a_table_opens_in_its_own_form(leader, table_draft):
    answer = leader.get(f"/tastings/{table_draft}/plan")
    assert answer.headers["location"] == f"/tastings/{table_draft}/plan/table"


def test_a_table_is_not_changed_into_a_triad(leader, table_draft, plan_form):
    assert leader.post(f"/tastings/{table_draft}/plan", plan_form()).status_code == 404


def test_a_triad_has_no_form_of_a_table(leader, draft):
    assert leader.get(f"/tastings/{draft}/plan/table").status_code == 404


def test_a_draft_is_sealed_once(leader, table_draft, bench):
    for _ in range(2):
        assert leader.post(f"/tastings/{table_draft}/seal").status_code == 303
    assert find_row(bench, table_draft).state == State.SEALED


def test_the_same_sheet_is_planned_again_from_a_sealed_table(leader, table_draft, bench):
    seal_tasting(bench, table_draft)
    page = leader.get(f"/tastings/{table_draft}/plan/table").text
    assert 'action="/tastings/new/table"' in page
    assert f'<option value="planned:{table_draft}" selected>' in page


def test_a_next_table_with_the_sheet_of_an_earlier_one_is_kept(leader, table_draft):
    answer = leader.post("/tastings/new/table", TABLE | {"sheet": f"planned:{table_draft}"})
    assert re.fullmatch(r"/tastings/[0-9a-f-]{36}", answer.headers["location"])


def test_the_sheet_of_somebody_elses_table_cannot_be_chosen(stranger, table_draft):
    answer = stranger.post("/tastings/new/table", TABLE | {"sheet": f"planned:{table_draft}"})
    assert "Choose a score sheet." in answer.text


def test_planning_asks_the_database_as_often_for_many_sheets_as_for_few(leader, count_queries):
    few = count_queries(lambda: leader.get("/tastings/new/table"))
    for name in ("taint-screen", "morning-table", "brew-comparison"):
        leader.post(f"/sheets/starters/{name}")
    assert count_queries(lambda: leader.get("/tastings/new/table")) == few
