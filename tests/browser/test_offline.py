"""The network goes away in the middle of a tap: the page says so, and nothing is lost."""

from typing import Any

from playwright.sync_api import expect

from tests.browser.test_story import plan_and_seal


def test_a_tap_without_network_is_said_and_the_next_one_counts(shop: Any, open_device: Any) -> None:
    leader, assessor = open_device("leader"), open_device("assessor")
    tasting, joining, _ = plan_and_seal(leader, shop)
    page = assessor.page
    page.goto(joining)
    page.check("[name=seat][value='1']", force=True)
    page.get_by_role("button", name="Take this seat").click()
    page.get_by_role("button", name="I have read this").click()
    page.get_by_role("button", name="Yes, in this order").click()
    page.locator("[name=pick]").nth(1).check(force=True)
    page.get_by_role("button", name="Go on").click()
    expect(page.locator("h1")).to_contain_text("Lock this answer?")
    page.context.set_offline(True)
    page.get_by_role("button", name="Lock it").click()
    expect(page.locator("#offline")).to_be_visible()
    assessor.shoot("offline")
    page.context.set_offline(False)
    page.get_by_role("button", name="Lock it").click()
    expect(page.locator("h1")).to_contain_text("Are these your cups?")
    expect(page.locator("#offline")).to_be_hidden()
    leader.page.goto(tasting)
    expect(leader.page.locator("#progress")).to_contain_text("1 of 18 answers")
