"""A server process that dies without warning, and devices that do not give up."""

import os
import socket
import subprocess
import sys
import time
from dataclasses import dataclass, field
from datetime import UTC, datetime
from pathlib import Path
from typing import Self
from uuid import UUID

import httpx

LAST_LINE = b"Ctrl-C stops the server."
PATIENCE = 500  # seconds until a device gives up after all
PAUSE = 0.03  # seconds between two attempts to connect


def find_free_port() -> int:
    """Return a port that nobody listens on now."""
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port: int = free.getsockname()[1]
        return port


@dataclass
class KillableServer:
    """``oddcup serve`` on one port and one database, started as often as it is killed."""

    database_url: str
    port: int
    log: Path
    kills: int = 0

    @property
    def address(self) -> str:
        """Where devices find it."""
        return f"http://127.0.0.1:{self.port}"

    def start(self) -> None:
        """Start it, and return when it answers."""
        command = [sys.executable, "-m", "server", "serve", "--port", str(self.port)]
        around = {**os.environ, "ODDCUP_DATABASE_URL": self.database_url, "PYTHONUNBUFFERED": "1"}
        with self.log.open("ab") as log:
            self._process = subprocess.Popen(
                command, stdout=subprocess.PIPE, stderr=log, env=around
            )
        assert self._process.stdout
        for line in self._process.stdout:
            if line.strip() == LAST_LINE:
                return
        self.kill()
        raise AssertionError(f"the server did not start:\n{self.log.read_text()[-2000:]}")

    def kill(self) -> None:
        """Send SIGKILL, which no process can catch; return when it is dead."""
        self._process.kill()
        self._process.wait()
        assert self._process.stdout
        self._process.stdout.close()
        self.kills += 1

    def __enter__(self) -> Self:
        self.start()
        return self

    def __exit__(self, *_: object) -> None:
        self.kill()


@dataclass(frozen=True)
class Sent:
    """An answer that the server acknowledged, and when the acknowledged attempt began."""

    client_key: str
    body: dict[str, object]
    began: datetime


@dataclass
class Device:
    """The device of one seat: sends each form, with its own key, until it is acknowledged.

    ``acknowledged`` counts its requests that were, ``torn`` collects the number of each kill
    that tore one of them, ``key`` is that of the answer on its way now.
    """

    server: KillableServer
    token: str
    acknowledged: int = 0
    key: str = ""
    sent: dict[UUID, Sent] = field(default_factory=dict)
    torn: set[int] = field(default_factory=set)

    def taste(self, servings: list[tuple[UUID, str]]) -> None:
        """Go through the seat's servings, each with the code to pick."""
        headers = {"Origin": self.server.address}
        deadline = time.monotonic() + PATIENCE
        with httpx.Client(base_url=self.server.address, headers=headers, timeout=30) as http:
            self._send(http, deadline, "start", {})
            for number, (serving, pick) in enumerate(servings, 1):
                self._answer(http, deadline, serving, pick, f"round {number} of {self.token[:8]}")

    def _answer(
        self, http: httpx.Client, deadline: float, serving: UUID, pick: str, comment: str
    ) -> None:
        at, form = {"serving": str(serving)}, {"pick": pick, "guess": "on", "comment": comment}
        self._send(http, deadline, "codes", at | {"verdict": "yes"})
        self._send(http, deadline, "draft", at | form)
        self.key = f"form of {serving}"
        began = self._send(http, deadline, "answer", at | form | {"client_key": self.key})
        body: dict[str, object] = {"pick": pick, "guess": True, "comment": comment}
        self.sent[serving], self.key = Sent(self.key, body, began), ""

    def _send(
        self, http: httpx.Client, deadline: float, path: str, form: dict[str, str]
    ) -> datetime:
        """Send a form until it is acknowledged; return when the last attempt began."""
        while time.monotonic() < deadline:
            kills, began = self.server.kills, datetime.now(UTC)
            try:
                answer = http.post(f"/seat/{self.token}/{path}", data=form)
            except httpx.ConnectError:  # nobody there: nothing was sent
                time.sleep(PAUSE)
            except httpx.TransportError:
                self.torn.add(kills)
            else:
                assert answer.status_code == 303, (path, answer.status_code, answer.text)
                self.acknowledged += 1
                return began
        raise AssertionError(f"the server did not come back in {PATIENCE} s")
