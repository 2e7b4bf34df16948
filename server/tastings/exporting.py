"""Hand a tasting out as a document; the key leaves early only on record."""

import re
from dataclasses import dataclass
from uuid import UUID

from sqlmodel import Session

from server.blinding.events import Kind
from server.storage import queries
from server.storage.portable import write_document
from server.storage.tables import Tasting
from server.tastings.bench import Bench
from server.tastings.closing import look_at_key
from server.tastings.concluding import Spoilt
from server.tastings.journal import AT_THE_TABLE, OVER, open_journal
from server.tastings.refusals import NotFound
from server.tastings.sealed_text import get_sealed_text
from server.tastings.seating import tidy_code


@dataclass(frozen=True)
class KeyLook:
    """Who takes the key along before unsealing (``taster``, ``present``, ``away``), and why."""

    who: str
    reason: str


@dataclass(frozen=True)
class Exported:
    """A tasting as files: a neutral name, the document, the sealed text once it may leave."""

    name: str
    document: bytes
    sealed_text: bytes | None


def get_tasting_id(bench: Bench, given: str) -> UUID:
    """Return the id of a tasting named by its id or by its short code."""
    with bench.reading() as db:
        try:
            tasting = queries.find_tasting(db, UUID(given))
        except ValueError:
            tasting = queries.find_by_join_code(db, tidy_code(given))
    if tasting is None:
        raise NotFound(f"There is no tasting {given}.")
    return tasting.id


def export_tasting(bench: Bench, tasting_id: UUID, look: KeyLook | None = None) -> Exported:
    """Write a sealed tasting as a document.

    Before unsealing, salt and key stay out of it. With ``look`` they go along: that is
    an early look at the key, on record first. Answers and key in one hand while people
    still taste is a look at the results, and goes on record too.

    Raises
    ------
    NotFound
        No such tasting.
    WrongState
        It is not sealed, or was given up: then it can be unsealed instead.
    Spoilt
        Somebody changed the sealed text so far that it is no text any more.
    Invalid
        The look lacks a reason, or says nothing of who looks.
    """
    unsealed = _find_unsealed(bench, tasting_id)
    if unsealed is not None:
        return unsealed
    if look is not None:
        look_at_key(bench, tasting_id, look.who, look.reason)
    with open_journal(bench, tasting_id, (*AT_THE_TABLE, *OVER)) as journal:
        record = queries.load_record(journal.db, tasting_id)
        if journal.state in AT_THE_TABLE and record.key_looked:
            journal.append(Kind.RESULTS_LOOKED, how="export")
        return _write(journal.db, journal.tasting, with_key=look is not None)


def _find_unsealed(bench: Bench, tasting_id: UUID) -> Exported | None:
    """Write a tasting whose key is out anyway: nothing goes on record."""
    with bench.reading() as db:
        tasting = queries.find_tasting(db, tasting_id)
        if tasting is None or queries.load_record(db, tasting_id).seal_matches is None:
            return None
        return _write(db, tasting, with_key=True)


def _write(db: Session, tasting: Tasting, *, with_key: bool) -> Exported:
    text = get_sealed_text(db, tasting.id) if with_key else None
    try:
        document = write_document(db, tasting, text)
    except UnicodeDecodeError:
        raise Spoilt("The sealed text was changed: it is no text any more.") from None
    return Exported(safe_name(tasting.name), document, text)


def safe_name(name: str) -> str:
    """Return a tasting's neutral name as a file's: letters, digits and hyphens."""
    return re.sub(r"[^A-Za-z0-9]+", "-", name).strip("-")[:80] or "tasting"
