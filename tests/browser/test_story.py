"""The whole story in real browsers: one leader, one pourer, six assessors, one finding."""

import json
import re
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import expect

ROUNDS = 3
PLAN = {
    "question": "Does the fresh cartridge leave a taste in our oolong?",
    "sample_a": "flushed cartridge",
    "sample_b": "fresh cartridge",
    "difference": "the cartridge in the water filter",
    "assessors": "6",
    "size_percent": "50",
}


@pytest.mark.timeout(300)
def test_a_tasting_from_question_to_finding(
    fresh_shop: Any, open_device: Any, tmp_path: Path
) -> None:
    leader = open_device("leader", viewport={"width": 1280, "height": 800})
    tasting, joining, pouring = plan_and_seal(leader, fresh_shop)
    pourer = open_device("pourer")
    pourer.page.goto(pouring)
    assessors = [open_assessor(open_device, seat, joining) for seat in range(1, 7)]
    for number in range(1, ROUNDS + 1):
        pour(pourer, pouring, number)
        for seat, assessor in enumerate(assessors, 1):
            taste(assessor, seat, number, pourer, pouring)
    for assessor in assessors:
        expect(assessor.page.locator("h1")).to_contain_text("Thank you")
        assessor.shoot("done")
    correct, trials = close_and_unseal(leader, tasting)
    document = download(leader, tmp_path)
    assert (correct, trials) == count(document)
    assert trials == 6 * ROUNDS
    for device in (leader, pourer, *assessors):
        assert device.faults == [], device.name


def plan_and_seal(leader: Any, shop: Any) -> tuple[str, str, str]:
    """Sign in, plan, seal; return the addresses of tasting, joining page and pourer."""
    page = leader.page
    page.goto(shop.link)
    page.fill("#password", "six warm cups of tea")
    page.get_by_role("button", name="Set it and go on").click()
    page.get_by_role("link", name="Plan a tasting", exact=True).click()
    for name, value in PLAN.items():
        page.fill(f"#{name}", value)
    page.check("[name=pourer][value=absent]")
    expect(page.locator("#preview")).to_contain_text("18")
    leader.shoot("plan")
    page.get_by_role("button", name="Keep this plan").click()
    page.get_by_role("button", name="Seal this plan").click()
    expect(page.locator("#table")).to_contain_text("0 of 18 answers")
    tasting = page.url
    page.get_by_role("link", name="Links and QR codes").click()
    joining = page.locator("text=/http.*join/").first.inner_text()
    pouring = page.locator("a[href*='/pour/']").first.get_attribute("href")
    leader.shoot("links")
    assert joining.startswith(shop.url)
    return tasting, joining, pouring


def open_assessor(open_device: Any, seat: int, joining: str) -> Any:
    """Take a seat: on tablets, on one phone, and on one device without JavaScript."""
    options: dict[str, Any] = {}
    if seat == 2:
        options = {"viewport": {"width": 390, "height": 844}, "has_touch": True}
    if seat == 3:
        options = {"java_script_enabled": False}
    assessor = open_device(f"assessor{seat}", **options)
    page = assessor.page
    page.goto(joining)
    page.check(f"[name=seat][value='{seat}']", force=True)
    page.fill("#name", f"T{seat}")
    assessor.shoot("join")
    page.get_by_role("button", name="Take this seat").click()
    expect(page.locator("h1")).to_contain_text("Before you taste")
    assessor.shoot("instructions")
    page.get_by_role("button", name="I have read this").click()
    expect(page.locator("h1")).to_contain_text("Are these your cups?")
    return assessor


def pour(pourer: Any, pouring: str, number: int) -> None:
    """Tick every pot and every tray of a round, and note one brew."""
    page = pourer.page
    page.goto(f"{pouring}?round={number}")
    for name in ("Poured", "Served"):
        left = page.get_by_role("button", name=name, exact=True)
        while left.count():
            before = left.count()
            left.first.click()
            expect(left).to_have_count(before - 1)
    page.fill("#tds", "1.31 1.32 1.31")
    page.fill("#temperature_c", "58,5")
    page.get_by_role("button", name="Note it").click()
    expect(page.locator("#slot")).to_contain_text("noted")
    pourer.shoot(f"round{number}")


def taste(assessor: Any, seat: int, number: int, pourer: Any, pouring: str) -> None:
    """One serving: compare codes, pick, look again, lock; with what people do on the way."""
    page = assessor.page
    if (seat, number) == (4, 2):
        call_and_settle(assessor, pourer, f"{pouring}?round={number}")
    assessor.shoot(f"codes{number}")
    page.get_by_role("button", name="Yes, in this order").click()
    expect(page.locator("legend")).to_contain_text("Which is the odd cup?")
    if (seat, number) == (5, 1):
        page.reload()
    fill_ballot(assessor, seat, number)
    lock = page.get_by_role("button", name="Lock it")
    if seat == 6:
        lock.dblclick(no_wait_after=True)
    else:
        lock.click()
    after = "Thank you" if number == ROUNDS else "Are these your cups?"
    expect(page.locator("h1")).to_contain_text(after)
    if (seat, number) == (1, 1):
        home = page.url
        page.go_back()
        page.goto(home)
        expect(page.locator("#step")).to_contain_text("Round 2 of 3")


def fill_ballot(assessor: Any, seat: int, number: int) -> None:
    """Pick a cup; who has no idea says so."""
    page = assessor.page
    page.locator("[name=pick]").nth((seat * number + number) % 3).check(force=True)
    if seat == number:
        page.check("[name=guess]")
        page.fill("#comment", "a bit like cardboard")
    assessor.shoot(f"ballot{number}")
    page.get_by_role("button", name="Go on").click()
    expect(page.locator("h1")).to_contain_text("Lock this answer?")
    assessor.shoot(f"review{number}")


def call_and_settle(assessor: Any, pourer: Any, round_url: str) -> None:
    """The codes differ: the pourer is called, puts it right, the assessor goes on."""
    assessor.page.get_by_role("button", name="Mine differ").click()
    expect(assessor.page.locator("h1")).to_contain_text("The pourer is called")
    assessor.shoot("called")
    pourer.page.goto(round_url)
    expect(pourer.page.locator("#round")).to_contain_text("Seat 4 calls")
    pourer.shoot("call")
    pourer.page.get_by_role("button", name="Put right").click()
    expect(pourer.page.locator("#round")).not_to_contain_text("Seat 4 calls")
    assessor.page.reload()


def close_and_unseal(leader: Any, tasting: str) -> tuple[int, int]:
    """Watch, close, unseal, read the finding; return what it counts."""
    page = leader.page
    page.goto(tasting)
    expect(page.locator("#progress")).to_contain_text("18 of 18 answers")
    leader.shoot("table")
    page.check("[name=pourer][value=absent]")
    page.get_by_role("button", name="Close the tasting").click()
    leader.shoot("closed")
    page.get_by_role("button", name="Unseal").click()
    expect(page.locator("#table")).to_contain_text("The seal holds")
    leader.shoot("unsealed")
    page.get_by_role("link", name="Read the finding").click()
    expect(page.locator("figure img")).to_have_count(2)
    for figure in page.locator("figure img").all():
        expect(figure).to_have_js_property("complete", True)
        assert figure.evaluate("image => image.naturalWidth") > 100
    leader.shoot("finding")
    found = re.search(
        r"(\d+) of (\d+)", page.locator("dt:text-is('Right answers') + dd").inner_text()
    )
    assert found
    return int(found[1]), int(found[2])


def download(leader: Any, folder: Path) -> dict[str, Any]:
    """Fetch the whole tasting as the leader's browser would."""
    with leader.page.expect_download() as waiting:
        leader.page.get_by_role("link", name="whole tasting").click()
    path = folder / "whole.json"
    waiting.value.save_as(path)
    document: dict[str, Any] = json.loads(path.read_bytes())
    return document


def count(document: dict[str, Any]) -> tuple[int, int]:
    """Count right answers from the file alone."""
    sealed = json.loads(document["sealed"])
    picks = {
        event["body"]["serving"]: event["body"]["answer"]["pick"]
        for event in document["events"]
        if event["kind"] == "answered"
    }
    right = 0
    for serving in sealed["servings"]:
        samples = [sealed["key"][cup["id"]][0] for cup in serving["cups"]]
        odd = next(at for at, one in enumerate(samples) if samples.count(one) == 1)
        right += picks.get(serving["id"]) == serving["cups"][odd]["code"]
    return right, len(picks)
