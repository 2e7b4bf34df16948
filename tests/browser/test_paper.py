"""Every sheet, printed by a real browser on A4 and on Letter, without its own page sizes."""

import os
import re
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Page

from server.tastings.accounts import issue_link
from tests.browser.at_seat import Room, Shop

SIZES = {"A4": (210, 297), "Letter": (216, 279)}
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


@pytest.fixture(scope="module")
def room(shop: Shop) -> Room:
    """Six seats and a spare one."""
    return shop.seal(rounds=str(ROUNDS))


@pytest.fixture(scope="module")
def leader(room: Room, kept_device: Any) -> Any:
    """A leader who has signed in."""
    page = kept_device.page
    page.goto(f"{room.home}/sign-in/{issue_link(room.bench)}")
    page.fill("#password", "six warm cups of tea")
    page.get_by_role("button", name="Set it and go on").click()
    page.locator("#home").wait_for()
    return kept_device


@pytest.fixture(scope="module")
def tasting(room: Room) -> str:
    """The address of the tasting."""
    return f"{room.home}/tastings/{room.table.id}"


def print_out(page: Page, name: str, size: str) -> list[tuple[int, int]]:
    """Print a page as a person would; return width and height of every sheet in mm."""
    folder = os.environ.get("ODDCUP_SHOTS")
    path = Path(folder) / f"paper-{re.sub(r'[^a-z]', '', name)}-{size}.pdf" if folder else None
    pdf = page.pdf(format=size, prefer_css_page_size=False, path=path)
    sheets = re.findall(rb"/Type\s*/Page\b.*?/MediaBox\s*\[([\d. ]+)\]", pdf, re.DOTALL)
    boxes = [[float(number) for number in one.split()] for one in sheets]
    return [(round(box[2] * 25.4 / 72), round(box[3] * 25.4 / 72)) for box in boxes]


@pytest.mark.parametrize("name", SHEETS)
def test_a_sheet_fits_on_a4_and_letter(room: Room, tasting: str, leader: Any, name: str) -> None:
    pouring = f"{room.home}/pour/{room.table.pourer}"
    home = pouring if name in ("fill", "trays") else tasting
    answer = leader.page.goto(f"{home}/paper/{name}")
    assert answer is not None
    assert answer.status == 200
    leader.shoot(f"paper-{re.sub('[^a-z]', '', name)}")
    for size, (width, height) in SIZES.items():
        printed = print_out(leader.page, name, size)
        lying = (height, width) if name.startswith("mats") else (width, height)
        assert printed == [lying] * SHEETS[name], size
        assert find_spilling(leader.page, lying[0], name) == [], size
    assert leader.faults == []


def find_spilling(page: Page, width: int, name: str) -> list[str]:
    """List what would reach beyond the right margin of a sheet of this width, in mm."""
    page.emulate_media(media="print")
    margin = 8 if name.startswith("mats") else 12
    found: list[str] = page.evaluate(SPILLING, width - 2 * margin)
    page.emulate_media(media="null")
    return found


def test_a_mat_has_three_circles_of_a_cups_size(tasting: str, leader: Any) -> None:
    leader.page.goto(f"{tasting}/paper/mats?round=1")
    assert leader.page.evaluate(MEASURE) == [[78, 78]] * 3


@pytest.mark.parametrize(("method", "circle"), [("tetrad", 60), ("two-out-of-five", 49)])
def test_more_cups_fit_on_one_mat_and_their_codes_in_one_line(
    shop: Shop, leader: Any, method: str, circle: int
) -> None:
    room = shop.seal(method=method, assessors="1", spare_seats="0", rounds="1")
    leader.page.goto(f"{room.home}/tastings/{room.table.id}/paper/mats")
    assert leader.page.evaluate(MEASURE) == [[circle, circle]] * 3
    for size, (width, height) in SIZES.items():
        assert print_out(leader.page, f"mats {method}", size) == [(height, width)]
        assert find_spilling(leader.page, height, "mats") == [], size
    leader.page.goto(f"{room.home}/pour/{room.table.pourer}/paper/trays")
    tops = leader.page.locator(".tray-codes span").evaluate_all(
        "all => all.map(one => one.getBoundingClientRect().top)"
    )
    assert len(tops) == room.table.layout.servings[0].cups[-1].position
    assert len(set(tops)) == 1


def test_the_run_card_is_found_from_the_tasting(tasting: str, leader: Any) -> None:
    page = leader.page
    page.goto(tasting)
    page.get_by_role("link", name="Print").click()
    page.fill("#start", "09:30")
    leader.shoot("paper-sheets")
    page.get_by_role("button", name="Show the run card").click()
    assert "09:30" in page.locator("#run_card").inner_text()
