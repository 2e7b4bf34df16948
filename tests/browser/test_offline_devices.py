"""Two devices for one seat, and what happens at the table while one has no network."""

from collections.abc import Callable, Iterator
from typing import Any

import pytest
from playwright.sync_api import expect

from server.tastings import closing, pouring
from tests.browser.at_seat import CODES, Room, Shop, Sitter


@pytest.fixture
def room(shop: Shop) -> Room:
    """Six seats, three rounds."""
    return shop.seal(rounds="3")


@pytest.fixture
def sit(room: Room, open_device: Any) -> Iterator[Callable[[], Sitter]]:
    """Open one more device at seat 1."""
    opened: list[Sitter] = []

    def open_one() -> Sitter:
        opened.append(Sitter(open_device(f"device{len(opened)}").page, room.url(1)).open())
        return opened[-1]

    yield open_one
    assert [one.faults for one in opened if one.faults] == []


def answer_first(sitter: Sitter, cup: int) -> None:
    """Go from the codes of round 1 to a locked answer."""
    sitter.press("Yes, in this order")
    sitter.pick(cup)
    sitter.press("Go on")
    sitter.press("Lock it")


@pytest.mark.parametrize("same", [True, False])
def test_of_two_devices_the_first_answer_that_arrives_counts(
    room: Room, sit: Callable[[], Sitter], same: bool
) -> None:
    near = sit()
    near.tap()
    far = sit()
    far.lose_network()
    answer_first(far, 0)
    answer_first(near, 0 if same else 1)
    far.find_network()
    far.wait_until_sent()
    codes = room.table.serving(1)[1]
    assert [pick for _, pick in room.list_given("answered")] == [codes[0 if same else 1]]
    assert [pick for _, pick in room.list_given("contested")] == [codes[0]][: not same]
    contest = far.page.get_by_text("Two different answers to round 1")
    expect(contest).to_have_count(0 if same else 1)


def test_answers_that_arrive_after_closing_are_kept_as_late(
    room: Room, sit: Callable[[], Sitter]
) -> None:
    sitter = sit()
    sitter.tap()
    sitter.lose_network()
    sitter.answer(2)
    closing.close_tasting(room.bench, room.table.id, "the kettle broke", "absent")
    sitter.find_network()
    sitter.wait_until_sent()
    expect(sitter.page.locator("#step")).to_contain_text("came after closing")
    assert room.list_given("late") == list(sitter.locked.items())


def test_an_answer_to_spilt_cups_is_set_aside_and_those_after_it_are_asked_again(
    room: Room, sit: Callable[[], Sitter]
) -> None:
    sitter = sit()
    sitter.tap()
    sitter.lose_network()
    sitter.answer(2)
    bar = pouring.find_bar(room.bench, room.table.pourer)
    assert bar
    pouring.void_serving(room.bench, bar, room.table.serving(1)[0], "spilt")
    sitter.find_network()
    sitter.wait_until_sent()
    refused = sitter.page.locator("#kept .refused")
    expect(refused).to_have_count(2)
    assert sitter.heading == CODES
    sitter.answer()
    expect(refused).to_have_count(1)
    second = list(sitter.locked.items())[1]
    expect(sitter.page.locator("#step [name=pick]")).to_have_value(second[1])
    sitter.press("Lock it")
    expect(refused).to_have_count(0)
    assert room.list_given("answered")[1] == second


def test_cups_poured_anew_are_known_without_a_network(
    room: Room, sit: Callable[[], Sitter]
) -> None:
    sitter = sit()
    bar = pouring.find_bar(room.bench, room.table.pourer)
    assert bar
    spare = pouring.void_serving(room.bench, bar, room.table.serving(1, 2)[0], "spilt")
    sitter.tap()
    sitter.page.locator(f"#ahead [data-part='codes {spare}']").wait_for(state="attached")
    sitter.lose_network()
    sitter.answer(2)
    sitter.find_network()
    sitter.wait_until_sent()
    assert [serving for serving, _ in room.list_given("answered")][1] == str(spare)
