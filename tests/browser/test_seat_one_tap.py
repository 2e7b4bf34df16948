"""Ballots of one tap, method by method, at a seat: with a network, and without one."""

from typing import Any

import pytest
from playwright.sync_api import expect

from tests.browser.at_seat import Shop, Sitter
from tests.browser.conftest import PHONE

SMALL = {"assessors": "1", "spare_seats": "0", "rounds": "4"}
NAMED = {"attribute": "astringent", "more": "B"}
ASKED = {
    "2-afc": NAMED,
    "3-afc": NAMED,
    "duo-trio": {},
    "duo-trio-constant": {},
    "paired-comparison": {"attribute": "astringent"},
    "paired-preference": {"no_preference": "left_out"},
    "a-not-a": {"told_shares": "on"},
    "same-different": {},
}


@pytest.mark.parametrize(
    ("method", "second", "verdict"),
    [
        ("2-afc", "", "You say {code} has more astringent."),
        ("3-afc", "", "You say {code} has the most astringent."),
        ("duo-trio", "", "You say {code} is like the reference."),
        ("duo-trio-constant", "", "You say {code} is like the reference."),
        ("paired-comparison", "", "You say {code} has more astringent."),
        ("paired-preference", "I like neither better", "You like neither cup better."),
        ("a-not-a", "No, it is not A", "You say this cup is not A."),
        ("same-different", "Different", "You say these two are different."),
    ],
)
def test_a_serving_is_answered_with_and_without_a_network(
    shop: Shop, open_device: Any, method: str, second: str, verdict: str
) -> None:
    device = open_device(method, viewport=PHONE, has_touch=True)
    room = shop.seal(method=method, **ASKED[method], **SMALL)
    sitter = Sitter(device.page, room.url(1)).open()
    (one, codes), (other, later) = (room.table.serving(1, number) for number in (1, 2))
    sitter.press("I have read this: start")
    sitter.press("Yes, in this order")
    choose(sitter, second or codes[-1])
    device.shoot("ballot")
    sitter.press("Go on")
    expect(device.page.locator(".verdict")).to_have_text(verdict.format(code=codes[-1]))
    device.shoot("review")
    sitter.press("Lock it")
    sitter.lose_network()
    sitter.press("Yes, in this order")
    choose(sitter, second or later[1])
    sitter.press("Go on")
    sitter.press("Lock it")
    sitter.find_network()
    sitter.wait_until_sent()
    answers = [room.record.answers[serving].answer for serving in (one, other)]
    said = {"paired-preference": "neither", "a-not-a": "no", "same-different": "no"}.get(method)
    given = [answer.get("pick", answer.get("said")) for answer in answers]
    assert given == ([said, said] if said else [codes[-1], later[1]])
    assert sitter.faults == []


def choose(sitter: Sitter, words: str) -> None:
    """Tap what is written so."""
    sitter.page.locator("#step label", has_text=words).click()
