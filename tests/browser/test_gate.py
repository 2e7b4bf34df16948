"""Brew, read, fail at both gates, go on with reasons, and find them in the finding."""

import re
from typing import Any

import pytest
from playwright.sync_api import expect

from server.storage import tables
from server.tastings.accounts import issue_link
from tests.brew_rows import RECIPE
from tests.browser import stage
from tests.browser.at_seat import Shop
from tests.browser.conftest import SHOP

TRIED, SERVED = "the buyer comes at ten", "the guests are seated"
pytestmark = pytest.mark.timeout(120)


def put_recipes(shop: Shop, draft: Any) -> None:
    """Have both samples brewed by recipes that differ in the water alone."""
    with shop.bench.writing() as db:
        row = db.get_one(tables.Tasting, draft)
        row.plan = row.plan | {
            "bench": {"recipes": {"A": RECIPE, "B": RECIPE | {"water_g": "310"}}}
        }
        db.add(row)
        db.commit()


def sign_in(page: Any, shop: Shop, site: str) -> None:
    page.goto(f"{site}/sign-in/{issue_link(shop.bench)}")
    page.fill("#password", "six warm cups of tea")
    page.get_by_role("button", name="Set it and go on").click()
    page.locator("#home").wait_for()


def brew_trial(page: Any, level: str, tds: str) -> None:
    """Brew a trial on its sheet, read it and keep it."""
    page.get_by_role("button", name=f"Brew a trial of {level}").click()
    page.get_by_role("button", name="Water on").click()
    fields = {
        "tds": tds,
        "temperature_c": "60",
        "fill_g": "40",
        "dose_g": "20",
        "beverage_g": "260",
    }
    for name, value in fields.items():
        page.fill(f"#{name}", value)
    page.get_by_role("button", name="Keep this brew").click()
    expect(page.get_by_role("button", name="Note the readings")).to_be_visible()


def note(page: Any, slot: str, tds: str) -> None:
    page.select_option("#slot", slot)
    for name, value in {"tds": tds, "temperature_c": "60", "fill_g": "40"}.items():
        page.fill(f"#{name}", value)
    page.get_by_role("button", name="Note it").click()


def test_what_was_overridden_at_both_gates_limits_the_finding(shop: Shop, open_device: Any) -> None:
    draft = stage.draft_one(shop.bench, rounds="1")
    put_recipes(shop, draft)
    site = f"http://{SHOP}:{shop.server.port}"
    page, home = open_device("leader").page, f"{site}/tastings/{draft}"
    sign_in(page, shop, site)

    for level, tds in (("A", "1.30 1.31"), ("B", "1.48 1.48")):
        page.goto(f"{home}/bench")
        brew_trial(page, level, tds)
    page.goto(f"{home}/bench")
    expect(page.locator("#match")).to_contain_text("Strength not matched: 0.175 %TDS apart")

    page.goto(home)
    page.get_by_role("button", name="Seal this plan").click()
    expect(page.locator("#reason-error")).to_contain_text("The trial brews are not matched")
    page.fill("#reason", TRIED)
    page.get_by_role("button", name="Seal this plan").click()
    expect(page.locator(".tag", has_text="sealed").first).to_be_visible()

    table = stage.look_up(shop.bench, draft)
    pour(page, f"{site}/pour/{table.pourer}")
    table.answer_all()
    table.close()
    page.goto(home)
    page.get_by_role("button", name=re.compile("^Unseal")).click()
    page.goto(f"{home}/finding")
    for reason in (TRIED, SERVED):
        expect(page.locator("main")).to_contain_text(f"Reason given: “{reason}”")


def pour(page: Any, address: str) -> None:
    """Read both first pots, find that one waits, and release it with a reason."""
    page.goto(address)
    note(page, "A1", "1.30")
    note(page, "B1", "1.48")
    first = page.locator("article", has=page.get_by_role("heading", name="B1"))
    first.get_by_role("button", name="Poured").click()
    expect(page.get_by_role("alert").first).to_contain_text("Brew B1 waits: strength")
    page.fill("#release_reason-B1", SERVED)
    page.get_by_role("button", name="Release brew B1").click()
    first.get_by_role("button", name="Poured").click()
    expect(first.get_by_role("button", name="✓ poured (undo)")).to_be_visible()
