"""The network goes away in the middle of a round: the seat goes on, and nothing is lost."""

from collections.abc import Iterator
from typing import Any

import pytest
from playwright.sync_api import expect

from tests.browser.at_seat import BALLOT, CODES, REVIEW, Room, Shop, Sitter

ROUNDS = 3


@pytest.fixture
def room(shop: Shop) -> Room:
    """Six seats, three rounds."""
    return shop.seal(rounds=str(ROUNDS))


@pytest.fixture
def sitter(room: Room, open_device: Any) -> Iterator[Sitter]:
    """A tablet at seat 1, before its first cups."""
    found = Sitter(open_device("sitter").page, room.url(1)).open()
    found.tap()
    yield found
    assert found.faults == []


def test_a_seat_tastes_to_the_end_without_a_network(room: Room, sitter: Sitter) -> None:
    sitter.tap()
    sitter.lose_network()
    sitter.answer(ROUNDS)
    expect(sitter.page.locator("#step h1")).to_have_text("That was all, but not all of it is sent")
    expect(sitter.page.locator("#kept li")).to_have_text(
        [f"Round {number}: kept here" for number in range(1, ROUNDS + 1)]
    )
    assert room.list_given("answered") == []
    sitter.find_network()
    sitter.wait_until_sent()
    expect(sitter.page.locator("#step h1")).to_have_text("Thank you, that was all")
    expect(sitter.page.locator("#kept li").last).to_have_text(f"Round {ROUNDS}: sent")
    assert room.list_given("answered", "contested", "late") == list(sitter.locked.items())


def test_back_on_the_network_the_server_leads_again(room: Room, sitter: Sitter) -> None:
    sitter.answer()
    sitter.lose_network()
    sitter.tap()
    sitter.tap()
    assert sitter.heading == REVIEW
    sitter.find_network()
    sitter.wait_until_sent()
    assert "You say" in sitter.page.locator("#step").inner_text()
    sitter.answer(2)
    assert room.list_given("answered") == list(sitter.locked.items())


def test_a_page_that_died_with_answers_sends_them_once(room: Room, sitter: Sitter) -> None:
    sitter.lose_network()
    sitter.answer(2)
    sitter.page.close()
    sitter.find_network()
    assert room.list_given("answered") == []
    sitter.open_again().wait_until_sent()
    expect(sitter.page.locator("#step")).to_contain_text("Round 3 of 3")
    assert room.list_given("answered", "contested", "late") == list(sitter.locked.items())


def test_a_server_that_stops_and_starts_loses_nothing(room: Room, sitter: Sitter) -> None:
    sitter.answer()
    sitter.tap()
    with room.without_server():
        sitter.answer()
        expect(sitter.page.locator("#unsent")).to_be_visible()
    sitter.answer()
    sitter.wait_until_sent()
    assert room.list_given("answered", "contested", "late") == list(sitter.locked.items())


def test_an_answer_whose_receipt_was_lost_is_stored_once(room: Room, sitter: Sitter) -> None:
    """The server commits, and the network goes away before it can say so."""

    def lose_receipt(route: Any) -> None:
        room.pass_on(route)
        route.abort()

    sitter.page.route("**/answer", lose_receipt, times=1)
    sitter.answer()
    sitter.wait_until_sent()
    assert room.list_given("answered", "contested", "late") == list(sitter.locked.items())


def test_what_was_sent_is_not_asked_again_while_more_is_kept(room: Room, sitter: Sitter) -> None:
    sitter.tap()
    sitter.lose_network()
    sitter.answer()
    sitter.tap()
    sitter.page.route("**/codes", lambda route: route.abort())
    sitter.find_network()
    expect(sitter.page.locator("#kept li")).to_have_text("Round 1: sent")
    sitter.answer(2)
    assert len(room.list_given("answered")) == 1
    sitter.page.unroute("**/codes")
    sitter.wait_until_sent()
    assert room.list_given("answered", "contested", "late") == list(sitter.locked.items())


@pytest.mark.parametrize("status", [200, 502])
def test_an_answer_of_something_else_is_no_receipt(room: Room, sitter: Sitter, status: int) -> None:
    """The sign-in page of a guest network, or a gateway before a dead server."""
    page = "<h1>Welcome to our guest network</h1>"
    sitter.page.route("**/answer", lambda to: to.fulfill(status=status, body=page), times=2)
    sitter.answer()
    assert sitter.heading == CODES
    sitter.wait_until_sent()
    assert room.list_given("answered") == list(sitter.locked.items())


def test_what_is_typed_comes_back_until_it_is_locked(sitter: Sitter) -> None:
    sitter.tap()
    sitter.pick(1)
    sitter.page.fill("#comment", "a little flat")
    sitter.open_again()
    expect(sitter.page.locator("[name=pick]").nth(1)).to_be_checked()
    expect(sitter.page.locator("#comment")).to_have_value("a little flat")
    sitter.press("Go on")
    sitter.press("Lock it")
    assert "flat" not in str(sitter.page.evaluate("Object.values(localStorage)"))


def test_without_a_network_a_ballot_needs_its_pick(sitter: Sitter) -> None:
    sitter.tap()
    sitter.lose_network()
    sitter.page.get_by_role("button", name="Go on").click()
    expect(sitter.page.locator("#step input:invalid").first).to_be_focused()
    assert BALLOT in sitter.heading
    assert sitter.outbox == []


def test_an_answer_can_be_changed_without_a_network(room: Room, sitter: Sitter) -> None:
    sitter.tap()
    sitter.pick(0)
    sitter.press("Go on")
    sitter.lose_network()
    sitter.press("Change")
    expect(sitter.page.locator("#step [name=pick]").first).to_be_checked()
    sitter.pick(2)
    sitter.press("Go on")
    sitter.press("Lock it")
    sitter.find_network()
    sitter.wait_until_sent()
    serving, codes = room.table.serving(1)
    assert room.list_given("answered") == [(str(serving), codes[2])]


def test_a_call_without_a_network_says_to_raise_a_hand(room: Room, sitter: Sitter) -> None:
    sitter.lose_network()
    sitter.press("Mine differ")
    expect(sitter.page.locator("#step")).to_contain_text("Raise your hand")
    assert sitter.heading == CODES
    sitter.find_network()
    sitter.wait_until_sent()
    assert sitter.heading == "The pourer is called"
    assert room.record.calls == {room.table.serving(1)[0]}


def test_a_call_settled_meanwhile_does_not_come_back(room: Room, sitter: Sitter) -> None:
    def lose_receipt(route: Any) -> None:
        room.pass_on(route)
        room.settle_call(1)
        route.abort()

    sitter.page.route("**/codes", lose_receipt, times=1)
    sitter.press("Mine differ")
    sitter.wait_until_sent()
    assert (sitter.heading, room.record.calls) == (CODES, set())


def test_a_device_that_cannot_keep_a_tap_says_so(sitter: Sitter) -> None:
    sitter.page.evaluate("() => { Storage.prototype.setItem = () => { throw new Error('full') } }")
    sitter.lose_network()
    sitter.page.get_by_role("button", name="Yes, in this order").click()
    expect(sitter.page.locator("#offline")).to_be_visible()
    assert sitter.heading == CODES
    sitter.find_network()
    sitter.tap()
    assert BALLOT in sitter.heading


def test_the_browser_asks_before_a_page_with_kept_answers_is_left(sitter: Sitter) -> None:
    asked = []
    sitter.page.on("dialog", lambda dialog: asked.append(dialog.type))
    sitter.page.reload()
    sitter.lose_network()
    sitter.answer()
    sitter.page.close(run_before_unload=True)
    sitter.page.wait_for_event("close")
    assert asked == ["beforeunload"]
    sitter.find_network()
