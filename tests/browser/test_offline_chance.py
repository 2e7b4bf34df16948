"""Taps, a network that comes and goes, dead pages and dead servers, in random order."""

import random
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import pytest

from tests.browser.at_seat import Room, Shop, Sitter

ROUNDS = 4
MOST_STOPS = 2  # of the server in one run: a start takes seconds
SEEDS = (20310514, 7)
Act = Callable[["Story"], None]


@dataclass
class Story:
    """A seat, and whether it can reach the server now."""

    room: Room
    sitter: Sitter
    has_network: bool = True
    stops: int = 0

    def tap(self) -> None:
        """Do what the step asks for."""
        self.sitter.tap()

    def lose_network(self) -> None:
        """Take the network away."""
        self.sitter.lose_network()
        self.has_network = False

    def find_network(self) -> None:
        """Give it back."""
        self.sitter.find_network()
        self.has_network = True

    def reload(self) -> None:
        """Load the page anew, if that does not lead to the browser's own error page."""
        if self.has_network:
            self.sitter.page.reload()

    def die(self) -> None:
        """End the page, and open the link again as soon as there is a network."""
        self.sitter.page.close()
        self.find_network()
        self.sitter.open_again()

    def restart(self) -> None:
        """Kill the server, tap on, and start it again."""
        if self.stops == MOST_STOPS:
            return
        self.stops += 1
        with self.room.without_server():
            for _ in range(self.sitter.chance.randrange(4)):
                self.sitter.tap()


ACTS: tuple[tuple[int, Act], ...] = (
    (10, Story.tap),
    (2, Story.lose_network),
    (2, Story.find_network),
    (1, Story.reload),
    (1, Story.die),
    (1, Story.restart),
)


def play(shop: Shop, open_device: Any, seed: int) -> Story:
    """Play one seat to its end."""
    room, chance = shop.seal(rounds=str(ROUNDS)), random.Random(seed)
    story = Story(room, Sitter(open_device("seat").page, room.url(1), chance).open())
    weights, acts = zip(*ACTS, strict=True)
    while len(story.sitter.locked) < ROUNDS:
        chance.choices(acts, weights)[0](story)
    story.find_network()
    story.sitter.wait_until_sent()
    return story


def check(story: Story) -> None:
    """What the device said is locked or kept is in the export, once; nothing else is."""
    assert story.room.list_given("answered", "contested", "late") == list(
        story.sitter.locked.items()
    )
    assert len(story.sitter.locked) == ROUNDS
    assert story.sitter.faults == []


@pytest.mark.parametrize("seed", SEEDS)
def test_whatever_happens_every_answer_is_in_the_export_once(
    shop: Shop, open_device: Any, seed: int
) -> None:
    check(play(shop, open_device, seed))


@pytest.mark.long
@pytest.mark.timeout(1800)
@pytest.mark.parametrize("seed", range(40))
def test_whatever_happens_every_answer_is_in_the_export_once_long(
    shop: Shop, open_device: Any, seed: int
) -> None:
    check(play(shop, open_device, 1000 + seed))
