"""A person asks to be forgotten: the name goes, the answers and the chain stay."""

import pytest

from server.storage import queries
from server.tastings import seating


@pytest.fixture
def named(bench, sealed_tasting):
    """A tasting in which seat 2 gave a name."""
    seating.take_seat(bench, sealed_tasting.code, 2, "claim", "Imogen")
    return sealed_tasting


def forget(device, made, number=2):
    return device.post(f"/tastings/{made.id}/seats/{number}/forget")


def test_a_leader_sees_the_names_people_gave(leader, named):
    assert "Seat 2: Imogen" in leader.get(f"/tastings/{named.id}").text


def test_a_forgotten_name_is_nowhere(leader, named):
    assert forget(leader, named).status_code == 303
    assert "Imogen" not in leader.get(f"/tastings/{named.id}").text


def test_forgetting_changes_no_event(leader, bench, named):
    with bench.reading() as db:
        before = queries.load_events(db, named.id)
    forget(leader, named)
    with bench.reading() as db:
        assert queries.load_events(db, named.id) == before


def test_forgetting_twice_is_as_good_as_once(leader, named):
    assert [forget(leader, named).status_code for _ in range(2)] == [303, 303]


@pytest.mark.parametrize("number", [1, 99])
def test_a_seat_without_a_name_has_none_to_forget(leader, named, number):
    assert forget(leader, named, number).status_code == 404


def test_only_the_leader_may_forget(client, leader, named):
    assert forget(client, named).headers["location"].startswith("/sign-in")
    assert "Imogen" in leader.get(f"/tastings/{named.id}").text
