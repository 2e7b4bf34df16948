"""The screens of a seat without a network: barriers, small targets, three sizes of screen."""

from typing import Any

import pytest

from tests.browser.at_seat import CALM, Shop, Sitter
from tests.browser.barriers import SMALL, WIDE, find_barriers
from tests.browser.conftest import LAPTOP, PHONE, TABLET

STEPS = ("codes", "call", "ballot", "review", "next", "end", "refused")
SIZES = {"tablet": TABLET, "phone": PHONE, "laptop": LAPTOP}
SET_ASIDE = """() => {
  const name = Object.keys(localStorage).find(one => one.startsWith('oddcup outbox'));
  const kept = JSON.parse(localStorage[name]);
  kept.at(-1).state = 'refused';
  localStorage[name] = JSON.stringify(kept);
  window.dispatchEvent(new Event('storage'));
}"""


@pytest.fixture(scope="module")
def seen(shop: Shop, kept_device: Any) -> dict[str, Any]:
    """Walk through two rounds without a network; return what is wrong with each step."""
    device = kept_device
    found: dict[str, Any] = {}
    sitter = Sitter(device.page, shop.seal(rounds="2").url(1)).open()
    device.page.emulate_media(reduced_motion="reduce")  # no colour half-way to another
    sitter.lose_network()
    taps = {
        "codes": sitter.tap,
        "call": lambda: sitter.press("Mine differ"),
        "ballot": sitter.tap,
        "review": lambda: write_and_go_on(sitter),
        "next": sitter.tap,
        "end": lambda: sitter.answer(1),
        "refused": lambda: device.page.evaluate(SET_ASIDE),
    }
    for step in STEPS:
        taps[step]()
        device.page.clock.run_for(CALM)
        device.page.locator("#step button[disabled]").first.wait_for(state="detached")
        found[step] = look(device, step)
    sitter.find_network()
    sitter.wait_until_sent()
    found["faults"] = sitter.faults
    return found


def write_and_go_on(sitter: Sitter) -> None:
    """Fill the whole ballot in."""
    sitter.pick(1)
    sitter.page.check("#step [name=guess]")
    sitter.page.fill("#step [name=comment]", "a bit like cardboard")
    sitter.press("Go on")


def look(device: Any, step: str) -> list[str]:
    """List what is wrong with the step in any size."""
    problems = find_barriers(device.page)
    for name, size in SIZES.items():
        device.page.set_viewport_size(size)
        device.name = f"offline-{name}"
        device.shoot(step)
        problems += [
            f"{name}: {one}" for script in (SMALL, WIDE) for one in evaluate(device, script)
        ]
    device.page.set_viewport_size(TABLET)
    return problems


def evaluate(device: Any, script: str) -> list[str]:
    """Run a script that lists problems."""
    found: list[str] = device.page.evaluate(script)
    return found


@pytest.mark.parametrize("step", STEPS)
def test_a_step_without_a_network_is_as_good_as_one_with(seen: dict[str, Any], step: str) -> None:
    assert seen[step] == []


def test_no_script_fails_on_the_way(seen: dict[str, Any]) -> None:
    assert seen["faults"] == []
