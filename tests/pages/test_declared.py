"""What a plan declares beforehand, as its leader sees it."""

import pytest

from server.pages.assets import SAMPLE_SESSIONS
from server.tastings.importing import get_leader_id, import_tasting

FEW = {"shows": "few", "beta": "0.05", "assessors": "40", "rounds": "1", "size_percent": "30"}


def test_a_similarity_test_is_previewed_by_its_own_numbers(leader, plan_form):
    page = leader.post("/plans/preview", plan_form(**FEW)).text
    assert "Right answers at most" in page
    assert "Right answers needed" not in page


def test_a_similarity_test_is_kept_shown_and_sealed(leader, plan_form):
    draft = leader.post("/tastings/new", plan_form(**FEW)).headers["location"]
    page = leader.get(draft).text
    assert "that fewer than that notice" in page
    assert 'value="few" checked' in leader.get(f"{draft}/plan").text
    assert leader.post(f"{draft}/seal").status_code == 303


def test_several_answers_of_a_person_are_refused_beside_the_rounds(leader, plan_form):
    answer = leader.post("/tastings/new", plan_form(**FEW | {"rounds": "3"}))
    assert answer.status_code == 422
    assert "everybody answers once" in answer.text
    assert '<details class="card" open>' in answer.text


STEPS = {"stop_rule": "sequential", "every": "1", "beta": "0.1", "rounds": "4"}


def test_a_sequential_plan_is_previewed_by_its_endings(leader, plan_form):
    page = leader.post("/plans/preview", plan_form(**STEPS)).text
    assert "How this plan ends, exactly, of 100 such tests" in page
    assert "Right answers needed" not in page


def test_a_sequential_plan_is_kept_shown_and_sealed_and_its_board_says_go_on(leader, plan_form):
    draft = leader.post("/tastings/new", plan_form(**STEPS)).headers["location"]
    assert "as soon as the answers allow, judged after every round" in leader.get(draft).text
    leader.post(f"{draft}/seal")
    assert "The sealed plan says: <strong>go on</strong>" in leader.get(draft).text


def test_a_fixed_plan_has_no_such_word_on_its_board(leader, plan_form):
    draft = leader.post("/tastings/new", plan_form()).headers["location"]
    leader.post(f"{draft}/seal")
    assert "The sealed plan says" not in leader.get(draft).text


def test_what_decides_several_answers_is_previewed_kept_and_shown(leader, plan_form):
    typed = plan_form(several="people", rounds="3")
    assert "If people differ (gamma 0.3)" in leader.post("/plans/preview", typed).text
    draft = leader.post("/tastings/new", typed).headers["location"]
    assert "the mean of people like these decides" in leader.get(draft).text


def test_the_planner_fills_in_a_similarity_test(leader):
    asked = {"aim": "unnoticed", "known": "nothing", "size": "middling", "mind": "cups"}
    page = leader.post("/plans/proposal", asked).text
    assert "Fill in such a plan" in page
    assert 'value="few" checked' in leader.post("/tastings/new/filled", asked).text


@pytest.fixture
def shown(bench):
    """Load a sample session, and return the address of its tasting."""

    def load(name):
        text = (SAMPLE_SESSIONS / f"{name}.json").read_bytes()
        return f"/tastings/{import_tasting(bench, get_leader_id(bench), text)}"

    return load


def test_a_stopped_test_shows_its_path_in_a_picture_words_and_numbers(leader, shown):
    tasting = shown("slate-lid")
    page = leader.get(f"{tasting}/finding").text
    assert f'<img src="{tasting}/figures/path.svg" alt="Right answers against answers' in page
    assert "Blocks judged" in page
    assert leader.get(f"{tasting}/figures/path.svg").headers["content-type"] == "image/svg+xml"
    assert leader.get(f"{tasting}/figures/share.svg").status_code == 404


@pytest.mark.parametrize("name", ["slate-lid", "rinse-water-guests"])
def test_what_was_declared_is_declared_again_in_the_next_plan(leader, shown, name):
    page = leader.get(f"{shown(name)}/again").text
    declared = {"slate-lid": "sequential", "rinse-water-guests": "few"}[name]
    assert f'value="{declared}" checked' in page


def test_groups_to_be_looked_at_besides_are_previewed_kept_and_shown(leader, plan_form):
    typed = plan_form(groups="staff: 1-2; guests: 3-6")
    assert "Looked at besides, each by itself: staff" in leader.post("/plans/preview", typed).text
    draft = leader.post("/tastings/new", typed).headers["location"]
    assert "staff: seats 1, 2; guests: seats 3, 4, 5, 6" in leader.get(draft).text
    refused = leader.post("/tastings/new", plan_form(groups="staff 1-2"))
    assert refused.status_code == 422
    assert "Write a name, a colon and seats" in refused.text
