"""The blindness contract of every method's ballot: at a seat nothing depends on the key.

Two worlds of a method share every draw, every code and every request; the other key is dealt
from the method's own orders. The triangle test and the directional pair are walked through
all routes in ``test_blindness.py``.
"""

from collections.abc import Callable
from random import Random

import pytest

from server.blinding.draw import draw_key
from server.blinding.sealed import PlannedServing, SealedTasting
from server.methods.asked import find_orders
from server.methods.registry import METHODS, get_method
from tests import test_blindness
from tests.answers import list_answers
from tests.test_blindness import Key, World, find_differences, keep, note

build = test_blindness.build

ELSEWHERE = {"triangle", "2-afc"}
NAMED = {"attribute": "bitter", "more": "B"}
ASKED = {
    "3-afc": NAMED,
    "paired-comparison": {"attribute": "bitter"},
    "a-not-a": {"open_cups": "AB", "told_shares": "on"},
    "same-different": {"rounds": "4"},
}
"""What a method's plan needs besides its name."""


def deal_again(sealed: SealedTasting) -> Key:
    """A fresh key for the same layout, from the orders of its method."""
    return draw_key(sealed, find_orders(sealed.plan), Random(99))


def taste(world: World, seat: int) -> list[str]:
    """Walk a seat through every step of its rounds; return all that reaches the device."""
    device, home, seen = world.devices(), f"/seat/{world.tokens[seat]}", []

    def say(path: str, **form: str) -> None:
        for script in (False, True):
            seen.append(note(world, device.post(home + path, form, script=script)))
        seen.append(note(world, device.get(home)))

    say("/start")
    for serving in world.servings(seat):
        answer(world, serving, say)
    return seen


def answer(world: World, serving: PlannedServing, say: Callable[..., None]) -> None:
    """Call, compare, send a ballot that cannot be, fill it in, change it, lock, contradict it."""
    it, codes = {"serving": str(serving.id)}, serving.codes
    first, other, *_ = list_answers(get_method(world.layout.plan.method), codes)
    say("/codes", **it, verdict="differ")
    say("/codes", **it, verdict="yes")
    say("/draft", **it)
    say("/draft", **it, **first, guess="on", cued="on", cue="foam", comment="papery")
    say("/change", **it)
    say("/draft", **it, **other)
    say("/answer", **it, **other, client_key=f"k{serving.round}")
    say("/answer", **it, **first, client_key=f"k{serving.round}.b")


def read_key(world: World) -> Key:
    return test_blindness._key(world)


@pytest.mark.parametrize("method", [name for name in METHODS if name not in ELSEWHERE])
def test_nothing_at_a_seat_depends_on_the_key(build: Callable[..., World], method: str) -> None:
    plan = {"method": method, "assessors": "2", "rounds": "2", **ASKED.get(method, {})}
    one, other = build(keep, **plan), build(deal_again, **plan)
    assert read_key(one) != read_key(other)
    seen = taste(one, 1)
    assert find_differences(seen, taste(other, 1)) == []
    walked = "".join(seen)
    question = get_method(method).question.replace("{attribute}", "bitter")
    assert question in walked
    for words in ("Lock this answer?", "Thank you, that was all"):
        assert words in walked


def test_nothing_at_a_seat_that_may_name_neither_depends_on_the_key(
    build: Callable[..., World],
) -> None:
    plan = {"method": "paired-preference", "no_preference": "left_out", "assessors": "1"}
    seen = [taste(build(how, **plan), 1) for how in (keep, deal_again)]
    assert 'value="neither"' in "".join(seen[0])
    assert find_differences(*seen) == []


def test_a_ballot_that_knows_a_cup_breaks_this_contract(build: Callable[..., World]) -> None:
    leak = test_blindness._leak_by_header
    worlds = [
        build(permute, leak, method="tetrad", assessors="1") for permute in (keep, deal_again)
    ]
    assert find_differences(*(taste(world, 1) for world in worlds))
