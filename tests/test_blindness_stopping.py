"""The blindness contract of a sequential plan: it says go on or stop, and nothing else.

Worlds share every draw and every request; the key alone decides how many answers are right.
Where it says one and the same word, leaders and assessors see the same bytes, whether the
count met the line above or the one below; assessors see the same bytes even where it does not.
"""

from collections.abc import Callable, Sequence

import pytest

from server.blinding.sealed import SealedTasting
from server.storage import queries
from tests import test_blindness
from tests.test_blindness import Key, World, find_differences, note, read_board

build = test_blindness.build

PLAN = {
    "assessors": "3", "rounds": "6", "size_percent": "50", "spare_seats": "0",
    "stop_rule": "sequential", "every": "1", "beta": "0.05",
}  # fmt: skip


def turn_odd_cup(rights: Callable[[int, int], bool]) -> Callable[[SealedTasting], Key]:
    """Make a key in which the left cup is the odd one where ``rights`` of round, seat says so."""

    def permute(sealed: SealedTasting) -> Key:
        key: Key = {}
        for serving in sealed.servings:
            slots = [sealed.key[cup.id] for cup in serving.cups]
            samples = [slot[0] for slot in slots]
            odd = next(at for at, one in enumerate(samples) if samples.count(one) == 1)
            place = 0 if rights(serving.round, serving.seat) else 1
            slots[odd], slots[place] = slots[place], slots[odd]
            key |= {cup.id: slot for cup, slot in zip(serving.cups, slots, strict=True)}
        return key

    return permute


ALL_RIGHT = turn_odd_cup(lambda _, __: True)
ALL_WRONG = turn_odd_cup(lambda _, __: False)
BETWEEN = turn_odd_cup(lambda number, _: number % 2 == 0)
OTHERS_BETWEEN = turn_odd_cup(lambda number, seat: (number + seat) % 2 == 0)


def taste(world: World, rounds: Sequence[int]) -> list[str]:
    """Let every seat pick its left cup, round by round; return all that reaches the devices."""
    seen: list[str] = []
    devices = {seat: world.devices() for seat in (1, 2, 3)}
    for seat, device in devices.items():
        device.post(f"/seat/{world.tokens[seat]}/start")
    for number in rounds:
        for seat, device in devices.items():
            serving, home = world.servings(seat)[number - 1], f"/seat/{world.tokens[seat]}"
            it = {"serving": str(serving.id)}
            picked = it | {"pick": serving.codes[0], "client_key": f"{seat}.{number}"}
            seen.append(note(world, device.post(f"{home}/codes", it | {"verdict": "yes"})))
            seen.append(note(world, device.post(f"{home}/answer", picked)))
            seen.extend(note(world, each.get(home)) for each in devices.values())
    return seen


def find_words(world: World) -> dict[int, bool]:
    with world.bench.reading() as db:
        return queries.load_record(db, world.tasting).blocks


@pytest.mark.parametrize(
    ("one", "other", "rounds", "said"),
    [
        (ALL_RIGHT, ALL_WRONG, [1], {1: False}),
        (ALL_RIGHT, ALL_WRONG, [1, 2], {1: False, 2: True}),
        (BETWEEN, OTHERS_BETWEEN, [1, 2, 3], {1: False, 2: False, 3: False}),
    ],
)
def test_one_and_the_same_word_shows_the_same_bytes(
    build: Callable[..., World],
    one: Callable[[SealedTasting], Key],
    other: Callable[[SealedTasting], Key],
    rounds: list[int],
    said: dict[int, bool],
) -> None:
    worlds = [build(permute, **PLAN) for permute in (one, other)]
    tasted = [taste(world, rounds) for world in worlds]
    assert [find_words(world) for world in worlds] == [said, said]
    assert find_differences(*tasted) == []
    assert find_differences(*(read_board(world) for world in worlds)) == []


def test_assessors_see_the_same_bytes_whatever_is_said(build: Callable[..., World]) -> None:
    worlds = [build(permute, **PLAN) for permute in (ALL_RIGHT, BETWEEN)]
    tasted = [taste(world, [1, 2, 3]) for world in worlds]
    assert find_words(worlds[0]) != find_words(worlds[1])
    assert find_differences(*tasted) == []


def test_leaders_see_the_word_and_this_contract_would_see_more(
    build: Callable[..., World],
) -> None:
    worlds = [build(permute, **PLAN) for permute in (ALL_RIGHT, BETWEEN)]
    for world in worlds:
        taste(world, [1, 2])
    boards = [
        note(world, world.leader.get(f"/tastings/{world.tasting}/progress")) for world in worlds
    ]
    said = [board.replace("<strong>stop</strong>", "<strong>go on</strong>") for board in boards]
    assert "<strong>stop</strong>" in boards[0]
    assert "<strong>go on</strong>" in boards[1]
    assert said[0].splitlines()[0] == said[1].splitlines()[0]
