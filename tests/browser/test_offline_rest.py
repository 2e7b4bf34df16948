"""The minute between two rounds: right after a pause, a reload, a sleep; it blocks nothing."""

import re
from typing import Any

import pytest
from playwright.sync_api import expect

from tests.browser.at_seat import CODES, Shop, Sitter

LONG_AGO = "2020-02-02T02:02:02"


@pytest.fixture
def sitter(shop: Shop, open_device: Any) -> Sitter:
    """A tablet whose clock is six hours wrong, at a seat that has answered round 1."""
    page = open_device("resting").page
    found = Sitter(page, shop.seal(rounds="2").url(1), began=LONG_AGO).open()
    for _ in range(4):
        found.tap()
    assert found.heading == CODES
    page.locator("#step .rest").wait_for()
    return found


def read_rest(sitter: Sitter) -> int:
    """Return the seconds left on the screen, 0 if none are shown."""
    rest = sitter.page.locator("#step .rest")
    if not rest.is_visible():
        return 0
    found = re.search(r"(\d):(\d\d)", rest.inner_text())
    assert found
    return 60 * int(found[1]) + int(found[2])


def test_the_rest_is_counted_down_to_nothing(sitter: Sitter) -> None:
    assert 50 <= read_rest(sitter) <= 60
    sitter.page.clock.fast_forward(20_000)  # as after a sleep: timers are not made up for
    assert 30 <= read_rest(sitter) <= 40
    sitter.page.clock.fast_forward(45_000)
    assert read_rest(sitter) == 0


def test_a_reload_and_a_wrong_clock_change_nothing(sitter: Sitter) -> None:
    sitter.page.reload()
    sitter.page.locator("#step .rest").wait_for()
    assert 40 <= read_rest(sitter) <= 60


def test_nobody_is_kept_from_going_on(sitter: Sitter) -> None:
    sitter.answer()
    expect(sitter.page.locator("#step h1")).to_have_text("Thank you, that was all")
    assert read_rest(sitter) == 0


def test_without_a_network_it_counts_from_the_tap(shop: Shop, open_device: Any) -> None:
    page = open_device("resting").page
    sitter = Sitter(page, shop.seal(rounds="2").url(1), began=LONG_AGO).open()
    sitter.tap()
    sitter.lose_network()
    sitter.tap()
    page.clock.fast_forward(1000)
    sitter.tap()
    page.clock.fast_forward(1000)
    sitter.tap()
    page.clock.fast_forward(31_000)
    assert 20 <= read_rest(sitter) <= 30
    sitter.find_network()
    page.clock.fast_forward(31_000)
    sitter.wait_until_sent()
    assert read_rest(sitter) == 0
