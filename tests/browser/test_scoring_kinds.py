"""Every kind of scale under a finger and under keys, kept over a reload, without barriers."""

from collections.abc import Iterator
from typing import Any

import pytest
from playwright.sync_api import Locator, Page, expect

from server.storage import queries
from server.tastings.importing import get_leader_id
from tests.browser.at_seat import Shop
from tests.browser.barriers import SMALL, WIDE, find_barriers
from tests.browser.conftest import PHONE, SHOP
from tests.scored_seats import EVERY_KIND, ScoredTable, seal_table


@pytest.fixture
def table(shop: Shop) -> ScoredTable:
    """A table whose sheet has every kind of scale."""
    made = seal_table(shop.bench, get_leader_id(shop.bench), EVERY_KIND)
    made.sit(1)
    return made


@pytest.fixture
def page(shop: Shop, table: ScoredTable, open_device: Any) -> Iterator[Page]:
    """A tablet at seat 1, before its sheet."""
    device = open_device("kinds")
    device.page.goto(f"http://{SHOP}:{shop.server.port}/seat/{table.tokens[1]}")
    device.page.get_by_role("button", name="Go on with these").click()
    expect(device.page.locator("form.sheet")).to_be_visible()
    yield device.page
    assert device.faults == []


def find(page: Page, label: str) -> Locator:
    """Find the value of a question for the first code, in the pass shown."""
    question = page.locator(".question:visible").filter(has=page.get_by_text(label, exact=True))
    return question.locator("fieldset.value").first


def read(value: Locator) -> dict[str, str]:
    """Read what a value would send, by the last part of each field's name."""
    told = value.evaluate("one => scoreValues.read(one)")
    return {name.rsplit(".", 1)[-1]: text for name, text in told}


def test_a_line_is_marked_by_a_tap_or_a_key_and_by_nothing_else(page: Page) -> None:
    line = find(page, "Sweet")
    track, mark = line.locator(".track"), line.locator(".line-mark")
    box = track.bounding_box()
    assert box
    page.mouse.move(box["x"] + 30, box["y"] + 20)
    page.mouse.wheel(0, 40)
    line.locator(".nudge").last.dispatch_event("click")
    track.press("ArrowRight")
    assert (mark.input_value(), line.get_attribute("data-said")) == ("", "")
    track.click(position={"x": box["width"] / 2, "y": 20})
    assert mark.input_value() == "500"
    line.locator(".nudge").last.click()
    assert mark.input_value() == "510"
    page.mouse.wheel(0, 40)
    assert mark.input_value() == "510"
    for key, value in (("7", "700"), ("ArrowLeft", "690"), ("End", "1000"), ("Delete", "")):
        track.press(key)
        assert mark.input_value() == value
    assert page.locator(".number-shown:visible").count() == 0


def test_a_line_can_be_typed_in_millimetres_by_who_asks_for_it(page: Page) -> None:
    line = find(page, "Sweet")
    typed, mark = line.locator(".mm input"), line.locator(".line-mark")
    expect(typed).to_be_hidden()
    page.get_by_role("button", name="type it in mm").first.click()
    typed.focus()
    page.keyboard.press("Tab")
    assert (mark.input_value(), line.get_attribute("data-said")) == ("", "")
    for text, value in (("74,5", "497"), ("151", "497"), ("75", "500"), ("", "")):
        typed.fill(text)
        page.mouse.wheel(0, 40)
        page.keyboard.press("Enter")
        assert mark.input_value() == value
        assert line.locator(".error").count() == (text == "151")
    line.locator(".track").press("3")
    assert typed.input_value() == "45"
    assert list(read(line)) == ["hot"]


def test_every_kind_takes_one_tap_and_outlives_a_reload(
    page: Page, shop: Shop, table: ScoredTable
) -> None:
    page.locator('[data-show=""]').click()
    for label, word in (("Body", "middle"), ("Sour", "right"), ("Apart", "much")):
        find(page, label).get_by_text(word, exact=True).click()
    find(page, "Liking").get_by_text("like slightly", exact=True).last.click()
    find(page, "Strength").locator("input").fill("12,5")
    hints = find(page, "Hints")
    for word in ("none of these", "ash", "cocoa"):
        hints.get_by_text(word).click()
    order = find(page, "Order")
    for tap in order.locator(".taps button").all()[:2]:
        tap.click()
    order.get_by_role("button", name="Undo the last").click()
    find(page, "Anything else").locator("textarea").fill("clean,\nround")
    page.locator("[data-show=hot]").click()
    flag = find(page, "Fault")
    flag.get_by_text("defect", exact=True).click()
    flag.get_by_text("clear").click()
    flag.locator("select").select_option("ash")
    expect(page.locator("[data-state]")).to_have_text("sent")
    page.reload()
    assert read(find(page, "Fault")) == {"hot": "yes", "intensity": "2", "word": "1", "own": ""}
    with shop.bench.reading() as db:
        draft = queries.find_draft(db, table.place(1).seat.id, table.servings(1)[0].id)
    assert draft
    said = {one["attribute"]: one["value"] for one in draft.body["values"]}
    assert said.pop("order") == [[table.servings(1)[0].codes[0]]]
    assert said == {
        **{"body": 1, "sour": 0, "apart": 1, "liking": 6, "strength": "12.5"},
        **{"hints": ["cocoa", "ash"], "note": "clean,\nround"},
        "fault": {"found": True, "intensity": 2, "word": "ash"},
    }


def test_keys_alone_score_row_by_row_and_enter_sends_nothing(page: Page) -> None:
    page.locator(".track").first.focus()
    for key in ("3", "Enter", "Tab", "Tab", "Tab", "Tab", "6", "Enter"):
        page.keyboard.press(key)
    marks = page.locator(".line-mark").evaluate_all("all => all.map(one => one.value)")
    assert marks[:3] == ["300", "600", ""]
    expect(page.locator("form.sheet")).to_be_visible()


def test_the_sheet_has_no_barriers_and_no_small_targets(page: Page) -> None:
    page.emulate_media(reduced_motion="reduce")
    page.locator(".track").first.click()
    for show in ('[data-show=""]', "[data-next]"):
        page.locator(show).click()
        assert find_barriers(page) == []
        assert page.evaluate(SMALL) == []
    page.set_viewport_size(PHONE)
    page.locator("[data-show=hot]").click()
    for view in ("one", "side"):
        page.locator(f"button[data-view={view}]").click()
        assert (page.evaluate(SMALL), page.evaluate(WIDE)) == ([], [])
