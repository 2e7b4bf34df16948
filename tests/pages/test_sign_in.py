import pytest
from argon2 import PasswordHasher

from server.pages.deps import COOKIE
from server.tastings import accounts

GOOD = "twelve warm cups"


@pytest.fixture(autouse=True)
def in_a_hurry(monkeypatch):
    """Hash cheaply."""
    cheap = PasswordHasher(time_cost=1, memory_cost=8, parallelism=1)
    monkeypatch.setattr(accounts, "_hasher", lambda: cheap)


@pytest.fixture
def link(bench):
    return accounts.issue_link(bench)


@pytest.fixture
def known(bench, link):
    """An account with a password."""
    return accounts.set_password(bench, link, GOOD)


def enter(device, password=GOOD, **more):
    return device.post("/sign-in", {"name": "leader", "password": password} | more)


def test_the_link_asks_for_a_password(client, link):
    page = client.get(f"/sign-in/{link}").text
    assert 'type="password"' in page
    assert "At least 10 characters." in page


def test_setting_a_password_signs_in(client, link):
    answer = client.post(f"/sign-in/{link}", {"password": GOOD})
    assert (answer.status_code, answer.headers["location"]) == (303, "/")
    assert client.get("/").status_code == 200


def test_a_used_link_is_no_longer_good(client, open_browser, link):
    client.post(f"/sign-in/{link}", {"password": GOOD})
    late = open_browser()
    assert late.get(f"/sign-in/{link}").status_code == 404
    assert late.post(f"/sign-in/{link}", {"password": "another good one"}).status_code == 404
    assert late.get("/").status_code == 303


def test_an_old_link_is_no_longer_good(client, link, clock):
    clock.advance(days=8)
    assert client.get(f"/sign-in/{link}").status_code == 404


@pytest.mark.parametrize("password", ["", "too short", "x" * 201])
def test_a_password_of_the_wrong_length_is_asked_for_again(client, link, password):
    answer = client.post(f"/sign-in/{link}", {"password": password})
    assert (answer.status_code, answer.headers.get("set-cookie")) == (422, None)
    assert "Take 10 to 200 characters." in answer.text


@pytest.mark.usefixtures("known")
def test_a_password_never_comes_back_in_a_page(client):
    answer = enter(client, "a secret of mine")
    assert (answer.status_code, "a secret of mine" in answer.text) == (422, False)


@pytest.mark.usefixtures("known")
def test_name_and_password_sign_in(client):
    answer = enter(client)
    assert (answer.status_code, answer.headers["location"]) == (303, "/")
    assert client.get("/").status_code == 200


@pytest.mark.usefixtures("known")
def test_with_a_script_running_one_signs_in_too(client):
    answer = client.post("/sign-in", {"name": "leader", "password": GOOD}, script=True)
    assert (answer.status_code, answer.headers["HX-Redirect"]) == (204, "/")


@pytest.mark.usefixtures("known")
@pytest.mark.parametrize("typed", [{"password": "wrong"}, {"name": "nobody"}, {"password": ""}])
def test_what_does_not_fit_is_refused_alike_for_known_and_unknown_names(client, typed):
    answer = enter(client, **typed)
    assert (answer.status_code, answer.headers.get("set-cookie")) == (422, None)
    assert "Name and password do not fit together." in answer.text


@pytest.mark.usefixtures("known")
def test_the_typed_name_is_kept(client):
    answer = enter(client, "wrong", name='<b>"Ona"')
    assert "&lt;b&gt;&#34;Ona&#34;" in answer.text


def test_an_empty_form_is_asked_for_again(client):
    assert client.post("/sign-in", {}).status_code == 422


@pytest.mark.usefixtures("known")
def test_a_script_gets_the_form_alone(client):
    answer = client.post("/sign-in", {"name": "leader", "password": "wrong"}, script=True)
    assert answer.text.lstrip().startswith('<form id="sign_in"')


@pytest.mark.usefixtures("known")
def test_the_cookie_is_out_of_reach_of_scripts_and_other_sites(client):
    cookie = enter(client).headers["set-cookie"]
    assert cookie.startswith(f"{COOKIE}=")
    assert {"HttpOnly", "SameSite=lax", "Path=/"} <= set(cookie.split("; "))


@pytest.mark.usefixtures("known")
def test_a_new_password_ends_old_cookies(bench, client):
    enter(client)
    accounts.set_password(bench, accounts.issue_link(bench), "another good one")
    assert client.get("/").status_code == 303


@pytest.mark.usefixtures("known")
def test_signing_in_leads_where_one_wanted_to_go(client):
    page = client.get("/sign-in?next=/tastings/new").text
    assert 'name="next" value="/tastings/new"' in page
    assert enter(client, next="/tastings/new").headers["location"] == "/tastings/new"


ELSEWHERE = [
    "//evil.example", "/\\evil.example", "\\\\evil.example", "https://evil.example",
    "/\t/evil.example", "/\n/evil.example", "javascript:alert(1)", "evil.example",
    "/a\\..\\\\evil.example", " //evil.example", "/é", "",
]  # fmt: skip


@pytest.mark.usefixtures("known")
@pytest.mark.parametrize("target", ELSEWHERE)
@pytest.mark.parametrize("script", [False, True])
def test_signing_in_never_leads_to_another_site(client, target, script):
    form = {"name": "leader", "password": GOOD, "next": target}
    headers = client.post("/sign-in", form, script=script).headers
    assert headers.get("location", headers.get("HX-Redirect")) == "/"


@pytest.mark.parametrize("target", ELSEWHERE)
def test_the_form_carries_no_other_site(client, target):
    page = client.get("/sign-in", params={"next": target}).text
    assert 'name="next" value="/"' in page


def test_signing_out_forgets_who_was_there(leader):
    answer = leader.post("/sign-out")
    assert (answer.status_code, answer.headers["location"]) == (303, "/sign-in")
    assert leader.get("/").status_code == 303


def test_signing_out_twice_is_signing_out(client):
    assert client.post("/sign-out").status_code == 303


def test_no_page_may_be_kept_by_a_browser(client, link):
    for url in ("/sign-in", f"/sign-in/{link}"):
        assert client.get(url).headers["cache-control"] == "no-store"
