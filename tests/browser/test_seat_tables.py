"""Methods served as a scored table of one question, on a phone; the table locked offline."""

from typing import Any
from uuid import UUID

import pytest
from playwright.sync_api import Page, expect

from server.sheets.starters import get_starter
from server.tastings.importing import get_leader_id
from tests.browser.at_seat import Shop, Sitter
from tests.browser.conftest import PHONE, SHOP
from tests.scored_seats import ScoredTable, seal_table

CALM = 420  # ms after which a tap is no longer the second half of a double tap
CONTROL = {
    "serves": "difference-from-control",
    "primary": "difference",
    "reference": "A",
    "warm_up": "A",
}
RANKING = {"serves": "ranking", "primary": "order"}
SAY = """asked => {
  const open = [...document.querySelectorAll('fieldset.value')].filter(one => one.offsetParent);
  for (const group of open) {
    const taps = [...group.querySelectorAll('.taps button')];
    if (taps.length) asked.toReversed().forEach(code => {
      taps.find(one => one.textContent.startsWith(code)).click();
    });
    const nth = asked.indexOf(group.dataset.field.split('.')[2]);
    group.querySelectorAll('.word input')[nth]?.click();
  }
}"""  # ranks the codes from right to left; the nth code gets word n, from 0


@pytest.mark.parametrize("method", [CONTROL["serves"], RANKING["serves"]])
def test_a_table_of_one_question_is_answered_on_a_phone(
    shop: Shop, open_device: Any, method: str
) -> None:
    table = seal(shop, CONTROL if method == CONTROL["serves"] else RANKING)
    device = open_device(method, viewport=PHONE, has_touch=True)
    sitter = Sitter(device.page, f"http://{SHOP}:{shop.server.port}/seat/{table.tokens[1]}").open()
    sitter.press("I have read this: start")
    if method == CONTROL["serves"]:
        sitter.press("Yes, these codes")
        expect(device.page.locator("#step h1")).to_have_text("The open control")
        device.shoot("open-control")
        sitter.press("Tasted: to the table")
    sitter.press("Yes, these codes")
    sitter.lose_network()
    serving = table.servings(1)[-1]
    say(device.page, list(serving.codes))
    device.shoot("scored")
    device.page.locator("[data-lock]").click()
    expect(device.page.locator("#kept li")).to_have_text("Your table: kept here")
    sitter.find_network()
    expect(device.page.locator("#step h1")).to_have_text("Thank you, that was all", timeout=40_000)
    assert find_values(table, serving.id) == expect_values(method, list(serving.codes))
    assert sitter.faults == []


def seal(shop: Shop, plan: dict[str, str]) -> ScoredTable:
    """Seal a table of four batches for one person."""
    sheet, small = get_starter(plan["serves"]).sheet, {"assessors": 1, "spare_seats": 0}
    return seal_table(shop.bench, get_leader_id(shop.bench), sheet, **plan, **small)


def expect_values(method: str, codes: list[str]) -> list[tuple[str, Any]]:
    """Return what was tapped: an order from right to left, or words in turn."""
    if method == RANKING["serves"]:
        return [("", [[code] for code in reversed(codes)])]
    return sorted((code, at) for at, code in enumerate(codes))


def find_values(table: ScoredTable, serving: UUID) -> list[tuple[str, Any]]:
    """Return the values that were locked, by code."""
    answer = table.place(1).record.answers[serving].answer
    return sorted((one["code"], one["value"]) for one in answer["values"])


def say(page: Page, codes: list[str]) -> None:
    """Answer screen by screen, until the table can be locked."""
    while page.locator("[data-finish]").is_hidden():
        page.evaluate(SAY, codes)
        page.clock.run_for(CALM)
        page.locator("[data-next]").click()
