"""The chain of events: each link's hash covers everything that happened before it."""

import hashlib
from collections.abc import Mapping, Sequence
from typing import Any

from server.blinding.events import Event, Kind
from server.blinding.seal import canonical

_PLAIN = (str, int, bool, type(None))


def leaf_hash(salt: str, body: Mapping[str, Any]) -> str:
    """Hash what an event says.

    Parameters
    ----------
    salt : str
        Hexadecimal digits, kept beside the body and erased with it, so that
        nobody can guess an erased body from its hash.
    body : mapping
        Plain JSON without fractional numbers.

    Returns
    -------
    str
        SHA-256 over the canonical text of ``[salt, body]``.

    Examples
    --------
    >>> leaf_hash("00", {"at": "noon"}) == hashlib.sha256(b'["00",{"at":"noon"}]').hexdigest()
    True
    """
    return hashlib.sha256(canonical([salt, dict(body)])).hexdigest()


def next_head(previous: str, seq: int, kind: Kind, leaf: str) -> str:
    """Hash one link onto the chain.

    Parameters
    ----------
    previous : str
        Head after the event before; the hash of the seal for the first event.
    seq : int
        Number of the event, from 1.
    kind : Kind
        What happened.
    leaf : str
        Hash of what the event says, from `leaf_hash`.

    Returns
    -------
    str
        SHA-256 over the canonical text of ``[previous, seq, kind, leaf]``.
    """
    return hashlib.sha256(canonical([previous, seq, str(kind), leaf])).hexdigest()


def link(previous_head: str, seq: int, kind: Kind, body: Mapping[str, Any], salt: str) -> Event:
    """Make the next event of a chain.

    Parameters
    ----------
    previous_head : str
        Head after the event before; the hash of the seal for the first event.
    seq : int
        Number of the event, from 1.
    kind : Kind
        What happened.
    body : mapping
        What the event says: strings, whole numbers, booleans, null, lists and
        objects of these. Fractional numbers go in as decimal strings.
    salt : str
        Hexadecimal digits drawn for this event.

    Returns
    -------
    Event
        With its leaf hash and the new head.

    Raises
    ------
    ValueError
        If the body holds anything else; the message names the place.
    """
    check_plain(body)
    leaf = leaf_hash(salt, body)
    return Event(
        seq=seq,
        kind=kind,
        body=dict(body),
        leaf_salt=salt,
        leaf_hash=leaf,
        head=next_head(previous_head, seq, kind, leaf),
    )


def check_plain(value: Any, place: str = "body") -> None:
    """Raise ValueError where a body holds what two programs might write differently."""
    if isinstance(value, Mapping):
        for name, member in value.items():
            if not isinstance(name, str):
                raise ValueError(f"{place}: member names must be text, got {name!r}")
            check_plain(member, f"{place}.{name}")
    elif isinstance(value, list | tuple):
        for index, member in enumerate(value):
            check_plain(member, f"{place}[{index}]")
    elif not isinstance(value, _PLAIN):
        raise ValueError(f"{place} must be plain JSON without fractions, got {value!r}")


def verify_chain(seal: str, events: Sequence[Event]) -> list[str]:
    """Follow a chain from the seal to its last head.

    Parameters
    ----------
    seal : str
        Hash of the sealed text.
    events : sequence of Event
        In order.

    Returns
    -------
    list of str
        One sentence for each link that does not hold; empty if the chain holds.
        An event without body holds only if a later event says it was erased.
    """
    erased = _find_erasures(events)
    problems: list[str] = []
    head = seal
    for place, event in enumerate(events, start=1):
        if event.seq != place:
            problems.append(f"Event {event.seq} stands where event {place} should be.")
        if next_head(head, place, event.kind, event.leaf_hash) != event.head:
            problems.append(f"Event {place} does not follow from what happened before it.")
        problems += _check_leaf(event, place, erased.get(place))
        head = event.head
    return problems


def _find_erasures(events: Sequence[Event]) -> dict[int, int]:
    """Map the number of each erased event to that of the event that says so."""
    found: dict[int, int] = {}
    for event in events:
        if event.kind == Kind.ERASED and event.body is not None:
            target = event.body.get("seq")
            if isinstance(target, int) and target < event.seq:
                found[target] = event.seq
    return found


def _check_leaf(event: Event, place: int, erased_by: int | None) -> list[str]:
    if event.body is None and event.leaf_salt is None:
        if event.kind == Kind.ERASED:
            return [f"Event {place} is itself about an erasure and may not be erased."]
        return [] if erased_by else [f"Event {place} is empty, and no later event says why."]
    if event.body is None or event.leaf_salt is None:
        return [f"Event {place} is erased by half."]
    if erased_by:
        return [f"Event {erased_by} says event {place} was erased, yet its text is still there."]
    try:
        check_plain(event.body)
        holds = leaf_hash(event.leaf_salt, event.body) == event.leaf_hash
    except (ValueError, RecursionError):
        return [f"Event {place} holds something that has no canonical text."]
    return [] if holds else [f"Event {place} does not say what its hash covers."]
