"""Pictures of turned cups: their pixels and nothing else; Pillow's own reader is the witness.

Tags: 0x0112 orientation, 0x8825 GPS, 0x010F maker, 0x9286 user comment (CIPA DC-008, Exif 2.32).
"""

import io
import struct
import zlib

import pytest
from PIL import Image
from PIL.PngImagePlugin import PngInfo

from server.storage.tables import Photo
from server.tastings import photos
from server.tastings.photos import clean_photo
from server.tastings.refusals import Invalid, NotFound

SECRETS = (b"Hidden Cellar", b"Somebody", b"48.2", b"Exif", b"GPS")


def draw(size=(40, 20), mode="RGB"):
    """A picture whose left half is red and whose right half is blue."""
    image = Image.new(mode, size, "blue")
    image.paste("red", (0, 0, size[0] // 2, size[1]))
    return image


def write(image, kind="JPEG", **how):
    out = io.BytesIO()
    image.save(out, kind, **how)
    return out.getvalue()


def read(data):
    return Image.open(io.BytesIO(data))


def name_colour(image, at):
    red, _, blue = image.convert("RGB").getpixel(at)
    return "red" if red > blue else "blue"


def with_exif(orientation=1, size=(40, 20), **how):
    exif = Image.Exif()
    exif[0x0112], exif[0x010F] = orientation, "Somebody's camera"
    exif.get_ifd(0x8825)[1], exif.get_ifd(0x8825)[2] = "N", (48.2, 0.0, 0.0)
    exif.get_ifd(0x8769)[0x9286] = b"Hidden Cellar"
    return write(draw(size), exif=exif, comment=b"Somebody", **how)


def test_a_jpeg_comes_out_without_place_maker_or_comment():
    dirty = with_exif()
    assert read(dirty).getexif().get_ifd(0x8825)  # it was there
    clean = clean_photo(dirty)
    assert not read(clean).getexif()
    assert not {"exif", "comment", "icc_profile", "photoshop", "xmp"} & set(read(clean).info)
    assert not [secret for secret in SECRETS if secret in clean]


def test_a_png_comes_out_without_its_texts():
    texts = PngInfo()
    texts.add_text("Author", "Somebody")
    texts.add_itxt("Place", "Hidden Cellar")
    dirty = write(draw(), "PNG", pnginfo=texts)
    assert b"Somebody" in dirty
    clean = clean_photo(dirty)
    assert read(clean).format == "JPEG"
    assert not [secret for secret in SECRETS if secret in clean]


def test_what_is_hidden_behind_the_picture_stays_behind():
    assert b"Hidden Cellar" not in clean_photo(write(draw()) + b"Hidden Cellar")


@pytest.mark.parametrize(
    ("orientation", "size", "top_left", "bottom_right"),
    [  # what the tag says about the first row and column: Exif 2.32, table 6 (from memory)
        (1, (40, 20), "red", "blue"),
        (3, (40, 20), "blue", "red"),
        (6, (20, 40), "red", "blue"),
        (8, (20, 40), "blue", "red"),
    ],
)
def test_a_picture_stands_as_its_camera_was_held(orientation, size, top_left, bottom_right):
    seen = read(clean_photo(with_exif(orientation, quality=95)))
    assert seen.size == size
    assert name_colour(seen, (3, 3)) == top_left
    assert name_colour(seen, (size[0] - 4, size[1] - 4)) == bottom_right


@pytest.mark.parametrize(
    ("size", "kept"), [((4000, 3000), (1600, 1200)), ((900, 3200), (450, 1600)), ((8, 9), (8, 9))]
)
def test_the_longest_side_has_at_most_1600_pixels(size, kept):
    assert read(clean_photo(write(draw(size)))).size == kept


def test_a_large_picture_is_turned_too():
    seen = read(clean_photo(with_exif(6, (4000, 3000))))
    assert seen.size == (1200, 1600)
    assert (name_colour(seen, (600, 9)), name_colour(seen, (600, 1590))) == ("red", "blue")


def test_what_is_transparent_becomes_white():
    clear = Image.new("RGBA", (9, 9), (0, 0, 0, 0))
    assert min(read(clean_photo(write(clear, "PNG"))).getpixel((4, 4))) > 250


@pytest.mark.parametrize(("mode", "kind"), [("L", "PNG"), ("P", "PNG"), ("CMYK", "JPEG")])
def test_pictures_of_other_kinds_of_colour_are_read(mode, kind):
    assert read(clean_photo(write(draw().convert(mode), kind))).mode == "RGB"


def test_webp_is_read():
    assert read(clean_photo(write(draw(), "WEBP"))).size == (40, 20)


def refuse(data):
    with pytest.raises(Invalid) as refused:
        clean_photo(data)
    return refused.value.messages["photo"]


@pytest.mark.parametrize(
    "data",
    [
        b"",
        b"no picture",
        b"<svg/>",
        write(draw(), "GIF"),
        write(draw())[:200],
        write(draw(), "PDF"),
    ],
    ids=["nothing", "text", "svg", "gif", "half a jpeg", "pdf"],
)
def test_what_is_no_picture_is_refused(data):
    assert "no picture" in refuse(data)


def test_more_than_10_megabytes_are_refused_unread():
    assert "larger than 10 MB" in refuse(b"\xff\xd8\xff" + bytes(10 * 1024 * 1024))


def forge_png(width, height):
    """A few bytes that claim to be a picture of this size."""

    def chunk(kind, body):
        whole = kind + body
        return struct.pack(">I", len(body)) + whole + struct.pack(">I", zlib.crc32(whole))

    head = struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)
    body = zlib.compress(bytes(1000))
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", body) + chunk(b"IEND", b"")


@pytest.mark.parametrize("side", [5000, 9000, 12_000, 60_000])
def test_a_small_file_that_claims_to_be_huge_is_refused_undecoded(side):
    assert "too many pixels" in refuse(forge_png(side, side))


def test_a_picture_is_found_again_by_its_hash_and_may_be_erased(bench, alone):
    with bench.writing() as db:
        digest = photos.keep_photo(db, alone.made.id, b"pixels")
        assert photos.keep_photo(db, alone.made.id, b"pixels") == digest
        db.commit()
    assert photos.get_photo(bench, alone.made.id, digest) == b"pixels"
    for _ in range(2):
        photos.delete_photo(bench, alone.made.id, digest)
    assert list(photos.list_photos(bench, alone.made.id)) == []
    with pytest.raises(NotFound):
        photos.get_photo(bench, alone.made.id, digest)


def test_a_picture_belongs_to_its_tasting(bench, alone, sealed_tasting):
    with bench.writing() as db:
        digest = photos.keep_photo(db, alone.made.id, b"pixels")
        db.commit()
    with pytest.raises(NotFound):
        photos.get_photo(bench, sealed_tasting.id, digest)
    with bench.reading() as db:
        assert db.get(Photo, (digest, alone.made.id)) is not None


def test_the_record_names_the_hash_of_what_is_kept(bench, alone):
    from hashlib import sha256

    from server.tastings.marking import enter_marks
    from tests.tastings.test_marking import fill_in

    alone.taste(1)
    enter_marks(bench, alone.made.tokens[1], 1, fill_in(alone), write(draw()))
    (kept,) = photos.list_photos(bench, alone.made.id)
    assert alone.record.reveals[1][-1].photo == kept
    assert sha256(photos.get_photo(bench, alone.made.id, kept)).hexdigest() == kept
