"""The server as it is started, reached and stopped by hand."""

import re
import signal
import socket
import subprocess
import sys
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

import httpx
import pytest

from server.cli.serving import Doors, draw_code, greet

LAST_LINE = "Ctrl-C stops the server."


@dataclass(frozen=True)
class Started:
    """A running server and what it printed once it answered."""

    process: subprocess.Popen[str]
    greeting: str

    @property
    def address(self) -> str:
        """The first printed address."""
        return re.findall(r"^  (http://\S+)$", self.greeting, re.MULTILINE)[0]

    @property
    def link(self) -> str:
        """The printed one-time link."""
        return re.findall(r"^  (http://\S+/sign-in/\w+)$", self.greeting, re.MULTILINE)[0]

    def stop(self) -> tuple[int, str, str]:
        """Press Ctrl-C; return exit code, the last words, and what it complained of."""
        self.process.send_signal(signal.SIGINT)
        out, err = self.process.communicate(timeout=20)
        return self.process.returncode, out, err


@pytest.fixture
def start(tmp_path: Path) -> Iterator[Callable[..., Started]]:
    """Start a server on a free port with a fresh data folder."""
    running: list[subprocess.Popen[str]] = []

    def start(*arguments: str) -> Started:
        command = [sys.executable, "-m", "server", *arguments]
        process = subprocess.Popen(
            [*command, "--port", "0", "--data-dir", str(tmp_path / "data")],
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            text=True,
        )
        running.append(process)
        assert process.stdout
        lines = []
        while not lines or lines[-1].strip() != LAST_LINE:
            lines.append(process.stdout.readline())
            assert lines[-1], process.communicate()[1]
        return Started(process, "".join(lines))

    yield start
    for process in running:
        process.kill()
        process.communicate()


def test_the_printed_link_signs_the_leader_in(start: Callable[..., Started]) -> None:
    server = start("serve")
    page = httpx.get(server.link)
    assert (page.status_code, "password" in page.text) == (200, True)


def test_ctrl_c_stops_the_server_without_complaint(start: Callable[..., Started]) -> None:
    server = start("serve")
    httpx.get(f"{server.address}/sign-in")  # it runs: before that, a busy machine is starting it
    code, out, err = server.stop()
    assert (code, out) == (0, "Stopped.\n")
    assert [line for line in err.splitlines() if " GET " not in line] == []


def test_a_request_is_logged_by_its_route_without_its_token(
    start: Callable[..., Started],
) -> None:
    server = start("serve")
    httpx.get(server.link)
    log = server.stop()[2]
    assert "GET /sign-in/{token} 200" in log
    assert server.link.rsplit("/", 1)[1] not in log


def test_the_server_does_not_say_what_it_is_made_of(start: Callable[..., Started]) -> None:
    assert "server" not in httpx.get(f"{start('serve').address}/sign-in").headers


def test_once_a_password_is_set_no_link_is_printed_unasked(
    start: Callable[..., Started],
) -> None:
    server = start("serve")
    sent = {"password": "twelve warm cups"}
    answer = httpx.post(server.link, data=sent, headers={"Origin": server.address})
    assert answer.status_code == 303, answer.text
    server.stop()
    again = start("serve")
    assert "/sign-in/" not in again.greeting
    again.stop()
    assert "/sign-in/" in start("serve", "--new-link").greeting


def test_a_demo_has_its_sample_tastings_and_a_link_at_every_start(
    start: Callable[..., Started],
) -> None:
    first = start("demo")
    first.stop()
    second = start("demo")
    assert re.match(r"Sample tastings, all invented: [1-9]", second.greeting)
    assert httpx.get(second.link).status_code == 200
    assert first.link != second.link


def test_a_base_url_is_what_links_carry(start: Callable[..., Started]) -> None:
    server = start("serve", "--base-url", "https://tea.example/bar/")
    assert "  https://tea.example/bar/sign-in/" in server.greeting
    assert "█" in server.greeting


@pytest.fixture
def greeting() -> Callable[..., list[str]]:
    """Greet from a server that two networks reach."""

    def greeting(base_url: str = "http://10.0.0.5:8520", *, show_code: bool = True) -> list[str]:
        addresses = ["http://10.0.0.5:8520", "http://192.168.1.20:8520"]
        with socket.socket() as listener:
            return greet(Doors(listener, addresses, base_url, show_code), None)

    return greeting


def test_every_address_and_a_code_of_the_first_are_printed(
    greeting: Callable[..., list[str]],
) -> None:
    lines = greeting()
    assert lines[1:3] == ["  http://10.0.0.5:8520", "  http://192.168.1.20:8520"]
    assert draw_code("http://10.0.0.5:8520") in lines


def test_a_base_url_comes_first_and_into_the_code(greeting: Callable[..., list[str]]) -> None:
    lines = greeting("https://tea.example")
    assert lines[1] == "  https://tea.example"
    assert draw_code("https://tea.example") in lines


def test_on_this_machine_alone_no_code_is_needed(greeting: Callable[..., list[str]]) -> None:
    assert "█" not in "".join(greeting(show_code=False))


def test_a_code_has_its_quiet_zone_of_four_modules() -> None:
    """ISO/IEC 18004 asks for four light modules on every side: here two rows of half blocks."""
    rows = draw_code("http://10.0.0.5:8520").splitlines()
    assert {rows[0], rows[1]} == {"█" * len(rows[0])}
    assert all(row.startswith("████") and row.endswith("████") for row in rows[2:-2])
