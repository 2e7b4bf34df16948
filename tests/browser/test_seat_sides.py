"""Pairs in which no cup is right, at a seat: with a network, and without one."""

from typing import Any

import pytest
from playwright.sync_api import expect

from tests.browser.at_seat import Shop, Sitter
from tests.browser.conftest import PHONE

SMALL = {"assessors": "1", "spare_seats": "0", "rounds": "2"}
ASKED = {
    "paired-comparison": {"attribute": "astringent"},
    "paired-preference": {"no_preference": "left_out"},
}


@pytest.mark.parametrize(
    ("method", "second", "verdict"),
    [
        ("paired-comparison", "", "You say {code} has more astringent."),
        ("paired-preference", "I like neither better", "You like neither cup better."),
    ],
)
def test_a_pair_is_answered_with_and_without_a_network(
    shop: Shop, open_device: Any, method: str, second: str, verdict: str
) -> None:
    device = open_device(method, viewport=PHONE, has_touch=True)
    room = shop.seal(method=method, **ASKED[method], **SMALL)
    sitter = Sitter(device.page, room.url(1)).open()
    (one, codes), (other, later) = (room.table.serving(1, number) for number in (1, 2))
    sitter.press("I have read this: start")
    sitter.press("Yes, in this order")
    choose(sitter, second or codes[1])
    device.shoot("ballot")
    sitter.press("Go on")
    expect(device.page.locator(".verdict")).to_have_text(verdict.format(code=codes[1]))
    device.shoot("review")
    sitter.press("Lock it")
    sitter.lose_network()
    sitter.press("Yes, in this order")
    choose(sitter, second or later[0])
    sitter.press("Go on")
    sitter.press("Lock it")
    sitter.find_network()
    sitter.wait_until_sent()
    picks = [room.record.answers[serving].answer["pick"] for serving in (one, other)]
    assert picks == (["neither", "neither"] if second else [codes[1], later[0]])
    assert sitter.faults == []


def choose(sitter: Sitter, words: str) -> None:
    """Tap what is written so."""
    sitter.page.locator("#step label", has_text=words).click()
