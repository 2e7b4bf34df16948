"""The sealed text of a tasting, whoever has laid hands on it."""

from collections.abc import Collection
from uuid import UUID

from sqlmodel import Session

from server.storage.key import read_sealed_text, read_sealed_texts


def get_sealed_text(db: Session, tasting_id: UUID) -> bytes:
    """Return the bytes under the seal; none if they are gone.

    Somebody who changes them in an SQLite file may leave characters instead of bytes.
    """
    return _to_bytes(read_sealed_text(db, tasting_id) or b"")


def get_sealed_texts(db: Session, tasting_ids: Collection[UUID]) -> dict[UUID, bytes]:
    """As `get_sealed_text`, of several tastings at once; one without a text is left out."""
    return {id_: _to_bytes(text) for id_, text in read_sealed_texts(db, tasting_ids).items()}


def _to_bytes(text: bytes | str) -> bytes:
    return text.encode() if isinstance(text, str) else text
