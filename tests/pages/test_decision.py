"""Talk when all is locked, a decision when it is unsealed; both kept apart from the scores."""

import pytest

from server.tastings.progress import find_led
from tests.table_forms import lock

SAID = {"discussion": "Bowl 3 is thin.", "discussion_who": "the table"}
DECIDED = {
    "decision": "hold",
    "batch": "LR-14",
    "decision_reason": "flatter than the target",
    "decision_name": "the roaster",
}


@pytest.fixture
def made(make_table):
    return make_table(assessors="2", warm_up="A")


@pytest.fixture
def url(made):
    return f"/tastings/{made.id}"


@pytest.fixture
def lock_all(bench, made):
    for seat in (1, 2):
        lock(bench, made, seat, 3)


@pytest.fixture
def read(bench, made, account):
    return lambda: find_led(bench, account.id, made.id).record


@pytest.fixture
def unseal(leader, url):
    leader.post(f"{url}/close", {"pourer": "absent", "reason": "the shop opens"})
    leader.post(f"{url}/unseal")


def test_before_all_is_locked_there_is_no_box_to_talk_into(leader, bench, made, url):
    lock(bench, made, 1, 3)
    assert "The table talks" not in leader.get(url).text


def test_words_before_all_is_locked_are_refused(leader, bench, made, url):
    lock(bench, made, 1, 3)
    answer = leader.post(f"{url}/discussion", SAID)
    assert answer.status_code == 422


@pytest.mark.usefixtures("lock_all")
def test_the_tables_words_are_kept_and_shown(leader, url, read):
    leader.post(f"{url}/discussion", SAID)
    assert [(one.text, one.who) for one in read().discussions] == [("Bowl 3 is thin.", "the table")]
    assert "Bowl 3 is thin." in leader.get(url).text


@pytest.mark.usefixtures("lock_all")
def test_the_same_words_twice_are_kept_once(leader, url, read):
    for _ in range(2):
        assert leader.post(f"{url}/discussion", SAID).status_code == 303
    assert len(read().discussions) == 1


@pytest.mark.usefixtures("lock_all")
def test_empty_words_are_refused_beside_their_fields(leader, url):
    answer = leader.post(f"{url}/discussion", {"discussion_who": "the table"})
    assert answer.status_code == 422
    assert 'id="discussion-error" role="alert"' in answer.text


@pytest.mark.usefixtures("unseal")
def test_after_unsealing_nobody_talks_as_if_they_did_not_know(leader, url):
    assert leader.post(f"{url}/discussion", SAID).status_code == 409


def test_a_triad_has_no_talk_and_no_decision(leader, home):
    assert leader.post(f"{home}/discussion", SAID).status_code == 404
    assert leader.post(f"{home}/decision", DECIDED).status_code == 409


@pytest.mark.usefixtures("unseal")
def test_a_decision_is_kept_and_shown(leader, url, read):
    leader.post(f"{url}/decision", DECIDED)
    assert (read().decision.decision, read().decision.batch) == ("hold", "LR-14")
    assert "flatter than the target" in leader.get(url).text


@pytest.mark.usefixtures("unseal")
def test_of_several_decisions_all_are_kept_and_the_last_counts(leader, url, read):
    for decision in ("hold", "hold", "release"):
        leader.post(f"{url}/decision", DECIDED | {"decision": decision})
    assert [one.decision for one in read().decisions] == ["hold", "release"]
    assert read().decision.decision == "release"


@pytest.mark.usefixtures("unseal")
@pytest.mark.parametrize("field", DECIDED)
def test_a_decision_without_one_of_its_parts_is_refused_and_the_rest_kept(leader, url, field):
    answer = leader.post(f"{url}/decision", DECIDED | {field: ""})
    assert answer.status_code == 422
    assert f'id="{field}-error" role="alert"' in answer.text


def test_before_unsealing_nothing_is_decided(leader, url):
    assert leader.post(f"{url}/decision", DECIDED).status_code == 409


@pytest.mark.usefixtures("unseal")
def test_a_decided_table_is_planned_again_with_its_sheet(leader, url, made):
    assert f'href="/tastings/{made.id}/plan/table"' in leader.get(url).text


def test_nobody_else_decides(stranger, url):
    assert stranger.post(f"{url}/decision", DECIDED).status_code == 404
    assert stranger.post(f"{url}/discussion", SAID).status_code == 404
