"""Who may come in: every route of the leader, found from the router, is tried with every role."""

import re
from uuid import UUID

import pytest
from fastapi.routing import iter_route_contexts
from itsdangerous import URLSafeTimedSerializer, timed

from server.pages.deps import COOKIE, get_signer
from server.tastings import accounts

NOWHERE = UUID(int=1, version=4)


@pytest.fixture
def routes(app):
    """Every path of the application with its method."""
    found = []
    for context in iter_route_contexts(app.routes):
        found += [(method, context.path) for method in getattr(context, "methods", None) or ()]
    return [(method, path) for method, path in found if method in ("GET", "POST")]


@pytest.fixture
def led_routes(routes):
    """The leader's routes about one tasting."""
    return [one for one in routes if one[1].startswith("/tastings/{tasting_id}")]


def fill(path, tasting_id):
    values = {"tasting_id": tasting_id, "kind": "seat", "number": 1, "name": "guessing"}
    return re.sub(r"\{(\w+)\}", lambda found: str(values.get(found[1], NOWHERE)), path)


def call(device, method, url):
    return device.get(url) if method == "GET" else device.post(url, {})


def test_every_route_of_the_leader_is_found(led_routes):
    assert len(led_routes) >= 22


PLANNER = (
    ("POST", "/plans/proposal"), ("POST", "/plans/contenders"), ("GET", "/plans/power.svg"),
)  # fmt: skip


def test_whoever_is_not_signed_in_is_asked_to_sign_in(client, led_routes, play):
    urls = [(method, fill(path, play.made.id)) for method, path in led_routes]
    urls += [("GET", "/"), ("GET", "/tastings/new"), ("POST", "/tastings/new")]
    urls += [("GET", "/tastings/new/planner"), ("POST", "/tastings/new/filled")]
    for method, url in [*urls, ("POST", "/plans/preview"), *PLANNER]:
        answer = call(client, method, url)
        wanted = url if method == "GET" else "/"
        assert (answer.status_code, answer.headers["location"]) == (
            303,
            f"/sign-in?next={wanted}",
        ), (method, url)


@pytest.mark.parametrize("which", ["sealed", "draft"])
def test_a_tasting_of_somebody_else_is_not_there(stranger, led_routes, play, draft, which):
    tasting_id = draft if which == "draft" else play.made.id
    for method, path in led_routes:
        answer = call(stranger, method, fill(path, tasting_id))
        assert answer.status_code == 404, (method, path)
    assert play.record.version == 0


@pytest.mark.parametrize("name", [NOWHERE, "x", "1", "%00", "..%2f..", "é", "a" * 3000])
def test_a_tasting_that_is_not_there_has_a_friendly_page(leader, led_routes, name):
    for method, path in led_routes:
        answer = call(leader, method, fill(path, name))
        assert answer.status_code == 404, (method, path)
        assert "Traceback" not in answer.text


def test_a_draft_has_none_of_the_pages_of_a_sealed_tasting(leader, led_routes, draft):
    for_drafts = ("", "/plan", "/look", "/look/draw", "/seal", "/delete", "/progress", "/chart")
    for method, path in led_routes:
        page = path.removeprefix("/tastings/{tasting_id}")
        if page not in for_drafts and not page.startswith("/bench"):  # there brews are tried out
            answer = call(leader, method, fill(path, draft))
            assert answer.status_code == 404, (method, path)


@pytest.mark.parametrize("word", ["0" * 40, "x", "%00", "a" * 3000])
def test_a_word_that_opens_nothing_opens_nothing(client, routes, word):
    by_word = [one for one in routes if "{token}" in one[1]]
    assert len(by_word) >= 14
    for method, path in by_word:
        answer = call(client, method, path.replace("{token}", word))
        assert answer.status_code == 404, (method, path)


def test_a_seats_word_opens_no_bar_and_a_pourers_no_seat(client, routes, play):
    words = {"/seat/": play.made.pourer, "/pour/": play.made.tokens[1]}
    for method, path in routes:
        for start, word in words.items():
            if path.startswith(start):
                answer = call(client, method, path.replace("{token}", word))
                assert answer.status_code == 404, (method, path)


def test_no_word_opens_the_leaders_pages(client, home, play):
    for cookie in (play.made.pourer, play.made.tokens[1], play.made.code):
        client.cookies.set(COOKIE, cookie)
        assert client.get(home).status_code == 303


def test_a_cookie_changed_by_one_letter_is_worth_nothing(leader, home):
    cookie = leader.cookies[COOKIE]
    leader.cookies.clear()
    other = "A" if cookie[-9] != "A" else "B"
    leader.cookies.set(COOKIE, cookie[:-9] + other + cookie[-8:])
    assert leader.get(home).status_code == 303


@pytest.mark.parametrize("content", [["no id", "x"], [str(NOWHERE), "x"], ["one"], 7, None])
def test_a_signed_cookie_of_nobody_is_worth_nothing(bench, client, content):
    client.cookies.set(COOKIE, get_signer(bench).dumps(content))
    assert client.get("/").status_code == 303


def test_a_cookie_signed_by_another_installation_is_worth_nothing(account, client):
    forged = URLSafeTimedSerializer("another secret", salt="leader")
    client.cookies.set(COOKIE, forged.dumps([str(account.id), accounts.fingerprint(account)]))
    assert client.get("/").status_code == 303


def test_a_cookie_ends_after_a_fortnight(leader, monkeypatch):
    assert leader.get("/").status_code == 200
    later = timed.time.time() + 60 * 60 * 24 * 14 + 5
    monkeypatch.setattr(timed.time, "time", lambda: later)
    assert leader.get("/").status_code == 303


def test_a_fragment_asked_for_after_signing_out_leads_to_a_whole_page(client, home):
    answer = client.get(f"{home}/progress?v=1", script=True)
    assert (answer.status_code, answer.headers["HX-Redirect"]) == (204, "/sign-in?next=/")


def test_characters_no_database_takes_are_dropped_from_a_form(leader, plan_form):
    answer = leader.post("/tastings/new", plan_form(sample_b="fresh\0 cartridge"))
    page = leader.get(answer.headers["location"]).text
    assert "fresh cartridge" in page
    assert "\0" not in page
