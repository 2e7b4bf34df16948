"""Six people score four samples of two bowls on devices of their own; one loses the network."""

from typing import Any

import pytest
from playwright.sync_api import Page, expect

from server.storage import queries
from server.tastings.answering import find_draft
from server.tastings.importing import get_leader_id
from tests.browser.at_seat import Shop
from tests.browser.conftest import LAPTOP, PHONE, SHOP, TABLET
from tests.scored_seats import SHORT, ScoredTable, seal_table

SIZES = (TABLET, TABLET, TABLET, PHONE, PHONE, LAPTOP)
OFFLINE = 4
CALM = 420  # ms after which a tap is no longer the second half of a double tap
TAPS = """() => {
  const groups = [...document.querySelectorAll('fieldset.value')].filter(one => one.offsetParent);
  for (const group of groups) {
    const track = group.querySelector('.track');
    if (!track) { group.querySelector('input[type=radio]')?.click(); continue; }
    const { left, width } = track.getBoundingClientRect();
    track.dispatchEvent(new MouseEvent('click', { bubbles: true, clientX: left + width / 4 }));
  }
  return groups.length;
}"""


@pytest.fixture
def table(shop: Shop) -> ScoredTable:
    """Six seats, four batches, two bowls of each."""
    return seal_table(shop.bench, get_leader_id(shop.bench), SHORT, bowls=2)


def sit_down(page: Page, shop: Shop, table: ScoredTable, seat: int) -> None:
    """Open a seat's link and go on to its sheet."""
    page.clock.install()
    page.goto(f"http://{SHOP}:{shop.server.port}/seat/{table.tokens[seat]}")
    for name in ("I have read this: start", "Yes, these codes"):
        page.get_by_role("button", name=name).click()
    expect(page.locator("form.sheet")).to_be_visible()


def score_on(page: Page) -> int:
    """Score what is shown and go on, until what is missing is told; count the screens."""
    screens = 0
    while page.locator("[data-finish]").is_hidden():
        page.evaluate(TAPS)
        page.clock.run_for(CALM)
        page.locator("[data-next]").click()
        screens += 1
    return screens


def test_six_people_score_a_table_and_one_of_them_offline(
    shop: Shop, table: ScoredTable, open_device: Any
) -> None:
    devices = [open_device(f"seat {n}", viewport=size) for n, size in enumerate(SIZES, 1)]
    for seat, device in enumerate(devices, 1):
        page = device.page
        sit_down(page, shop, table, seat)
        page.evaluate(TAPS)
        if seat == OFFLINE:
            page.context.set_offline(True)
        # side by side a screen a pass; one by one a screen a code where more than one thing is
        # asked, here of four codes in one pass of three
        assert score_on(page) == (3 if page.viewport_size["width"] > 640 else 4 + 1 + 1)
        page.locator("[data-lock]").click()
        if seat == OFFLINE:
            expect(page.locator("#kept li")).to_have_text("Your table: kept here")
        else:
            expect(page.locator("#step h1")).to_have_text("Thank you, that was all")
    page = devices[OFFLINE - 1].page
    page.context.set_offline(False)
    expect(page.locator("#step h1")).to_have_text("Thank you, that was all", timeout=40_000)
    with shop.bench.reading() as db:
        record = queries.load_record(db, table.id)
    # four codes: sweet twice, a flag for each of two bowls
    assert [len(one.answer["values"]) for one in record.answers.values()] == [4 * 4] * 6
    assert (record.contests, record.late) == ({}, [])
    assert all(240 <= one["value"] <= 260 for one in find_lines(record))  # to a pixel


def test_what_is_tapped_before_the_first_sip_waits_on_its_device(
    shop: Shop, table: ScoredTable, open_device: Any
) -> None:
    page = open_device("seat 1", viewport=TABLET).page
    sit_down(page, shop, table, 1)
    table.step("poured")
    taps = page.evaluate(TAPS)
    expect(page.locator("p[data-held]")).to_be_visible()  # it was told, and came anew
    state = page.locator("[data-state]")
    expect(state).to_have_text(f"{taps} kept here")
    expect(page.locator(".value .error").first).to_contain_text("Nobody sips yet")
    assert count_kept(shop, table) == 0
    table.step("sip")
    page.evaluate("dispatchEvent(new Event('online'))")  # sooner than it asks by itself
    expect(state).to_have_text("sent")
    expect(page.locator(".value .error")).to_have_count(0)
    assert count_kept(shop, table) == taps


def test_a_table_scored_offline_waits_for_the_first_sip_and_is_not_lost(
    shop: Shop, table: ScoredTable, open_device: Any
) -> None:
    page = open_device("seat 1", viewport=TABLET).page
    sit_down(page, shop, table, 1)
    page.context.set_offline(True)
    score_on(page)
    page.locator("[data-lock]").click()
    table.step("poured")
    page.context.set_offline(False)
    expect(page.locator("#kept li")).to_contain_text("not taken, and kept here", timeout=30_000)
    expect(page.locator("[data-lock]")).to_be_disabled()
    assert (count_kept(shop, table), len(table.place(1).record.answers)) == (0, 0)
    table.step("sip")
    page.evaluate("dispatchEvent(new Event('online'))")
    expect(page.locator("[data-state]")).to_have_text("sent")
    page.locator("[data-lock]").click()
    expect(page.locator("#step h1")).to_have_text("Thank you, that was all")
    expect(page.locator("#kept li.refused")).to_have_count(0)
    (answer,) = table.place(1).record.answers.values()
    assert len(answer.answer["values"]) == 4 * 4


def count_kept(shop: Shop, table: ScoredTable) -> int:
    """Count the values of seat 1 that the server has."""
    draft = find_draft(shop.bench, table.place(1))
    return len(draft["values"]) if draft else 0


def find_lines(record: Any) -> list[dict[str, Any]]:
    """List the values of all lines."""
    answers = (one.answer["values"] for one in record.answers.values())
    return [value for values in answers for value in values if value["attribute"] == "sweet"]
