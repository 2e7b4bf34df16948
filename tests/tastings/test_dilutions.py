"""A leader's ruler: what was unsealed before, and nothing else."""

from datetime import timedelta

import pytest

from server.storage import queries
from server.tastings import accounts
from server.tastings.concluding import draw_conclusion
from server.tastings.dilutions import list_dilutions, read_ruler
from server.tastings.progress import find_led
from tests.playing import Play


@pytest.fixture
def taste(bench, make_tasting):
    """Plan, play and unseal a test of 6 people and 3 rounds, some time after the last one."""

    def play(right, **changed):
        played = Play(bench, make_tasting(**changed))
        played.fill(right)
        played.unseal()
        return played

    return play


@pytest.fixture
def hold(bench, account):
    """Hold a played tasting against the ruler of its leader."""

    def read(played):
        led = find_led(bench, account.id, played.made.id)
        analysis = draw_conclusion(bench, led).analysis
        return read_ruler(bench, account.id, played.made.id, analysis)

    return read


def test_a_finding_is_held_against_dilutions_unsealed_before_it(taste, hold, clock):
    water = taste(12, dilution_percent="10")
    clock.now += timedelta(hours=1)
    reading = hold(taste(12))
    assert reading.ruler.percent == pytest.approx(10)
    assert [one.seal for one in reading.dilutions] == [water.made.seal]


def test_a_dilution_tasted_later_changes_no_finding(taste, hold, clock):
    first = taste(12)
    clock.now += timedelta(hours=1)
    taste(12, dilution_percent="10")
    assert hold(first) is None


def test_a_dilution_still_sealed_is_on_no_ruler(bench, account, make_tasting, taste, hold):
    Play(bench, make_tasting(dilution_percent="10")).fill(12)
    assert list_dilutions(bench, account.id) == ()
    assert hold(taste(12)) is None


def test_a_dilution_of_another_leader_is_on_another_ruler(bench, taste):
    taste(12, dilution_percent="10")
    stranger = accounts.find_link(bench, accounts.issue_link(bench, "somebody else"))
    assert list_dilutions(bench, stranger.id) == ()


def test_a_control_of_known_dilution_serves_its_own_tasting(bench, make_tasting, hold):
    known = {"positive_control": "on", "positive_label": "A with 12 g of water to 100 g"}
    played = Play(bench, make_tasting(positive_dilution="12", **known))
    for seat in range(1, 7):
        for serving in played.made.servings(seat):
            played.send(seat, serving, played.form(serving, right=seat < 6))
    played.unseal()
    reading = hold(played)
    assert [(one.percent, one.control) for one in reading.dilutions] == [(12, True)]
    assert reading.ruler.percent == pytest.approx(12, rel=0.01)


def test_plans_without_a_dilution_are_not_read_at_all(bench, account, taste, monkeypatch):
    taste(12)
    monkeypatch.setattr(queries, "load_events", None)
    assert list_dilutions(bench, account.id) == ()


def test_a_dilution_whose_sealed_text_is_spoilt_is_on_no_ruler(bench, account, taste, monkeypatch):
    taste(12, dilution_percent="10")
    monkeypatch.setattr("server.tastings.dilutions.get_sealed_text", lambda *_: b'{"schema_no":')
    assert list_dilutions(bench, account.id) == ()
