"""A whole tasting as one file that anybody can check."""

import hashlib
from collections.abc import Mapping, Sequence
from typing import Annotated, Any, Literal

from pydantic import StringConstraints, ValidationError

from server.blinding.bodies import find_body_problems
from server.blinding.chain import verify_chain
from server.blinding.events import Event, Kind
from server.blinding.plain import Frozen
from server.blinding.seal import (
    BadSeal,
    canonical,
    find_layout_problems,
    first_error,
    read_sealed,
    seal_hash,
)
from server.blinding.sealed import Layout

FORMAT, FORMAT_NO = "oddcup tasting", 1

Hash = Annotated[str, StringConstraints(pattern=r"^[0-9a-f]{64}$")]


class BadDocument(ValueError):
    """The bytes are not a tasting document; the message says why."""


class Document(Frozen):
    """One tasting, as exported.

    Attributes
    ----------
    format, format_no
        What kind of file this is.
    name
        Of the tasting; neither sealed nor secret.
    seal
        Hash of the sealed text.
    sealed
        The sealed text word for word, or None as long as the key is secret.
    layout
        The sealed object without salt and key; only while ``sealed`` is None.
    events
        All events since sealing.
    head
        Head of the chain; the seal while nothing has happened.
    checksum
        SHA-256 over the canonical text of all other members.
    expected
        What a sample session's finding must say; any JSON, left out if None.
    """

    format: Literal["oddcup tasting"]
    format_no: Literal[1]
    name: str
    seal: Hash
    sealed: str | None
    layout: Layout | None
    events: tuple[Event, ...]
    head: Hash
    checksum: Hash
    expected: Any = None

    @property
    def sealed_text(self) -> bytes | None:
        """The bytes under the seal."""
        return None if self.sealed is None else self.sealed.encode()


def build_document(
    name: str,
    seal: str,
    sealed_text: bytes | None,
    layout: Layout | None,
    events: Sequence[Event],
    expected: Any = None,
) -> bytes:
    """Write a tasting as one document.

    Parameters
    ----------
    name : str
        Of the tasting.
    seal : str
        Hash of the sealed text.
    sealed_text : bytes or None
        The text under the seal; None as long as the key is secret.
    layout : Layout or None
        Given exactly if ``sealed_text`` is not. A sealed tasting may be given:
        its salt and key are left out.
    events : sequence of Event
        All events since sealing, in order.
    expected : JSON, optional
        What a sample session's finding must say.

    Returns
    -------
    bytes
        Canonical JSON and a line feed.

    Raises
    ------
    ValueError
        If not exactly one of text and layout is given, or something has no
        canonical text.
    """
    if (sealed_text is None) == (layout is None):
        raise ValueError("sealed_text or layout must be given, and not both")
    members: dict[str, Any] = {
        "format": FORMAT,
        "format_no": FORMAT_NO,
        "name": name,
        "seal": seal,
        "sealed": None if sealed_text is None else sealed_text.decode(),
        "layout": None if layout is None else _dump_layout(layout),
        "events": [event.model_dump(mode="json") for event in events],
        "head": events[-1].head if events else seal,
    }
    if expected is not None:
        members["expected"] = expected
    return canonical(members | {"checksum": _sum_up(members)}) + b"\n"


def _dump_layout(layout: Layout) -> Any:
    return layout.model_dump(mode="json", include=set(Layout.model_fields))


def _sum_up(members: Mapping[str, Any]) -> str:
    others = {name: member for name, member in members.items() if name != "checksum"}
    return hashlib.sha256(canonical(others)).hexdigest()


def read_document(text: bytes) -> Document:
    """Read a tasting document.

    Parameters
    ----------
    text : bytes
        The file.

    Returns
    -------
    Document
        Whose bytes are whole; seal and chain are looked at by `verify_document`.

    Raises
    ------
    BadDocument
        If the bytes are no document, not canonical, or do not fit the checksum.
    """
    try:
        document = Document.model_validate_json(text)
        members = _dump_document(document)
        same = canonical(members) + b"\n" == text
    except ValidationError as error:
        raise BadDocument(f"This is not a tasting document: {first_error(error)}.") from None
    except ValueError as error:
        raise BadDocument(f"This is not a tasting document: {error}.") from None
    if not same:
        raise BadDocument("The document is not written canonically (RFC 8785 and a line feed).")
    if _sum_up(members) != document.checksum:
        raise BadDocument("The checksum does not match the document: something was changed.")
    return document


def _dump_document(document: Document) -> dict[str, Any]:
    members = document.model_dump(mode="json")
    if members["expected"] is None:
        del members["expected"]
    return members


def verify_document(text: bytes) -> list[str]:
    """Check a tasting document with nothing but its own bytes.

    Parameters
    ----------
    text : bytes
        The file.

    Returns
    -------
    list of str
        One sentence for each thing that does not match; empty if all holds.

    Notes
    -----
    A document that holds is consistent: this plan, key and chain of events belong
    to this seal. That the seal is the one shown before the first sip is for a
    witness to say who wrote it down then.
    """
    try:
        document = read_document(text)
    except BadDocument as error:
        return [str(error)]
    problems, layout = _check_seal(document)
    problems += verify_chain(document.seal, document.events)
    head = document.events[-1].head if document.events else document.seal
    if head != document.head:
        problems.append("The head of the document is not that of its last event.")
    if layout is not None:
        problems += find_body_problems(document.events, layout)
    return problems + _check_unsealing(document)


def _check_seal(document: Document) -> tuple[list[str], Layout | None]:
    """Check that the sealed text, or else a layout, is there and holds together."""
    text = document.sealed_text
    if text is None:
        if document.layout is None:
            return ["Neither sealed text nor layout is there."], None
        return find_layout_problems(document.layout), document.layout
    problems = []
    if document.layout is not None:
        problems.append("The layout is there a second time beside the sealed text.")
    if seal_hash(text) != document.seal:
        problems.append("The sealed text does not match the seal.")
    try:
        return problems, read_sealed(text)
    except BadSeal as error:
        return [*problems, str(error)], None


def _check_unsealing(document: Document) -> list[str]:
    for event in document.events:
        if event.kind != Kind.UNSEALED or event.body is None:
            continue
        if document.sealed is None:
            return ["The tasting was unsealed, yet its sealed text is not there."]
        if event.body.get("seal_matches") is False:
            return ["At unsealing, the sealed text or the events did not match the seal."]
    return []


def find_notes(document: Document) -> list[str]:
    """Say what a reader should know of a document that holds.

    Examples are a key that was exported early, and erased events.
    """
    kinds = {event.kind for event in document.events}
    notes = []
    if document.sealed is not None and Kind.UNSEALED not in kinds:
        notes.append("The key is in this document although the tasting was not unsealed.")
    if document.sealed is None:
        notes.append("The key is not in this document: the seal itself cannot be checked yet.")
    erased = sum(event.body is None for event in document.events)
    if erased:
        notes.append(f"The words of {erased} event(s) were erased; the chain holds without them.")
    return notes


def verify_sealed_text(text: bytes, expected: str) -> list[str]:
    """Check a bare sealed text against the hash that was published for it.

    Parameters
    ----------
    text : bytes
        The file ``NAME.sealed.json``.
    expected : str
        All 64 digits of the seal, or the first 16 or more, blanks allowed.

    Returns
    -------
    list of str
        One sentence for each thing that does not match; empty if all holds.
    """
    problems = []
    digits = "".join(expected.split()).lower()
    if not 16 <= len(digits) <= 64 or set(digits) - set("0123456789abcdef"):
        problems.append("The expected seal must be 16 to 64 hexadecimal digits.")
    elif not seal_hash(text).startswith(digits):
        problems.append("The sealed text does not match the expected seal.")
    try:
        read_sealed(text)
    except BadSeal as error:
        problems.append(str(error))
    return problems
