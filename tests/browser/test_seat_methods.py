"""Ballots that ask for more than one cup, at a seat: with a network, and without one."""

from typing import Any

from playwright.sync_api import expect

from tests.browser.at_seat import Room, Shop, Sitter
from tests.browser.barriers import find_barriers
from tests.browser.conftest import PHONE

START, FITTING = "I have read this: start", "Yes, in this order"
SMALL = {"assessors": "1", "spare_seats": "0", "rounds": "2"}


def sit_down(shop: Shop, device: Any, method: str) -> tuple[Room, Sitter]:
    room = shop.seal(method=method, **SMALL)
    sitter = Sitter(device.page, room.url(1)).open()
    sitter.press(START)
    sitter.press(FITTING)
    return room, sitter


def list_answers(room: Room) -> list[dict[str, Any]]:
    given = room.record.answers
    first, second = (room.table.serving(1, number)[0] for number in (1, 2))
    return [given[first].answer, given[second].answer]


def fits(device: Any, step: str) -> bool:
    """Tell whether nothing is cut off at the right, and every choice is large enough to tap."""
    device.shoot(step)
    targets = device.page.locator("#step label.pick, #step label.cup")
    boxes = [one.bounding_box() for one in targets.all()]
    width = device.page.evaluate("document.documentElement.scrollWidth")
    large = all(box and min(box["width"], box["height"]) >= 44 for box in boxes)
    return large and bool(width <= PHONE["width"])


def test_four_cups_are_sorted_into_pairs(shop: Shop, open_device: Any) -> None:
    device = open_device("tetrad", viewport=PHONE, has_touch=True)
    device.page.emulate_media(reduced_motion="reduce")  # no colour half-way to another
    room, sitter = sit_down(shop, device, "tetrad")
    a, b, c, d = room.table.serving(1)[1]
    sitter.press("Go on")
    expect(device.page.locator("#pairs-error")).to_contain_text("Choose one way")
    choose(sitter, f"{b} and {c}")
    assert fits(device, "ballot")
    assert find_barriers(device.page) == []
    sitter.press("Go on")
    verdict = f"You say {a} and {d} go together, and {b} and {c}."
    expect(device.page.locator(".verdict")).to_have_text(verdict)
    assert fits(device, "review")
    sitter.press("Change")
    expect(device.page.locator("#step .pick :checked")).to_have_value(f"{a} {d} / {b} {c}")
    choose(sitter, f"{a} and {b}")
    sitter.press("Go on")
    sitter.press("Lock it")
    e, f, g, h = sort_without_network(sitter, room)
    pairs = [one["pairs"] for one in list_answers(room)]
    assert pairs == [f"{a} {b} / {c} {d}", f"{e} {g} / {f} {h}"]
    assert sitter.faults == []


def choose(sitter: Sitter, pair: str) -> None:
    """Choose the way to sort that has these cups together."""
    sitter.page.locator("#step label.pick", has_text=pair).click()


def sort_without_network(sitter: Sitter, room: Room) -> tuple[str, ...]:
    """Sort the cups of round 2 on the device alone, then send it."""
    codes = room.table.serving(1, 2)[1]
    sitter.lose_network()
    sitter.press(FITTING)
    choose(sitter, f"{codes[0]} and {codes[2]}")
    sitter.press("Go on")
    expect(sitter.page.locator("#step fieldset:disabled .pick :checked")).to_have_count(1)
    sitter.press("Lock it")
    sitter.find_network()
    sitter.wait_until_sent()
    return codes


def test_two_cups_are_ticked_among_five(shop: Shop, open_device: Any) -> None:
    device = open_device("five", viewport=PHONE, has_touch=True)
    device.page.emulate_media(reduced_motion="reduce")  # no colour half-way to another
    room, sitter = sit_down(shop, device, "two-out-of-five")
    codes = room.table.serving(1)[1]
    tick(sitter, 1, 2, 4)
    sitter.press("Go on")
    expect(device.page.locator("#pair-error")).to_contain_text("Tick exactly two cups")
    expect(device.page.locator("#step .cup :checked")).to_have_count(3)
    tick(sitter, 2)
    assert fits(device, "ballot")
    assert find_barriers(device.page) == []
    sitter.press("Go on")
    verdict = f"You say {codes[0]} and {codes[3]} are the two."
    expect(device.page.locator(".verdict")).to_have_text(verdict)
    assert fits(device, "review")
    sitter.press("Lock it")
    later = tick_without_network(sitter, room)
    pairs = [one["pair"] for one in list_answers(room)]
    assert pairs == [f"{codes[0]} {codes[3]}", f"{later[0]} {later[4]}"]
    assert sitter.faults == []


def tick_without_network(sitter: Sitter, room: Room) -> tuple[str, ...]:
    """Three ticks are not kept on the device, two are."""
    sitter.lose_network()
    sitter.press(FITTING)
    tick(sitter, 1, 3, 5)
    sitter.page.get_by_role("button", name="Go on").click()
    expect(sitter.page.locator("#step .cup :invalid")).to_have_count(1)
    assert [one["path"] for one in sitter.outbox] == ["codes"]
    tick(sitter, 3)
    sitter.press("Go on")
    sitter.press("Lock it")
    sitter.find_network()
    sitter.wait_until_sent()
    return room.table.serving(1, 2)[1]


def tick(sitter: Sitter, *places: int) -> None:
    """Tap cups, counted from 1 at the left: a ticked one loses its tick."""
    for place in places:
        sitter.page.locator("#step label.cup").nth(place - 1).click()
