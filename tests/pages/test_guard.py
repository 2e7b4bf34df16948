import asyncio
import logging

import httpx
import pytest

from server.app import create_app
from server.pages import joining
from server.pages.deps import MOST_FIELDS
from server.pages.guard import LARGEST_BODY
from server.settings import Settings

HOME = "http://bench.test"
FORM = b"code=ABC234"


@pytest.fixture
def send(app):
    """Send a raw form; the headers are all that is sent beside the host."""

    def send(headers, app=app, body=FORM):
        content = {"Content-Type": "application/x-www-form-urlencoded"}

        async def go():
            transport = httpx.ASGITransport(app)
            async with httpx.AsyncClient(transport=transport, base_url=HOME) as http:
                return await http.post("/join", content=body, headers=content | headers)

        return asyncio.run(go())

    return send


@pytest.mark.parametrize("header", ["Origin", "Referer"])
def test_a_form_of_this_site_is_taken(send, header):
    assert send({header: HOME + ("/join" if header == "Referer" else "")}).status_code == 404


@pytest.mark.parametrize(
    "headers",
    [
        {},
        {"Origin": "null"},
        {"Origin": "http://evil.example"},
        {"Referer": "http://evil.example/bench.test"},
        {"Origin": "http://bench.test.evil.example"},
        {"Origin": "http://bench.test:81"},
        {"Origin": "http://evil.example", "Referer": HOME},
        {"Origin": "http://["},
        {"Referer": "//"},
    ],
)
def test_a_form_from_anywhere_else_is_refused(send, headers):
    answer = send(headers)
    assert (answer.status_code, "not sent from this site" in answer.text) == (403, True)


def test_a_form_may_come_from_the_address_the_server_was_told(bench, send):
    settings = Settings("none: the bench has one", "https://tea.example/bar")
    behind = create_app(settings, bench)
    assert send({"Origin": "https://tea.example"}, behind).status_code == 404
    assert send({"Origin": "https://evil.example"}, behind).status_code == 403


def test_a_form_of_unknown_length_is_refused(send):
    async def pieces():
        yield FORM

    assert send({"Origin": HOME}, body=pieces()).status_code == 411


@pytest.mark.parametrize("length", ["²", "-1", "ten", "1.5"])
def test_a_length_that_is_no_number_is_refused(send, length):
    headers = {"Origin": HOME, "Content-Length": length.encode("latin-1")}
    assert send(headers).status_code == 411


@pytest.mark.parametrize("length", [str(LARGEST_BODY + 1), "9" * 5000])
def test_a_form_too_large_is_refused_before_it_is_read(send, length):
    assert send({"Origin": HOME, "Content-Length": length}).status_code == 413


def test_too_many_fields_are_refused(client):
    answer = client.post("/join", {f"field{number}": "x" for number in range(MOST_FIELDS + 1)})
    assert answer.status_code == 400


def test_a_file_is_refused(client):
    answer = client.post("/join", files={"code": ("cups.txt", b"x")})
    assert answer.status_code == 400


def test_a_form_that_is_no_form_is_an_empty_one(client):
    answer = client.post("/join", content=b"\xff\xfe", headers={"Content-Type": "text/plain"})
    assert answer.status_code == 422


@pytest.fixture
def broken(monkeypatch):
    """Let the joining page fall over."""

    def fall(*_):
        raise RuntimeError("the secret word 5eed5eed")

    monkeypatch.setattr(joining, "find_join_view", fall)


PAGES = ["/sign-in", "/join", "/join/ABC234", "/nowhere", "/seat/5eed", "/pour/5eed",
         "/static/oddcup.css", "/static/nowhere.css", "/", "/tastings/x"]  # fmt: skip


@pytest.mark.parametrize("url", PAGES)
def test_every_answer_carries_the_headers_that_keep_it_in_bounds(client, url):
    headers = client.get(url).headers
    policy = headers["content-security-policy"]
    assert policy.startswith("default-src 'none'; script-src 'self'; style-src 'self'")
    assert "unsafe" not in policy
    assert "frame-ancestors 'none'" in policy
    assert headers["x-content-type-options"] == "nosniff"
    assert headers["referrer-policy"] == "same-origin"


def test_a_refused_form_carries_them_too(send):
    for answer in (send({}), send({"Origin": HOME, "Content-Length": "9" * 9})):
        assert "content-security-policy" in answer.headers


@pytest.mark.usefixtures("broken")
def test_a_fault_has_a_friendly_page_with_all_headers(client):
    answer = client.get("/join/ABC234")
    assert (answer.status_code, "Our mistake" in answer.text) == (500, True)
    assert "content-security-policy" in answer.headers
    assert "5eed" not in answer.text
    assert "Traceback" not in answer.text


@pytest.mark.usefixtures("broken")
def test_a_fault_is_logged_with_its_place_and_without_the_path(client, caplog):
    client.get("/join/ABC234")
    assert "in choose_seat" in caplog.text
    assert "failed: GET /join/{code}" in caplog.text
    assert "ABC234" not in caplog.text


def test_a_fault_of_the_database_is_logged_without_the_word_of_a_link(bench, client, caplog, play):
    with bench.writing() as db:
        db.connection().exec_driver_sql("ALTER TABLE pourerlink RENAME TO gone")
        db.commit()
    assert client.get(f"/pour/{play.made.pourer}").status_code == 500
    assert "pourerlink" in caplog.text
    assert play.made.pourer not in caplog.text


def test_a_line_is_logged_for_a_request_with_its_route_and_no_word(client, caplog, play):
    caplog.set_level(logging.INFO, logger="oddcup.requests")
    client.get(f"/seat/{play.made.tokens[1]}")
    client.get(f"/pour/{play.made.pourer}?round=2")
    client.get("/nowhere/5eed")
    lines = [one.getMessage() for one in caplog.records if one.name == "oddcup.requests"]
    assert [line.rsplit(" ", 2)[0] for line in lines] == [
        "GET /seat/{token} 200",
        "GET /pour/{token} 200",
        "GET (no route) 404",
    ]


def test_a_path_no_database_can_look_for_is_not_there(client):
    assert client.get("/seat/%00").status_code == 404


@pytest.mark.parametrize("method", ["PUT", "DELETE", "PATCH"])
def test_other_ways_to_call_a_page_are_not_known(app, method):
    async def go():
        transport = httpx.ASGITransport(app)
        async with httpx.AsyncClient(transport=transport, base_url=HOME) as http:
            return await http.request(method, "/join", content=FORM, headers={"Origin": HOME})

    assert asyncio.run(go()).status_code == 405


def test_who_leaves_before_a_form_is_sent_makes_a_line_and_no_fault(app, caplog):
    scope = {
        "type": "http", "method": "POST", "path": "/join", "query_string": b"",
        "http_version": "1.1",
        "scheme": "http", "root_path": "", "raw_path": b"/join", "client": None, "server": None,
        "headers": [
            (b"host", b"bench.test"), (b"origin", HOME.encode()), (b"content-length", b"11"),
            (b"content-type", b"application/x-www-form-urlencoded"),
        ],
    }  # fmt: skip

    async def leave():
        return {"type": "http.disconnect"}

    async def send_nothing(message):
        raise AssertionError(message)

    with caplog.at_level(logging.INFO, logger="oddcup.requests"):
        asyncio.run(app(scope, leave, send_nothing))
    assert "failed" not in caplog.text
    assert "POST /join 499" in caplog.text
