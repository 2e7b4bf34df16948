"""The whole browser is killed, as by a power cut: what a seat kept is there again."""

import os
import shutil
import signal
from contextlib import suppress
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import BrowserContext, Error, expect

from tests.browser.at_seat import Room, Shop, Sitter
from tests.browser.conftest import QUIET, TABLET


@pytest.fixture
def room(shop: Shop) -> Room:
    """Six seats, three rounds."""
    return shop.seal(rounds="3")


def open_browser(chromium: Any, profile: Path) -> BrowserContext:
    """Open a browser whose storage lies in a folder, as that of a tablet does."""
    context: BrowserContext = chromium.browser_type.launch_persistent_context(
        profile,
        executable_path=shutil.which("chromium") or shutil.which("chromium-browser"),
        args=list(QUIET),
        viewport=TABLET,
    )
    return context


def kill(context: BrowserContext, profile: Path) -> None:
    """Kill the processes of one browser; they have no time to write anything."""
    for process in Path("/proc").glob("[0-9]*"):
        try:
            words = (process / "cmdline").read_bytes().decode(errors="replace").split("\0")
            if f"--user-data-dir={profile}" in words:
                os.kill(int(process.name), signal.SIGKILL)
        except OSError:  # it is gone already
            continue
    with suppress(Error):
        context.close()


@pytest.mark.skipif(not Path("/proc/self").exists(), reason="looks for processes in /proc")
def test_a_killed_browser_has_what_was_kept_and_typed(
    room: Room, chromium: Any, tmp_path: Path
) -> None:
    profile = tmp_path / "profile"
    context = open_browser(chromium, profile)
    sitter = Sitter(context.new_page(), room.url(1)).open()
    sitter.tap()
    sitter.lose_network()
    sitter.answer(2)
    sitter.tap()
    sitter.page.fill("#comment", "a little flat")
    sitter.page.wait_for_timeout(200)  # the disk takes some milliseconds
    kill(context, profile)
    context = open_browser(chromium, profile)
    again = Sitter(context.new_page(), room.url(1)).open()
    expect(again.page.locator("#step")).to_contain_text("Round 3 of 3")
    again.wait_until_sent()
    expect(again.page.locator("#comment")).to_have_value("a little flat")
    context.close()
    assert room.list_given("answered", "contested", "late") == list(sitter.locked.items())
