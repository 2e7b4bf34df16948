import hashlib
import json
from collections.abc import Callable
from decimal import Decimal
from typing import Any
from uuid import UUID

import pytest

from server.blinding.chain import leaf_hash, link, next_head, verify_chain
from server.blinding.events import Event, Kind


def erase(events: list[Event], seq: int) -> list[Event]:
    return [
        one.model_copy(update={"body": None, "leaf_salt": None}) if one.seq == seq else one
        for one in events
    ]


def add_erasure(events: list[Event], seq: int) -> list[Event]:
    body = {"at": "2031-05-01T08:00:00.000+00:00", "seq": seq}
    return [*events, link(events[-1].head, len(events) + 1, Kind.ERASED, body, "ab" * 16)]


def test_a_leaf_covers_salt_and_body() -> None:
    expected = hashlib.sha256(b'["aa",{"at":"noon","seat":1}]').hexdigest()
    assert leaf_hash("aa", {"seat": 1, "at": "noon"}) == expected


def test_a_head_covers_everything_before_it() -> None:
    expected = hashlib.sha256(b'["5ea1",1,"poured","1eaf"]').hexdigest()
    assert next_head("5ea1", 1, Kind.POURED, "1eaf") == expected


def test_the_first_event_follows_from_the_seal(seal: str, events: list[Event]) -> None:
    first = events[0]
    assert first.head == next_head(seal, 1, first.kind, first.leaf_hash)


def test_an_untouched_chain_holds(seal: str, events: list[Event]) -> None:
    assert verify_chain(seal, events) == []


def test_no_events_hold() -> None:
    assert verify_chain("00" * 32, []) == []


def test_a_chain_read_back_from_json_holds(seal: str, events: list[Event]) -> None:
    read = [Event.model_validate(json.loads(one.model_dump_json())) for one in events]
    assert verify_chain(seal, read) == []


def test_a_chain_of_another_seal_does_not_hold(events: list[Event]) -> None:
    assert verify_chain("00" * 32, events) == [
        "Event 1 does not follow from what happened before it."
    ]


@pytest.mark.parametrize(
    ("changed", "sentence"),
    [
        ({"body": {"at": "2031-04-02T09:02:00.000+00:00", "seat": 3}}, "does not say what its"),
        ({"leaf_salt": "00" * 16}, "does not say what its hash covers"),
        ({"leaf_hash": "00" * 32}, "does not follow from what happened before it"),
        ({"head": "00" * 32}, "does not follow from what happened before it"),
        ({"kind": Kind.LATE}, "does not follow from what happened before it"),
        ({"seq": 5}, "Event 5 stands where event 2 should be"),
        ({"body": None}, "Event 2 is erased by half"),
        ({"leaf_salt": None}, "Event 2 is erased by half"),
        ({"body": {"x": 0.5}}, "has no canonical text"),
    ],
)
def test_any_change_to_an_event_is_found(
    seal: str, events: list[Event], changed: dict[str, Any], sentence: str
) -> None:
    events[1] = events[1].model_copy(update=changed)
    assert any(sentence in problem for problem in verify_chain(seal, events))


def test_a_dropped_event_is_found(seal: str, events: list[Event]) -> None:
    assert verify_chain(seal, events[:3] + events[4:])


def test_two_events_in_the_wrong_order_are_found(seal: str, events: list[Event]) -> None:
    events[2], events[3] = events[3], events[2]
    assert "Event 4 stands where event 3 should be." in verify_chain(seal, events)


def test_an_erased_event_holds_if_a_later_one_says_so(seal: str, events: list[Event]) -> None:
    assert verify_chain(seal, add_erasure(erase(events, 2), 2)) == []


def test_an_emptied_event_that_nobody_erased_is_found(seal: str, events: list[Event]) -> None:
    assert verify_chain(seal, erase(events, 2)) == [
        "Event 2 is empty, and no later event says why."
    ]


def test_an_erasure_that_did_not_happen_is_found(seal: str, events: list[Event]) -> None:
    found = verify_chain(seal, add_erasure(events, 2))
    assert found == ["Event 10 says event 2 was erased, yet its text is still there."]


def test_an_erasure_may_not_be_erased(seal: str, events: list[Event]) -> None:
    twice = add_erasure(add_erasure(erase(events, 2), 2), 10)
    assert "Event 10 is itself about an erasure and may not be erased." in verify_chain(
        seal, erase(twice, 10)
    )


def test_an_erasure_cannot_name_an_event_after_it(
    seal: str, tell: Callable[..., list[Event]]
) -> None:
    events = tell(seal, [(Kind.ERASED, {"seq": 2}), (Kind.SEAT_TAKEN, {"seat": 1})])
    assert verify_chain(seal, erase(events, 2))


@pytest.mark.parametrize(
    ("body", "place"),
    [
        ({"tds": 1.3}, r"body\.tds"),
        ({"tds": [Decimal("1.3")]}, r"body\.tds\[0\]"),
        ({"serving": UUID(int=1)}, r"body\.serving"),
        ({"answer": {1: "a"}}, r"body\.answer: member names must be text"),
    ],
)
def test_a_body_that_two_programs_might_write_differently_is_refused(
    body: dict[str, Any], place: str
) -> None:
    with pytest.raises(ValueError, match=place):
        link("00" * 32, 1, Kind.BREWED, body, "00")
