import hashlib
import json
from collections.abc import Callable
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from server.blinding.chain import link
from server.blinding.events import Event, Kind
from server.blinding.portable import (
    BadDocument,
    build_document,
    find_notes,
    read_document,
    verify_document,
    verify_sealed_text,
)
from server.blinding.seal import canonical
from server.blinding.sealed import SealedTasting

Bodies = list[tuple[Kind, dict[str, Any]]]
Tell = Callable[[str, Bodies], list[Event]]
many = settings(
    max_examples=300,
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture],
)


@pytest.fixture
def document(sealed: SealedTasting, seal: str, events: list[Event]) -> bytes:
    return build_document("Filter evening", seal, canonical(sealed), None, events, {"k": 1})


@pytest.fixture
def early(sealed: SealedTasting, seal: str, events: list[Event]) -> bytes:
    """An export before unsealing: layout, no key."""
    return build_document("Filter evening", seal, None, sealed, events[:6])


def rewrite(document: bytes, **changed: Any) -> bytes:
    """Change members and put the checksum right again, as a careful cheat would."""
    members = {**json.loads(document), **changed}
    del members["checksum"]
    members = {name: one for name, one in members.items() if one is not ...}
    checksum = hashlib.sha256(canonical(members)).hexdigest()
    return canonical(members | {"checksum": checksum}) + b"\n"


def test_a_document_of_a_whole_tasting_holds(document: bytes) -> None:
    assert verify_document(document) == []


def test_a_document_from_before_unsealing_holds(early: bytes) -> None:
    assert verify_document(early) == []


def test_a_document_without_any_event_holds(sealed: SealedTasting, seal: str) -> None:
    assert verify_document(build_document("New", seal, None, sealed, [])) == []


def test_a_document_is_canonical_json_and_a_line_feed(document: bytes) -> None:
    assert canonical(json.loads(document)) + b"\n" == document


def test_the_sealed_text_stands_in_it_word_for_word(document: bytes, sealed: SealedTasting) -> None:
    assert read_document(document).sealed_text == canonical(sealed)


def test_before_unsealing_neither_key_nor_salt_is_in_it(
    early: bytes, sealed: SealedTasting
) -> None:
    assert b'"key"' not in early
    assert sealed.salt.encode() not in early


def test_what_was_built_reads_back(document: bytes, events: list[Event]) -> None:
    read = read_document(document)
    assert (read.events, read.expected, read.head) == (tuple(events), {"k": 1}, events[-1].head)


def test_text_and_layout_at_once_are_refused(sealed: SealedTasting, seal: str) -> None:
    with pytest.raises(ValueError, match="sealed_text or layout must be given, and not both"):
        build_document("x", seal, canonical(sealed), sealed, [])


@many
@given(data=st.data())
def test_a_changed_byte_anywhere_is_found(document: bytes, data: st.DataObject) -> None:
    place = data.draw(st.integers(0, len(document) - 1))
    other = data.draw(st.integers(0, 255).filter(lambda byte: byte != document[place]))
    assert verify_document(document[:place] + bytes([other]) + document[place + 1 :])


@many
@given(data=st.data())
def test_a_flipped_bit_before_unsealing_is_found(early: bytes, data: st.DataObject) -> None:
    place = data.draw(st.integers(0, len(early) - 1))
    flipped = early[place] ^ (1 << data.draw(st.integers(0, 7)))
    assert verify_document(early[:place] + bytes([flipped]) + early[place + 1 :])


@many
@given(data=st.data())
def test_bytes_put_in_anywhere_are_found(document: bytes, data: st.DataObject) -> None:
    place = data.draw(st.integers(0, len(document)))
    more = data.draw(st.binary(min_size=1, max_size=5) | st.sampled_from([b" ", b"\n", b"0"]))
    assert verify_document(document[:place] + more + document[place:])


@many
@given(data=st.data())
def test_bytes_left_out_anywhere_are_found(document: bytes, data: st.DataObject) -> None:
    start = data.draw(st.integers(0, len(document) - 1))
    end = data.draw(st.integers(start + 1, len(document)))
    assert verify_document(document[:start] + document[end:])


@many
@given(data=st.data())
def test_a_document_cut_off_anywhere_is_found(document: bytes, data: st.DataObject) -> None:
    assert verify_document(document[: data.draw(st.integers(0, len(document) - 1))])


@settings(deadline=None)
@given(st.binary(max_size=400))
def test_no_bytes_at_all_end_in_anything_but_sentences(junk: bytes) -> None:
    assert all(problem.endswith(".") for problem in verify_document(junk))


@pytest.mark.parametrize(
    "junk",
    [
        b"[" * 200_000,
        b'{"format":' + b'{"a":' * 5_000,
        b'{"a":"\\ud800"}\n',
        b'{"\\ud800":1}\n',
        b'{"a":1e999}\n',
        b'{"a":' + b"9" * 5_000 + b"}\n",
        b'"oddcup tasting"\n',
        b"null\n",
        b"\xef\xbb\xbf{}\n",
    ],
)
def test_nasty_bytes_are_said_to_be_no_document(junk: bytes) -> None:
    assert verify_document(junk)[0].startswith("This is not a tasting document")


@pytest.mark.parametrize(
    "expected", [float("inf"), 2**60, "\ud800", {"x": [1.5, {"\udfff": None}]}]
)
def test_what_has_no_canonical_text_is_not_written(
    sealed: SealedTasting, seal: str, expected: Any
) -> None:
    with pytest.raises(ValueError):  # noqa: PT011 - the words are those of the JSON library
        build_document("x", seal, None, sealed, [], expected)


@pytest.mark.parametrize(
    ("changed", "sentence"),
    [
        ({"seal": "0" * 64}, "The sealed text does not match the seal."),
        ({"head": "0" * 64}, "The head of the document is not that of its last event."),
        ({"sealed": None}, "Neither sealed text nor layout is there."),
        ({"sealed": "{}"}, "The sealed text does not match the seal."),
    ],
)
def test_a_part_changed_with_the_checksum_put_right_is_found(
    document: bytes, changed: dict[str, Any], sentence: str
) -> None:
    assert sentence in verify_document(rewrite(document, **changed))


def test_a_sealed_text_with_another_key_is_found(document: bytes, sealed: SealedTasting) -> None:
    cups = [cup.id for cup in sealed.servings[0].cups]
    key = dict(sealed.key)
    key[cups[0]], key[cups[1]], key[cups[2]] = (key[cups[n]] for n in (1, 2, 0))
    text = canonical(sealed.model_copy(update={"key": key})).decode()
    found = verify_document(rewrite(document, sealed=text))
    assert found == ["The sealed text does not match the seal."]


def test_another_answer_is_found(document: bytes) -> None:
    events = json.loads(document)["events"]
    events[5]["body"]["answer"]["guess"] = True
    found = verify_document(rewrite(document, events=events))
    assert found == ["Event 6 does not say what its hash covers."]


def test_events_left_out_at_the_end_are_found_by_the_head(document: bytes) -> None:
    events = json.loads(document)["events"][:-1]
    found = verify_document(rewrite(document, events=events))
    assert "The head of the document is not that of its last event." in found


@pytest.mark.parametrize(
    "changed", [{"format": "another"}, {"format_no": 2}, {"extra": 1}, {"events": "none"}]
)
def test_another_format_is_said_to_be_none_of_ours(
    document: bytes, changed: dict[str, Any]
) -> None:
    with pytest.raises(BadDocument, match="This is not a tasting document"):
        read_document(rewrite(document, **changed))


@pytest.mark.parametrize("changed", [{"expected": None}, {"format_no": True}])
def test_a_value_written_otherwise_is_found(document: bytes, changed: dict[str, Any]) -> None:
    assert verify_document(rewrite(document, **changed))


def test_a_layout_beside_the_sealed_text_is_found(document: bytes, early: bytes) -> None:
    found = verify_document(rewrite(document, layout=json.loads(early)["layout"]))
    assert found == ["The layout is there a second time beside the sealed text."]


def test_an_unsealed_tasting_without_its_text_is_found(
    sealed: SealedTasting, seal: str, events: list[Event]
) -> None:
    found = verify_document(build_document("x", seal, None, sealed, events))
    assert found == ["The tasting was unsealed, yet its sealed text is not there."]


def test_a_seal_that_did_not_match_at_unsealing_is_said(
    sealed: SealedTasting, seal: str, tell: Tell
) -> None:
    events = tell(seal, [(Kind.UNSEALED, {"seal_matches": False})])
    found = verify_document(build_document("x", seal, canonical(sealed), None, events))
    assert found == ["At unsealing, the sealed text or the events did not match the seal."]


def test_an_early_export_with_the_key_holds_and_says_so(
    sealed: SealedTasting, seal: str, events: list[Event]
) -> None:
    document = build_document("x", seal, canonical(sealed), None, events[:6])
    assert verify_document(document) == []
    assert find_notes(read_document(document)) == [
        "The key is in this document although the tasting was not unsealed."
    ]


def test_a_document_without_key_says_that_its_seal_cannot_be_checked(early: bytes) -> None:
    assert find_notes(read_document(early)) == [
        "The key is not in this document: the seal itself cannot be checked yet."
    ]


def test_an_erased_event_holds_and_is_mentioned(
    sealed: SealedTasting, seal: str, events: list[Event]
) -> None:
    events[1] = events[1].model_copy(update={"body": None, "leaf_salt": None})
    body = {"at": "2031-05-01T08:00:00.000+00:00", "seq": 2}
    events.append(link(events[-1].head, 10, Kind.ERASED, body, "ab" * 16))
    document = build_document("x", seal, canonical(sealed), None, events)
    assert verify_document(document) == []
    assert find_notes(read_document(document)) == [
        "The words of 1 event(s) were erased; the chain holds without them."
    ]


def test_a_sealed_text_holds_against_its_published_hash(sealed: SealedTasting, seal: str) -> None:
    assert verify_sealed_text(canonical(sealed), seal) == []


def test_the_sixteen_digits_of_a_screen_are_enough(sealed: SealedTasting, seal: str) -> None:
    shown = f"{seal[:4]} {seal[4:8]} {seal[8:12]} {seal[12:16]}".upper()
    assert verify_sealed_text(canonical(sealed), shown) == []


@pytest.mark.parametrize("expected", ["", "abc", "z" * 64, "0" * 65])
def test_what_is_no_hash_is_said(sealed: SealedTasting, expected: str) -> None:
    assert verify_sealed_text(canonical(sealed), expected) == [
        "The expected seal must be 16 to 64 hexadecimal digits."
    ]


def test_a_sealed_text_with_a_line_feed_added_does_not_hold(
    sealed: SealedTasting, seal: str
) -> None:
    assert verify_sealed_text(canonical(sealed) + b"\n", seal) == [
        "The sealed text does not match the expected seal.",
        "The sealed text is not in its canonical form (RFC 8785).",
    ]
