"""Every sheet, printed by a real browser on A4 and on Letter, without its own page sizes."""

import os
import re
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Page

SIZES = {"A4": (210, 297), "Letter": (216, 279)}
PLAN = {
    "question": "Does the fresh cartridge leave a taste in our oolong?",
    "sample_a": "flushed cartridge",
    "sample_b": "fresh cartridge",
    "difference": "the cartridge in the water filter",
    "assessors": "6",
    "size_percent": "50",
}
ROUNDS, SEATS = 3, 7
SHEETS = {
    "mats": ROUNDS * SEATS,
    "mats?round=2": SEATS,
    "seats": 2,
    "seal": 1,
    "run?start=22:45": 3,
    "fill": ROUNDS,
    "trays": ROUNDS,
}
MEASURE = """() => [...document.querySelectorAll('.place')].slice(0, 3).map(
  one => one.getBoundingClientRect()).map(box => [box.width, box.height].map(
  px => Math.round(px * 25.4 / 96)))"""
SPILLING = """width => { const body = document.body; body.style.width = width + 'mm';
  const edge = body.getBoundingClientRect().right + 1;
  const over = [...document.querySelectorAll('main *')].filter(
    one => one.getBoundingClientRect().right > edge).map(one => one.className || one.tagName);
  body.style.width = ''; return over }"""


def seal_one(leader: Any, shop: Any) -> tuple[str, str]:
    """Sign in, plan and seal; return the addresses of the tasting and of its pourer."""
    page = leader.page
    page.goto(shop.link)
    page.fill("#password", "six warm cups of tea")
    page.get_by_role("button", name="Set it and go on").click()
    page.goto(f"{shop.url}/tastings/new")
    for name, value in PLAN.items():
        page.fill(f"#{name}", value)
    page.check("[name=pourer][value=absent]")
    page.get_by_role("button", name="Keep this plan").click()
    page.get_by_role("button", name="Seal this plan").click()
    page.locator("#table").wait_for()
    tasting = page.url
    page.goto(f"{tasting}/links")
    pouring = page.locator("a[href*='/pour/']").first.get_attribute("href")
    assert pouring
    return tasting, pouring


def print_out(page: Page, name: str, size: str) -> list[tuple[int, int]]:
    """Print a page as a person would; return width and height of every sheet in mm."""
    folder = os.environ.get("ODDCUP_SHOTS")
    path = Path(folder) / f"paper-{re.sub(r'[^a-z]', '', name)}-{size}.pdf" if folder else None
    pdf = page.pdf(format=size, prefer_css_page_size=False, path=path)
    sheets = re.findall(rb"/Type\s*/Page\b.*?/MediaBox\s*\[([\d. ]+)\]", pdf, re.DOTALL)
    boxes = [[float(number) for number in one.split()] for one in sheets]
    return [(round(box[2] * 25.4 / 72), round(box[3] * 25.4 / 72)) for box in boxes]


@pytest.mark.long
@pytest.mark.timeout(300)
def test_every_sheet_fits_on_a4_and_letter(shop: Any, open_device: Any) -> None:
    leader = open_device("leader", viewport={"width": 1280, "height": 800})
    tasting, pouring = seal_one(leader, shop)
    for name, sheets in SHEETS.items():
        home = pouring if name in ("fill", "trays") else tasting
        answer = leader.page.goto(f"{home}/paper/{name}", wait_until="networkidle")
        assert answer is not None
        assert answer.status == 200
        leader.shoot(f"paper-{re.sub('[^a-z]', '', name)}")
        for size, (width, height) in SIZES.items():
            printed = print_out(leader.page, name, size)
            lying = (height, width) if name.startswith("mats") else (width, height)
            assert printed == [lying] * sheets, (name, size)
            assert find_spilling(leader.page, lying[0], name) == [], (name, size)
    assert leader.faults == []


def find_spilling(page: Page, width: int, name: str) -> list[str]:
    """List what would reach beyond the right margin of a sheet of this width, in mm."""
    page.emulate_media(media="print")
    margin = 8 if name.startswith("mats") else 12
    found: list[str] = page.evaluate(SPILLING, width - 2 * margin)
    page.emulate_media(media="null")
    return found


def test_a_mat_has_three_circles_of_a_cups_size(shop: Any, open_device: Any) -> None:
    leader = open_device("leader")
    tasting, _ = seal_one(leader, shop)
    leader.page.goto(f"{tasting}/paper/mats?round=1")
    assert leader.page.evaluate(MEASURE) == [[78, 78]] * 3


def test_the_run_card_is_found_from_the_tasting(shop: Any, open_device: Any) -> None:
    leader = open_device("leader")
    tasting, _ = seal_one(leader, shop)
    page = leader.page
    page.goto(tasting)
    page.get_by_role("link", name="Print").click()
    page.fill("#start", "09:30")
    leader.shoot("paper-sheets")
    page.get_by_role("button", name="Show the run card").click()
    assert "09:30" in page.locator("#run_card").inner_text()
