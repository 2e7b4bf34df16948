"""A real server process and a real browser; the shop's address is a mapped host name.

On localhost a browser grants a page powers (clipboard, service workers, crypto.subtle) that
it withholds on plain http in a shop's network, so the tests never open localhost.
A browser, and a server for whoever needs no other, are kept for all files of this folder.
Set ``ODDCUP_SHOTS`` to a folder to keep screenshots.
"""

import os
import re
import shutil
import socket
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, sync_playwright

if TYPE_CHECKING:
    from tests.browser import at_seat

SHOP = "shop.lan"
TABLET, PHONE, LAPTOP = (
    {"width": width, "height": height} for width, height in ((820, 1180), (390, 844), (1280, 800))
)
# Of several such lists Chromium heeds the last, so this one repeats what Playwright turns off and
# what could change a page. The last three draw the browser's own window, which nobody sees: two
# more processes for every device.
TURNED_OFF = (
    "AvoidUnnecessaryBeforeUnloadCheckSync",
    "DestroyProfileOnBrowserClose",
    "HttpsUpgrades",
    "HttpsFirstBalancedModeAutoEnable",
    "MediaRouter",
    "NetworkTimeServiceQuerying",
    "OptimizationHints",
    "PaintHolding",
    "ThirdPartyStoragePartitioning",
    "SpareRendererForSitePerProcess",
    "WebUIOmniboxAimPopup",
    "WebUIOmniboxPopup",
)
QUIET = (
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    f"--disable-features={','.join(TURNED_OFF)}",
    f"--host-resolver-rules=MAP {SHOP} 127.0.0.1",
)


@dataclass(frozen=True)
class FreshShop:
    """A running server: its address, the leader's one-time link, its data."""

    url: str
    link: str
    data: Path


@contextmanager
def run_shop(folder: Path) -> Iterator[FreshShop]:
    """Start ``oddcup serve`` on a free port and stop it at the end."""
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    data, url = folder / "data", f"http://{SHOP}:{port}"
    command = [sys.executable, "-m", "server", "serve", "--port", str(port)]
    command += ["--data-dir", str(data), "--base-url", url]
    quiet = {**os.environ, "PYTHONUNBUFFERED": "1"}
    with (folder / "requests.log").open("wb") as log:
        server = subprocess.Popen(command, stdout=subprocess.PIPE, stderr=log, env=quiet)
        assert server.stdout
        try:
            yield FreshShop(url, _read_link(server.stdout), data)
        finally:
            server.terminate()
            server.wait(20)
            server.stdout.close()


@pytest.fixture(scope="module")
def fresh_shop(tmp_path_factory: pytest.TempPathFactory) -> Iterator[FreshShop]:
    """A server for the tests of one file, where nobody has signed in."""
    with run_shop(tmp_path_factory.mktemp("shop")) as running:
        yield running


@pytest.fixture(scope="package")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Iterator["at_seat.Shop"]:
    """A server for all files: each test seals a tasting of its own there."""
    from tests.browser.at_seat import open_shop

    with open_shop(tmp_path_factory.mktemp("kept")) as running:
        yield running


def _read_link(lines: Any) -> str:
    for line in lines:
        found = re.search(rb"http://\S+/sign-in/\w+", line)
        if found:
            return str(found[0].decode())
    raise AssertionError("the server ended without a one-time link")


# Not for the session: the driver's event loop runs in this thread, and other tests need one too.
@pytest.fixture(scope="package")
def chromium() -> Iterator[Browser]:
    """Debian's or the system's own Chromium; nothing is downloaded."""
    path = shutil.which("chromium") or shutil.which("chromium-browser")
    if path is None:
        pytest.skip("Chromium is not installed")
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=path, args=list(QUIET))
        yield browser
        browser.close()


class Device:
    """A person's browser: one page, its faults, its screenshots."""

    def __init__(self, context: BrowserContext, name: str) -> None:
        self.name = name
        self.page: Page = context.new_page()
        self.faults: list[str] = []
        self.page.on("pageerror", lambda error: self.faults.append(f"error: {error}"))
        self.page.on("console", self._hear)

    def _hear(self, message: Any) -> None:
        if message.type == "error":
            self.faults.append(message.text)

    def shoot(self, name: str) -> None:
        """Keep a screenshot, if somebody wants to look."""
        folder = os.environ.get("ODDCUP_SHOTS")
        if folder:
            file = f"{folder}/{self.name}-{name}.png"
            # hiding the caret would take an inline style, which the pages forbid
            self.page.screenshot(path=file, full_page=True, caret="initial")


@contextmanager
def open_devices(chromium: Browser) -> Iterator[Any]:
    """Open devices, each in a context of its own."""
    contexts: list[BrowserContext] = []

    def open_one(name: str, **options: Any) -> Device:
        context = chromium.new_context(**{"viewport": TABLET, **options})
        context.set_default_timeout(10_000)
        contexts.append(context)
        return Device(context, name)

    yield open_one
    for context in contexts:
        context.close()


@pytest.fixture
def open_device(chromium: Browser) -> Iterator[Any]:
    """Open a device; it is closed at the end of the test."""
    with open_devices(chromium) as open_one:
        yield open_one


@pytest.fixture(scope="module")
def kept_device(chromium: Browser) -> Iterator[Device]:
    """A tablet for all tests of a module."""
    with open_devices(chromium) as open_one:
        yield open_one("tablet")
