"""Parts of findings kept by tasting, version of its record and program that made them."""

from collections.abc import Mapping
from uuid import UUID

from sqlalchemy import and_
from sqlalchemy.exc import IntegrityError
from sqlmodel import Session, col, delete, select

from server.storage.tables import FindingCache


def find_part(db: Session, tasting_id: UUID, version: int, program: str, kind: str) -> bytes | None:
    """Return a part as this program made it for this version of the record."""
    row = db.get(FindingCache, (tasting_id, version, f"{program}/{kind}"))
    return row.body if row else None


def find_parts(
    db: Session, versions: Mapping[UUID, int], program: str, kind: str
) -> dict[UUID, bytes]:
    """As `find_part`, of several tastings at once; those without the part are left out."""
    wanted = select(FindingCache).where(
        col(FindingCache.tasting_id).in_(versions), FindingCache.kind == f"{program}/{kind}"
    )
    rows = db.exec(wanted).all()
    return {one.tasting_id: one.body for one in rows if one.version == versions[one.tasting_id]}


def keep_parts(
    db: Session, tasting_id: UUID, version: int, program: str, parts: Mapping[str, bytes]
) -> None:
    """Keep parts, and drop those of other versions and programs; whoever came first stays."""
    known = (
        col(FindingCache.version) == version,
        col(FindingCache.kind).startswith(f"{program}/", autoescape=True),
    )
    db.exec(delete(FindingCache).where(col(FindingCache.tasting_id) == tasting_id, ~and_(*known)))
    for kind, body in parts.items():
        db.add(
            FindingCache(
                tasting_id=tasting_id, version=version, kind=f"{program}/{kind}", body=body
            )
        )
    try:
        db.commit()
    except IntegrityError:  # another process worked it out at the same moment
        db.rollback()
