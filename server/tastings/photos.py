"""Pictures of turned cups: nothing is kept but their pixels, and those may be deleted."""

import io
from collections.abc import Sequence
from hashlib import sha256
from typing import TYPE_CHECKING
from uuid import UUID

from sqlmodel import Session, col, select

from server.methods.base import N_
from server.storage.tables import Photo
from server.tastings.bench import Bench
from server.tastings.refusals import Invalid, NotFound

if TYPE_CHECKING:
    from PIL.Image import Image

LARGEST_PHOTO = 10 * 1024 * 1024
LONGEST_SIDE = 1600
QUALITY = 85
MOST_PIXELS = {"JPEG": 64_000_000, "PNG": 24_000_000, "WEBP": 24_000_000}
"""More is not decoded. A JPEG is decoded no larger than needed, the others whole."""

TOO_LARGE = N_("This picture is larger than 10 MB. Take a smaller one, or go on without.")
NO_PICTURE = N_("This is no picture that can be read: JPEG, PNG or WebP. Or go on without.")
TOO_MANY = N_("This picture has too many pixels. Take a smaller one, or go on without.")


def clean_photo(data: bytes) -> bytes:
    """Return a picture as a new JPEG: upright, at most 1600 px long, without anything but pixels.

    Raises
    ------
    Invalid
        If it is larger than 10 MB, has too many pixels, or is none.
    """
    if len(data) > LARGEST_PHOTO:
        raise Invalid(photo=TOO_LARGE)
    try:
        pixels = _read_pixels(data)
    except Invalid:
        raise
    except Exception as error:  # a hostile file may raise anything while it is decoded
        raise Invalid(photo=NO_PICTURE) from error
    out = io.BytesIO()
    pixels.save(out, "JPEG", quality=QUALITY)
    return out.getvalue()


def _read_pixels(data: bytes) -> "Image":
    from PIL import Image, ImageOps

    try:
        opened = Image.open(io.BytesIO(data), formats=tuple(MOST_PIXELS))  # reads the header only
    except (Image.DecompressionBombError, Image.DecompressionBombWarning):
        raise Invalid(photo=TOO_MANY) from None
    with opened as source:
        if source.width * source.height > MOST_PIXELS[source.format or ""]:
            raise Invalid(photo=TOO_MANY)
        # First, for to turn a picture copies it; a gap of 1 decodes a JPEG no larger than needed.
        source.thumbnail((LONGEST_SIDE, LONGEST_SIDE), reducing_gap=1.0)
        seen = ImageOps.exif_transpose(source).convert("RGBA")
    clean = Image.new("RGB", seen.size, "white")  # a new picture: no text comes along
    clean.paste(seen, mask=seen.getchannel("A"))
    return clean


def keep_photo(db: Session, tasting_id: UUID, image: bytes) -> str:
    """Store a cleaned picture and return its hash; the caller commits."""
    digest = sha256(image).hexdigest()
    if db.get(Photo, (digest, tasting_id)) is None:
        db.add(Photo(hash=digest, tasting_id=tasting_id, image=image))
    return digest


def list_photos(bench: Bench, tasting_id: UUID) -> Sequence[str]:
    """List the hashes of the pictures that are still there."""
    with bench.reading() as db:
        statement = select(Photo.hash).where(Photo.tasting_id == tasting_id)
        return db.exec(statement.order_by(col(Photo.hash))).all()


def get_photo(bench: Bench, tasting_id: UUID, digest: str) -> bytes:
    """Return a picture, or raise `NotFound`."""
    with bench.reading() as db:
        found = db.get(Photo, (digest, tasting_id))
    if found is None:
        raise NotFound("There is no such picture.")
    return found.image


def delete_photo(bench: Bench, tasting_id: UUID, digest: str) -> None:
    """Erase a picture; its hash stays in the record. A second time changes nothing."""
    with bench.writing() as db:
        found = db.get(Photo, (digest, tasting_id))
        if found is not None:
            db.delete(found)
        db.commit()
