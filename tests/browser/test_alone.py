"""One person with a phone pours, shuffles, tastes, turns the cups; networks come and go."""

import io
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any

import pytest
from PIL import Image
from playwright.sync_api import expect

from server.blinding.sealed import PlannedServing
from server.tastings.marking import LOST, name_field
from server.tastings.photos import get_photo
from tests.browser.at_seat import Room, Shop
from tests.browser.conftest import PHONE
from tests.browser.stage import ALONE

HINT = "#step [data-hint]"
BEFORE = "document.getElementById('step').dataset.before = ''"


@dataclass
class OwnSeat:
    """A phone at the seat of somebody alone; ``under`` is what their shuffles put there."""

    page: Any
    room: Room
    faults: list[str] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.page.on("pageerror", lambda error: self.faults.append(str(error)))
        self.page.on("dialog", lambda dialog: dialog.accept())
        self.page.clock.install()
        self.page.goto(self.room.url(1))

    @property
    def heading(self) -> str:
        return str(self.page.locator("#step h1").first.inner_text())

    def servings(self, sitting: int = 1) -> list[PlannedServing]:
        return [one for one in self.room.table.layout.servings if one.sitting == sitting]

    def press(self, name: str) -> None:
        """Tap a button, and wait until another step stands there."""
        button = self.page.locator("#step").get_by_role("button", name=name, exact=True)
        expect(button).to_be_enabled()  # a page may still be on its way
        self.page.evaluate(BEFORE)
        button.click()
        self.page.locator("#step:not([data-before])").wait_for()
        self.page.clock.run_for(500)  # what is drawn here takes no tap for a moment

    def tap(self, name: str) -> None:
        """Tap a button that leads nowhere else."""
        self.page.locator("#step").get_by_role("button", name=name, exact=True).click()

    def begin(self) -> None:
        self.press("I have read this: start")
        self.press("Marked and covered")

    def shuffle(self, seconds: int = 24) -> None:
        self.tap("Start shuffling")
        self.page.clock.run_for(1000 * seconds)
        self.press("Shuffled and placed")

    def pick(self, cup: int = 0) -> None:
        self.page.locator("#step [name=pick]").nth(cup).check(force=True)

    def lock(self, cup: int = 0) -> None:
        self.pick(cup)
        self.press("Go on")
        self.press("Lock it")

    def taste(self, rounds: int = 1) -> None:
        for _ in range(rounds):
            self.shuffle()
            self.press("The codes lie before the cups")
            self.lock()

    def mark(self, serving: PlannedServing, *slots: str) -> None:
        """Tap what the marks of a serving say, left to right."""
        for cup, slot in zip(serving.cups, slots, strict=True):
            field = self.page.locator(f"[name='{name_field(cup)}'][value='{slot}']")
            field.check(force=True)

    def turn(self, sitting: int = 1) -> None:
        """Enter marks in an order that is one of those possible."""
        for serving in self.servings(sitting):
            self.mark(serving, *serving.pours)
        self.press("Look it over")
        self.page.get_by_role("button", name="Enter these marks").click()

    def lose_network(self) -> None:
        self.page.context.set_offline(True)

    def find_network(self) -> None:
        self.page.context.set_offline(False)
        self.page.clock.run_for(31_000)

    def wait_until_sent(self) -> None:
        expect(self.page.locator("#unsent")).to_be_hidden(timeout=40_000)
        expect(self.page.locator("#step:not([data-local])")).to_be_visible()


@pytest.fixture
def seat(shop: Shop, open_device: Any) -> Iterator[OwnSeat]:
    """A phone before the first cups are poured."""
    found = OwnSeat(open_device("alone", viewport=PHONE).page, shop.seal(**ALONE))
    found.begin()
    yield found
    assert found.faults == []


# the shuffle


def test_enough_is_said_and_the_seconds_stand_in_the_record(seat: OwnSeat) -> None:
    seat.tap("Start shuffling")
    seat.page.clock.run_for(21_000)
    expect(seat.page.locator(HINT)).to_have_text("Long enough. Place the cups.")
    seat.tap("Stop")
    seat.page.clock.run_for(60_000)  # placing takes its time, and is no shuffle
    seat.press("Shuffled and placed")
    assert seat.room.record.shuffled == {seat.servings()[0].id: 21}


def test_a_reload_in_the_middle_of_a_shuffle_loses_no_second(seat: OwnSeat) -> None:
    seat.tap("Start shuffling")
    seat.page.clock.run_for(12_000)
    seat.page.reload()
    seat.page.clock.run_for(300)
    expect(seat.page.locator("#step output")).to_have_text("12")
    seat.page.clock.fast_forward(11_000)  # as after a sleep: timers are not made up for
    seat.press("Shuffled and placed")
    assert seat.room.record.shuffled[seat.servings()[0].id] in (23, 24)


def test_a_short_shuffle_is_taken_with_the_second_tap(seat: OwnSeat) -> None:
    seat.tap("Start shuffling")
    seat.page.clock.run_for(7000)
    seat.tap("Shuffled and placed")
    expect(seat.page.locator(HINT)).to_contain_text("That was short")
    assert seat.heading == "Pour, then shuffle"
    seat.press("Shuffled and placed")
    assert seat.room.record.shuffled == {seat.servings()[0].id: 7}


def test_a_short_shuffle_may_be_done_again(seat: OwnSeat) -> None:
    seat.tap("Start shuffling")
    seat.page.clock.run_for(7000)
    seat.tap("Stop")
    expect(seat.page.locator(HINT)).to_contain_text("That was short")
    seat.shuffle(25)
    assert seat.room.record.shuffled == {seat.servings()[0].id: 25}


def test_a_shuffle_without_the_timer_is_of_unknown_length(seat: OwnSeat) -> None:
    seat.tap("Shuffled and placed")
    expect(seat.page.locator(HINT)).to_contain_text("The timer has not run")
    seat.press("Shuffled and placed")
    assert seat.room.record.shuffled == {seat.servings()[0].id: None}


def test_the_next_cups_have_a_timer_of_their_own(seat: OwnSeat) -> None:
    seat.taste()
    expect(seat.page.locator("#step output")).to_have_text("0")


# without a network


def test_a_network_lost_in_the_middle_of_a_triad_stops_nobody(seat: OwnSeat) -> None:
    seat.shuffle()
    seat.press("The codes lie before the cups")
    seat.lose_network()
    seat.lock(1)
    assert seat.heading == "Pour, then shuffle"
    expect(seat.page.locator("#step")).to_contain_text("without lifting one")
    seat.taste(2)
    assert seat.heading == "Keep the cups standing: not all is sent"
    assert not seat.room.record.answers
    seat.find_network()
    seat.wait_until_sent()
    assert seat.heading == "Now turn the cups"
    record, servings = seat.room.record, seat.servings()
    assert list(record.answers) == [one.id for one in servings]
    assert list(record.shuffled.values()) == [24, 24, 24]


def test_a_sitting_may_begin_without_a_network(shop: Shop, open_device: Any) -> None:
    seat = OwnSeat(open_device("alone", viewport=PHONE).page, shop.seal(**ALONE))
    seat.lose_network()
    seat.begin()
    seat.taste()
    seat.find_network()
    seat.wait_until_sent()
    assert (seat.room.record.prepared, len(seat.room.record.answers)) == ({1}, 1)


def test_cups_given_up_without_a_network_lead_to_the_next(seat: OwnSeat) -> None:
    seat.lose_network()
    seat.page.get_by_text("Something went wrong with these cups").click()
    seat.page.get_by_label("A cup was spilt").check()
    seat.press("Give these cups up")
    expect(seat.page.locator("#step")).to_contain_text("Round 2 of 6")
    seat.taste()
    seat.find_network()
    seat.wait_until_sent()
    first, second, _ = seat.servings()
    assert (list(seat.room.record.voids), list(seat.room.record.answers)) == (
        [first.id],
        [second.id],
    )


def test_a_mark_seen_without_a_network_is_noted_and_the_step_stays(seat: OwnSeat) -> None:
    seat.taste()
    seat.lose_network()
    seat.page.get_by_text("I saw a mark of cups already answered").click()
    seat.tap("Note that I saw it")
    expect(seat.page.locator("#unsent")).to_be_visible()
    seat.taste()
    seat.find_network()
    seat.wait_until_sent()
    assert (len(seat.room.record.looks), len(seat.room.record.answers)) == (1, 2)


def test_without_a_network_a_tick_needs_its_word(seat: OwnSeat) -> None:
    seat.shuffle()
    seat.press("The codes lie before the cups")
    seat.lose_network()
    seat.pick()
    seat.page.get_by_label("Something other than smell and taste").check()
    seat.tap("Go on")
    expect(seat.page.locator("#cue")).to_be_focused()
    seat.page.fill("#cue", "a darker ring")
    seat.press("Go on")
    seat.press("Lock it")
    seat.find_network()
    seat.wait_until_sent()
    (given,) = seat.room.record.answers.values()
    assert given.answer["cue"] == "a darker ring"


def test_marks_that_do_not_arrive_stay_on_the_page(seat: OwnSeat) -> None:
    seat.taste(3)
    for serving in seat.servings():
        seat.mark(serving, *serving.pours)
    seat.page.route("**/marks/1", lambda route: route.abort())
    seat.tap("Look it over")
    expect(seat.page.locator("#offline")).to_be_visible()
    seat.page.unroute("**/marks/1")
    seat.press("Look it over")
    assert seat.heading == "Is this what the marks say?"


# the whole series


def take_photo() -> bytes:
    """A photo whose camera wrote its maker into it."""
    out, exif = io.BytesIO(), Image.Exif()
    exif[0x010F] = "Somebody's camera"
    Image.new("RGB", (600, 400), "grey").save(out, "JPEG", exif=exif)
    return out.getvalue()


def test_a_series_of_two_sittings_is_played_to_its_end(seat: OwnSeat) -> None:
    page, room = seat.page, seat.room
    seat.taste(3)
    one, two, three = seat.servings()
    wrong = next(slot for slot in one.pours if one.pours.count(slot) == 1)
    seat.mark(one, wrong, wrong, wrong)
    seat.mark(two, LOST, *two.pours[1:])
    seat.mark(three, *three.pours)
    seat.press("Look it over")
    expect(page.locator("#step .error")).to_contain_text("These marks cannot be")
    seat.mark(one, *one.pours)
    seat.press("Look it over")
    page.set_input_files(
        "#photo", {"name": "a.jpg", "mimeType": "image/jpeg", "buffer": take_photo()}
    )
    page.get_by_role("button", name="Enter these marks").click()
    expect(page.locator("#step h1")).to_have_text("Sitting 1 is complete")
    page.get_by_role("link", name="Begin sitting 2").click()
    seat.press("Marked and covered")
    seat.taste(3)
    seat.turn(2)
    expect(page.locator("#step h1")).to_have_text("Thank you, that was all")
    record = room.record
    assert len(record.answers) == 6
    assert [cup for cup, slot in record.marks.items() if slot is None] == [two.cups[0].id]
    image = get_photo(room.bench, room.table.id, record.reveals[1][-1].photo)
    assert b"Somebody" not in image
