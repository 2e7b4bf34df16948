"""Parts of findings kept by tasting and version of its record; nothing else knows the table."""

from collections.abc import Mapping
from uuid import UUID

from sqlalchemy.exc import IntegrityError
from sqlmodel import Session, col, delete

from server.storage.tables import FindingCache


def find_part(db: Session, tasting_id: UUID, version: int, kind: str) -> bytes | None:
    """Return a part as it was kept for this version of the record."""
    row = db.get(FindingCache, (tasting_id, version, kind))
    return row.body if row else None


def keep_parts(db: Session, tasting_id: UUID, version: int, parts: Mapping[str, bytes]) -> None:
    """Keep parts, and drop those of any other version; whoever came first stays."""
    others = col(FindingCache.tasting_id) == tasting_id, col(FindingCache.version) != version
    db.exec(delete(FindingCache).where(*others))
    for kind, body in parts.items():
        db.add(FindingCache(tasting_id=tasting_id, version=version, kind=kind, body=body))
    try:
        db.commit()
    except IntegrityError:  # another process worked it out at the same moment
        db.rollback()
