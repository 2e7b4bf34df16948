"""The sealed text of a tasting, whoever has laid hands on it."""

from uuid import UUID

from sqlmodel import Session

from server.storage.key import read_sealed_text


def get_sealed_text(db: Session, tasting_id: UUID) -> bytes:
    """Return the bytes under the seal; none if they are gone.

    Somebody who changes them in an SQLite file may leave characters instead of bytes.
    """
    text: bytes | str = read_sealed_text(db, tasting_id) or b""
    return text.encode() if isinstance(text, str) else text
