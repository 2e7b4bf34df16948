"""The clock of a brew, on a tablet with a wrong clock and a network that comes and goes."""

import re
from typing import Any

import pytest
from playwright.sync_api import Page, expect

from server.tastings import brew_sheets
from server.tastings.brew_clock import note_tap
from server.tastings.importing import get_leader_id
from server.tastings.planning import read_plan
from tests.brewing_bench import seal_with_recipe
from tests.browser.at_seat import Shop
from tests.browser.stage import PLAN

LONG_AGO = "2020-02-02T02:02:02"
READ = "document.querySelector('.brew-clock').textContent"


@pytest.fixture
def brew(shop: Shop) -> tuple[str, Any]:
    """A brew for a slot whose first water touched the coffee a minute ago; what it says now."""
    bench, leader = shop.bench, get_leader_id(shop.bench)
    tasting_id, token = seal_with_recipe(bench, leader, read_plan(PLAN))
    brew_id = brew_sheets.begin_brew(bench, leader, tasting_id=tasting_id, slot="A1")
    note_tap(bench, leader, brew_id, {"tap": "start", "ago": "60"})
    url = f"http://shop.lan:{shop.server.port}/pour/{token}/brew/A1"
    return url, lambda: brew_sheets.get_brew(bench, leader, brew_id).brewed


def read_clock(page: Page) -> int:
    """Return the seconds that the clock shows."""
    found = re.fullmatch(r"(\d+):(\d\d)", page.evaluate(READ))
    assert found
    return 60 * int(found[1]) + int(found[2])


def test_a_brew_goes_on_whatever_its_tablet_goes_through(
    brew: tuple[str, Any], open_device: Any
) -> None:
    url, find = brew
    device = open_device("brewing")
    page = device.page
    page.clock.install(time=LONG_AGO)
    page.goto(url)
    assert 60 <= read_clock(page) <= 75  # the server's seconds, six years ago
    page.clock.fast_forward(30_000)  # a sleep: timers are not made up for
    assert 90 <= read_clock(page) <= 105

    page.route("**/tap", lambda route: route.abort())  # no network
    page.locator("#next-button").dblclick()  # a wet finger: one tap all the same
    expect(page.locator("#next-words")).to_have_text("Pour to 320 g, in circles")
    expect(page.locator("#now-words")).to_have_text("Stir")
    expect(page.locator("#unsent")).to_be_visible()
    expect(page.locator("body")).to_have_attribute("data-sounded", "2")  # due, and heard
    assert len(find().steps) == 1

    page.reload()  # what was tapped is still there, and waits
    row = page.locator("tr[data-place='1'] .brew-done")
    expect(row).to_have_text(re.compile(r"^[01]:\d\d$"))
    page.unroute("**/tap")
    page.clock.fast_forward(40_000)
    expect(page.locator("#unsent")).to_be_hidden()
    # by the server a minute has passed since the water; by the tablet 40 s since the tap
    assert [one.planned for one in find().steps] == [0, 1]
    assert 15 <= find().steps[1].at_s <= 35
    assert [one for one in device.faults if one.startswith("error")] == []
