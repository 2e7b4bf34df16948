"""Somebody at a seat on bad Wi-Fi: taps on, loses the network, opens the page again.

The device's clock is put forward where a page lets time pass: after a step was drawn, and
before it tries to send again.
"""

import json
import random
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import httpx
from playwright.sync_api import Page, expect

from server.storage import queries
from server.storage.engine import open_engine, sqlite_url
from server.storage.migrate import upgrade
from server.tastings import exporting, pouring
from server.tastings.bench import Bench
from tests.browser import stage
from tests.browser.conftest import SHOP
from tests.durability.killable import KillableServer, find_free_port

CODES, BALLOT, REVIEW = "Are these your cups?", "Which is the odd cup?", "Lock this answer?"
BUTTONS = {
    "Before you taste": "I have read this: start",
    CODES: "Yes, in this order",
    "The pourer is called": "The cups are right now",
    BALLOT: "Go on",
    REVIEW: "Lock it",
}
TAP = """([buttons, cup]) => {
  const step = document.getElementById('step'), asked = step.querySelector('h1').textContent;
  const name = buttons[Object.keys(buttons).find(part => asked.includes(part))];
  if (!name) return { asked, over: true };
  const button = [...step.querySelectorAll('button')].find(one => one.textContent === name);
  if (button.disabled) return null;
  if (name === 'Go on') step.querySelectorAll('[name=pick]')[cup].click();
  const fields = Object.fromEntries(new FormData(button.form));
  step.dataset.before = '';
  button.click();
  return { asked, fields, isLock: button.form.action.endsWith('/answer') };
}"""  # at one go: a step may be replaced by the server's at any time
CALM, LATEST = 450, 31_000  # ms: longer than a step takes no tap, than between two attempts
OUTBOX = "JSON.parse(localStorage.getItem(`oddcup outbox ${location.pathname.slice(6)}`)) ?? []"


@dataclass
class Room:
    """A sealed tasting, the server it lives on, and the leader's view of it."""

    bench: Bench
    table: stage.Table
    server: KillableServer

    @property
    def home(self) -> str:
        """The server's address, at the shop's name."""
        return f"http://{SHOP}:{self.server.port}"

    def url(self, seat: int) -> str:
        """Return a seat's link."""
        return f"{self.home}/seat/{self.table.tokens[seat - 1]}"

    @property
    def record(self) -> Any:
        """What is the case now."""
        with self.bench.reading() as db:
            return queries.load_record(db, self.table.id)

    def pass_on(self, route: Any) -> None:
        """Send a request to the server, as the network would; its answer is lost."""
        asked, home = route.request, self.server.address
        headers = {
            "Origin": home,
            "HX-Request": "true",
            "Content-Type": asked.headers["content-type"],
        }
        path = asked.url.partition(f":{self.server.port}")[2]
        httpx.post(home + path, content=asked.post_data, headers=headers).raise_for_status()

    @contextmanager
    def without_server(self) -> Iterator[None]:
        """Kill the server, and start it again at the end."""
        self.server.kill()
        try:
            yield
        finally:
            self.server.start()

    def settle_call(self, seat: int) -> None:
        """Put the cups of a calling seat right."""
        bar = pouring.find_bar(self.bench, self.table.pourer)
        assert bar
        pouring.settle_call(self.bench, bar, self.table.serving(seat)[0])

    def list_given(self, *kinds: str) -> list[tuple[str, str]]:
        """List serving and pick of the answers in the export, in order."""
        document = json.loads(exporting.export_tasting(self.bench, self.table.id).document)
        bodies = [event["body"] for event in document["events"] if event["kind"] in kinds]
        return [(body["serving"], body["answer"]["pick"]) for body in bodies]


@dataclass
class Shop:
    """A server that can be stopped and started, and its data."""

    bench: Bench
    server: KillableServer

    def seal(self, **plan: str) -> Room:
        """Seal a tasting."""
        return Room(self.bench, stage.seal_one(self.bench, **plan), self.server)


@contextmanager
def open_shop(folder: Path) -> Iterator[Shop]:
    """Start a server with data of its own."""
    url = sqlite_url(folder)
    bench = Bench(open_engine(url))
    upgrade(bench.engine)
    with KillableServer(url, find_free_port(), folder / "log") as server:
        yield Shop(bench, server)
    bench.engine.dispose()


@dataclass
class Sitter:
    """A device at a seat; ``locked`` is what it was told is locked or kept, by serving.

    ``began`` is what its clock says when the page is opened, if it is wrong.
    """

    page: Page
    url: str
    chance: random.Random = field(default_factory=lambda: random.Random(1))
    locked: dict[str, str] = field(default_factory=dict)
    faults: list[str] = field(default_factory=list)
    began: str | None = None

    def __post_init__(self) -> None:
        self.page.clock.install(time=self.began)
        self.listen()

    def listen(self) -> None:
        """Answer the browser's question whether to leave, and hear what goes wrong."""
        self.page.on("dialog", lambda dialog: dialog.accept())
        self.page.on("pageerror", lambda error: self.faults.append(str(error)))

    def open(self) -> "Sitter":
        """Open the seat's link."""
        self.page.goto(self.url)
        return self

    def lose_network(self) -> None:
        """Take the Wi-Fi away."""
        self.page.context.set_offline(True)

    def find_network(self) -> None:
        """Give it back."""
        self.page.context.set_offline(False)

    def open_again(self) -> "Sitter":
        """End the page without asking it, as a crash would, and open the link anew."""
        context = self.page.context
        if not self.page.is_closed():
            self.page.close()
        self.page = context.new_page()
        self.listen()
        return self.open()

    @property
    def heading(self) -> str:
        """What the step asks."""
        return self.page.locator("#step h1").first.inner_text()

    @property
    def serving(self) -> str:
        """Which serving the step is about."""
        field = self.page.locator("#step [name=serving]").first
        return field.get_attribute("value") or "" if field.count() else ""

    @property
    def outbox(self) -> list[dict[str, Any]]:
        """What the device keeps."""
        found: list[dict[str, Any]] = self.page.evaluate(OUTBOX)
        return found

    def tap(self) -> bool:
        """Do what the step asks for; return whether it asked for anything."""
        told = self._tap()
        if "over" in told:
            return False
        self.page.locator("#step:not([data-before])").wait_for()
        if told["isLock"] and self.is_locked(told["fields"]["serving"]):
            self.locked.setdefault(told["fields"]["serving"], told["fields"]["pick"])
        return True

    def _tap(self) -> dict[str, Any]:
        cup = self.chance.randrange(3)
        while (told := self.page.evaluate(TAP, [BUTTONS, cup])) is None:
            self.page.clock.run_for(CALM)
        return dict(told)

    def pick(self, cup: int) -> None:
        """Choose a cup."""
        self.page.locator("#step [name=pick]").nth(cup).check(force=True)

    def press(self, name: str) -> None:
        """Tap a button, and wait until another step stands there."""
        self.page.clock.run_for(CALM)
        self.page.evaluate("document.getElementById('step').dataset.before = ''")
        self.page.locator("#step").get_by_role("button", name=name).first.click()
        self.page.locator("#step:not([data-before])").wait_for()

    def is_locked(self, serving: str) -> bool:
        """Tell whether the device says that an answer is kept, or the server that it is locked."""
        kept = any((one["path"], one["serving"]) == ("answer", serving) for one in self.outbox)
        return kept or self.serving != serving

    def answer(self, rounds: int = 1) -> None:
        """Tap on until so many more answers are locked."""
        wanted = len(self.locked) + rounds
        while len(self.locked) < wanted:
            assert self.tap()

    def wait_until_sent(self) -> None:
        """Wait until nothing is kept here, and the step is the server's."""
        unsent = self.page.locator("#unsent")
        for _ in range(4):  # attempts: one of them may have begun before the network came back
            if unsent.is_visible():
                self.page.clock.fast_forward(LATEST)
                self.page.wait_for_timeout(50)
        expect(unsent).to_be_hidden(timeout=40_000)
        expect(self.page.locator("#step:not([data-local])")).to_be_visible()
