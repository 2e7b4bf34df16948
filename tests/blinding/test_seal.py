import hashlib
import json
from collections.abc import Callable
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from server.blinding.seal import (
    BadSeal,
    canonical,
    find_layout_problems,
    read_sealed,
    seal_hash,
    short,
    spaced,
)
from server.blinding.sealed import SealedTasting

JSON = st.recursive(
    st.none() | st.booleans() | st.integers(-(2**53) + 1, 2**53 - 1) | st.text(),
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.text(), inner, max_size=4),
    max_leaves=12,
)


@pytest.fixture
def text(sealed: SealedTasting) -> bytes:
    return canonical(sealed)


# RFC 8785, section 3.2.2, sample object, and its canonical form in 3.2.3 (the same values stand
# in retrieved public test vectors of the standard).
def test_the_canonical_form_is_that_of_the_published_example() -> None:
    value = {
        "numbers": [333333333.33333329, 1e30, 4.50, 2e-3, 0.000000000000000000000000001],
        "string": "\u20ac$\u000f\u000aA'\u0042\u0022\u005c\\\"\u002f",
        "literals": [None, True, False],
    }
    assert canonical(value).decode() == (
        '{"literals":[null,true,false],"numbers":[333333333.3333333,1e+30,4.5,0.002,1e-27],'
        '"string":"€$\\u000f\\nA\'B\\"\\\\\\\\\\"/"}'
    )


# RFC 8785, section 3.2.3: members sort by UTF-16 code units (the example of the standard).
def test_members_sort_as_in_the_published_example() -> None:
    names = ["\u20ac", "\r", "\ufb33", "1", "\U0001f600", "\u0080", "\u00f6"]
    sorted_names = list(json.loads(canonical(dict.fromkeys(names, 0))))
    assert sorted_names == ["\r", "1", "\u0080", "\u00f6", "\u20ac", "\U0001f600", "\ufb33"]


@given(JSON)
def test_a_canonical_text_reads_back_as_the_same_value(value: Any) -> None:
    assert json.loads(canonical(value)) == value


def test_numbers_that_matter_are_sealed_as_decimal_strings(text: bytes) -> None:
    assert json.loads(text)["plan"]["alpha"] == "0.05"


# FIPS 180-4, the one-block example "abc".
def test_the_seal_is_the_published_hash_of_its_bytes() -> None:
    assert seal_hash(b"abc") == "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"


def test_screens_show_sixteen_digits_of_the_seal() -> None:
    assert (short("0123456789abcdef" * 4), spaced("0123456789abcdef" * 4)) == (
        "0123456789abcdef",
        "0123 4567 89ab cdef",
    )


def test_a_sealed_text_reads_back_as_the_same_bytes(text: bytes) -> None:
    assert canonical(read_sealed(text)) == text


def test_a_reader_without_this_program_gets_the_same_seal(
    sealed: SealedTasting, text: bytes
) -> None:
    plain = json.dumps(
        sealed.model_dump(mode="json"), sort_keys=True, separators=(",", ":"), ensure_ascii=False
    )
    assert hashlib.sha256(plain.encode()).hexdigest() == seal_hash(text)


@pytest.mark.parametrize(
    "junk",
    [b"", b"{}", b"[]", b"\xff\xfe", b"null", b"[" * 100_000, b'{"salt":"' + b"x" * 9, b"NaN"],
)
def test_what_is_no_sealed_tasting_is_refused(junk: bytes) -> None:
    with pytest.raises(BadSeal, match="The sealed text cannot be read"):
        read_sealed(junk)


def test_spaces_in_a_sealed_text_are_refused(text: bytes) -> None:
    with pytest.raises(BadSeal, match="canonical form"):
        read_sealed(text.replace(b",", b", ", 1))


def test_a_number_written_otherwise_is_refused(text: bytes) -> None:
    with pytest.raises(BadSeal, match="canonical form"):
        read_sealed(text.replace(b'"assessors":6', b'"assessors":"6"'))


def test_a_member_too_many_is_refused(text: bytes) -> None:
    with pytest.raises(BadSeal, match=r"cannot be read: extra: "):
        read_sealed(b'{"extra":1,' + text[1:])


@pytest.mark.parametrize(
    ("change", "sentence"),
    [
        (lambda s: {"key": dict(list(s.key.items())[1:])}, "is missing from the key"),
        (lambda s: {"key": s.key | {next(iter(s.key)): "A99"}}, "names brew slot A99"),
        (lambda s: {"key": s.key | {s.servings[0].cups[0].id: "A3"}}, "of another round"),
        (lambda s: {"key": s.key | {s.tasting: "A1"}}, "names cup"),
        (lambda s: {"seats": s.seats[1:]}, "seat 1, which is not there"),
        (lambda s: {"servings": (*s.servings, s.servings[0])}, "is there twice"),
        (lambda _: {"comparisons": ()}, "belongs to no comparison"),
        (lambda s: {"samples": s.samples[:1]}, "is of no sample"),
    ],
)
def test_a_sealed_text_that_contradicts_itself_is_refused(
    sealed: SealedTasting, change: Callable[[SealedTasting], dict[str, Any]], sentence: str
) -> None:
    with pytest.raises(BadSeal, match=sentence):
        read_sealed(canonical(sealed.model_copy(update=change(sealed))))


def test_two_cups_with_one_code_in_a_serving_are_found(sealed: SealedTasting) -> None:
    first = sealed.servings[0]
    cups = tuple(cup.model_copy(update={"code": "385"}) for cup in first.cups)
    servings = (first.model_copy(update={"cups": cups}), *sealed.servings[1:])
    found = find_layout_problems(sealed.model_copy(update={"servings": servings}))
    assert found == [f"Serving {first.id} has the same code on two cups."]


def test_cups_out_of_their_places_are_found(sealed: SealedTasting) -> None:
    first = sealed.servings[0]
    servings = (first.model_copy(update={"cups": first.cups[::-1]}), *sealed.servings[1:])
    found = find_layout_problems(sealed.model_copy(update={"servings": servings}))
    assert found == [f"The cups of serving {first.id} do not stand from left to right."]
