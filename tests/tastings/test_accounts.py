import pytest
from argon2 import PasswordHasher, extract_parameters

from server.tastings import accounts
from server.tastings.refusals import Invalid, NotFound

GOOD = "twelve warm cups"


@pytest.fixture(autouse=True)
def in_a_hurry(monkeypatch):
    """Hash cheaply: how dear a hash is, one test of its own looks at."""
    cheap = PasswordHasher(time_cost=1, memory_cost=8, parallelism=1)
    monkeypatch.setattr(accounts, "_hasher", lambda: cheap)


@pytest.fixture
def link(bench):
    return accounts.issue_link(bench)


def test_a_link_opens_its_account(bench, link):
    assert accounts.find_link(bench, link).name == "leader"


def test_only_the_hash_of_a_link_is_stored(bench, link):
    assert link not in accounts.find_link(bench, link).link_hash


def test_a_link_works_once(bench, link):
    accounts.set_password(bench, link, GOOD)
    with pytest.raises(NotFound):
        accounts.set_password(bench, link, "another good one")


def test_a_link_lasts_a_week(bench, link, clock):
    clock.advance(days=7)
    assert accounts.find_link(bench, link) is None
    with pytest.raises(NotFound):
        accounts.set_password(bench, link, GOOD)


def test_a_newer_link_takes_the_place_of_an_older_one(bench, link):
    newer = accounts.issue_link(bench)
    assert accounts.find_link(bench, link) is None
    assert accounts.find_link(bench, newer)


def test_a_link_for_a_known_name_makes_no_second_account(bench, link):
    first = accounts.find_link(bench, link)
    assert accounts.find_link(bench, accounts.issue_link(bench, "leader")).id == first.id


def test_a_new_link_leaves_the_old_password_until_it_is_used(bench, link):
    accounts.set_password(bench, link, GOOD)
    accounts.issue_link(bench)
    assert accounts.check_password(bench, "leader", GOOD)


@pytest.mark.parametrize("password", ["", "x" * 9, "x" * 201])
def test_a_password_of_the_wrong_length_is_refused_and_keeps_the_link(bench, link, password):
    with pytest.raises(Invalid) as refused:
        accounts.set_password(bench, link, password)
    assert "password" in refused.value.messages
    assert accounts.find_link(bench, link)


@pytest.mark.parametrize("password", ["x" * 10, "x" * 200, "kalter Tee für später"])
def test_a_password_of_the_right_length_signs_in(bench, link, password):
    accounts.set_password(bench, link, password)
    assert accounts.check_password(bench, "leader", password).name == "leader"


def test_a_wrong_password_or_name_finds_nobody(bench, link):
    accounts.set_password(bench, link, GOOD)
    assert accounts.check_password(bench, "leader", GOOD + " ") is None
    assert accounts.check_password(bench, "Leader", GOOD) is None


@pytest.mark.usefixtures("link")
def test_an_account_without_a_password_cannot_sign_in(bench):
    assert accounts.check_password(bench, "leader", "") is None


def test_an_unknown_name_takes_as_much_work_as_a_known_one():
    decoy = extract_parameters(accounts.DECOY)
    assert decoy == extract_parameters(PasswordHasher().hash("anything"))


def test_a_password_is_known_to_be_set(bench, link):
    before = accounts.has_password(bench)
    accounts.set_password(bench, link, GOOD)
    assert (before, accounts.has_password(bench)) == (False, True)


def test_a_new_password_has_another_fingerprint(bench, link):
    first = accounts.fingerprint(accounts.set_password(bench, link, GOOD))
    again = accounts.set_password(bench, accounts.issue_link(bench), GOOD)
    assert accounts.fingerprint(again) != first


def test_the_secret_is_drawn_once(bench):
    secret = accounts.find_secret(bench)
    assert (accounts.find_secret(bench), len(secret)) == (secret, 64)


def test_an_account_is_found_by_its_id(bench, link):
    account = accounts.find_link(bench, link)
    assert accounts.find_account(bench, account.id).name == "leader"
