"""The seal: one canonical text over plan, layout and key, and the hash of its bytes."""

import hashlib
from collections import Counter
from collections.abc import Iterable
from typing import Any

import rfc8785
from pydantic import BaseModel, ValidationError

from server.blinding.alone import find_pour_problems
from server.blinding.sealed import Layout, SealedTasting
from server.blinding.series_rules import find_series_problems
from server.blinding.table_problems import find_table_key_problems, find_table_layout_problems


class BadSeal(ValueError):
    """The text is not the sealed text of a tasting; the message says why."""


def canonical(value: Any) -> bytes:
    """Write a value as the one JSON text that stands for it.

    Parameters
    ----------
    value : pydantic model, or str, int, bool, None, list, dict
        A model is dumped as JSON first: decimals and UUIDs become strings.

    Returns
    -------
    bytes
        UTF-8, members sorted, no white space.

    Raises
    ------
    ValueError
        If the value has no canonical text: NaN, a whole number beyond 2**53,
        a lone surrogate, or a type JSON does not know.

    References
    ----------
    RFC 8785, JSON Canonicalization Scheme, 2020, section 3.2.

    Examples
    --------
    >>> canonical({"b": [1, True], "a": "é"}).decode()
    '{"a":"é","b":[1,true]}'
    """
    plain = value.model_dump(mode="json") if isinstance(value, BaseModel) else value
    return rfc8785.dumps(plain)


def seal_hash(text: bytes) -> str:
    """Return the SHA-256 of a sealed text as 64 hexadecimal digits.

    It is what ``sha256sum`` prints for the file that holds these bytes.

    References
    ----------
    FIPS 180-4, Secure Hash Standard, 2015; the one-block example "abc".

    Examples
    --------
    >>> seal_hash(b"abc")
    'ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad'
    """
    return hashlib.sha256(text).hexdigest()


def short(hash_: str) -> str:
    """Return the first 16 digits of a hash.

    Examples
    --------
    >>> short(seal_hash(b"abc"))
    'ba7816bf8f01cfea'
    """
    return hash_[:16]


def spaced(hash_: str) -> str:
    """Return the first 16 digits of a hash in groups of four, to compare by eye.

    Examples
    --------
    >>> spaced(seal_hash(b"abc"))
    'ba78 16bf 8f01 cfea'
    """
    return " ".join(hash_[start : start + 4] for start in range(0, 16, 4))


def read_sealed(text: bytes) -> SealedTasting:
    """Read a sealed text back.

    Parameters
    ----------
    text : bytes
        The bytes under the seal.

    Returns
    -------
    SealedTasting
        Such that ``canonical`` of it gives the same bytes.

    Raises
    ------
    BadSeal
        If the text is no sealed tasting, is not written canonically, or
        contradicts itself.
    """
    try:
        sealed = SealedTasting.model_validate_json(text)
        same = canonical(sealed) == text
    except ValidationError as error:
        raise BadSeal(f"The sealed text cannot be read: {first_error(error)}.") from None
    except ValueError as error:
        raise BadSeal(f"The sealed text cannot be read: {error}.") from None
    if not same:
        raise BadSeal("The sealed text is not in its canonical form (RFC 8785).")
    problems = find_layout_problems(sealed) or find_key_problems(sealed)
    if problems:
        raise BadSeal(problems[0])
    return sealed


def first_error(error: ValidationError) -> str:
    """Say in a few words where the first thing went wrong, without the value itself."""
    first = error.errors(include_url=False, include_input=False, include_context=False)[0]
    place = ".".join(str(part)[:40] for part in first["loc"])
    what = first["msg"].rstrip(".")[:160]
    return f"{place}: {what}" if place else what


def find_layout_problems(layout: Layout) -> list[str]:
    """List where a layout contradicts itself: double ids, names of things that are not there."""
    cups = [cup for serving in layout.servings for cup in serving.cups]
    names = {slot.name for slot in layout.slots}
    levels = {sample.level for sample in layout.samples}
    found = [
        *_doubles("serving", (serving.id for serving in layout.servings)),
        *_doubles("cup", (cup.id for cup in cups)),
        *_doubles("brew slot", (slot.name for slot in layout.slots)),
        *_doubles("sample", (sample.level for sample in layout.samples)),
        *_doubles("seat", (seat.number for seat in layout.seats)),
        *(f"Brew slot {s.name} is of no sample." for s in layout.slots if s.sample not in levels),
    ]
    if not names:
        found.append("There is no brew slot.")
    found += _find_serving_problems(layout)
    return found or find_table_layout_problems(layout) or find_series_problems(layout)


def _doubles(what: str, names: Iterable[object]) -> list[str]:
    return [f"The {what} {name} is there twice." for name, n in Counter(names).items() if n > 1]


def _find_serving_problems(layout: Layout) -> list[str]:
    seats = {seat.number for seat in layout.seats}
    comparisons = {comparison.name for comparison in layout.comparisons}
    found = []
    for serving in layout.servings:
        if serving.seat not in seats:
            found.append(f"Serving {serving.id} is for seat {serving.seat}, which is not there.")
        if serving.comparison not in comparisons:
            found.append(f"Serving {serving.id} belongs to no comparison.")
        if len({(cup.code, cup.bowl) for cup in serving.cups}) < len(serving.cups):
            found.append(f"Serving {serving.id} has the same code on two cups.")
        if [cup.position for cup in serving.cups] != list(range(1, len(serving.cups) + 1)):
            found.append(f"The cups of serving {serving.id} do not stand from left to right.")
    return found


def find_key_problems(sealed: SealedTasting) -> list[str]:
    """List cups without a brew slot, and slots or cups in the key that are not there.

    Alone there is no key yet, only how many cups of each slot to pour.
    """
    if sealed.plan.alone and sealed.plan.table is None:
        return find_pour_problems(sealed)
    if any(serving.pours for serving in sealed.servings):
        return ["The text says what to pour for a serving, which only tastings alone do."]
    rounds = {slot.name: slot.round for slot in sealed.slots}
    round_of = {cup.id: serving.round for serving in sealed.servings for cup in serving.cups}
    found = [f"Cup {cup} is missing from the key." for cup in round_of if cup not in sealed.key]
    for cup, slot in sealed.key.items():
        if cup not in round_of:
            found.append(f"The key names cup {cup}, which is not there.")
        elif slot not in rounds:
            found.append(f"The key names brew slot {slot}, which is not there.")
        elif rounds[slot] != round_of[cup]:
            found.append(f"Cup {cup} would be filled from brew slot {slot} of another round.")
    return found or find_table_key_problems(sealed)
