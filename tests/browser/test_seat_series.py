"""A rising series played at one seat, its last step without a network."""

from typing import Any

from playwright.sync_api import expect

from server.tastings.importing import get_leader_id
from server.tastings.sealing import seal_tasting
from tests.browser import stage
from tests.browser.at_seat import Room, Shop, Sitter
from tests.browser.conftest import PHONE
from tests.series_forms import draft_series

SMALL = {"assessors": "1", "spare_seats": "0", "steps": "0.5 1 2"}


def test_a_series_is_played_to_its_end(shop: Shop, open_device: Any) -> None:
    device = open_device("series", viewport=PHONE, has_touch=True)
    device.page.emulate_media(reduced_motion="reduce")
    tasting_id = draft_series(shop.bench, get_leader_id(shop.bench), **SMALL)
    seal_tasting(shop.bench, tasting_id)
    room = Room(shop.bench, stage.look_up(shop.bench, tasting_id), shop.server)
    sitter = Sitter(device.page, room.url(1)).open()
    expect(device.page.locator("#step")).to_contain_text("ask the leader before the first sip")
    sitter.press("I have read this: start")
    for number in (1, 2, 3):
        if number == 3:
            sitter.lose_network()
        sitter.press("Yes, in this order")
        device.page.locator("#step [name=pick]").nth(number - 1).click(force=True)
        sitter.press("Go on")
        device.shoot(f"review {number}")
        sitter.press("Lock it")
    sitter.find_network()
    sitter.wait_until_sent()
    given = {room.table.serving(1, n)[0]: room.table.serving(1, n)[1][n - 1] for n in (1, 2, 3)}
    assert {one: said.answer["pick"] for one, said in room.record.answers.items()} == given
    assert sitter.faults == []
