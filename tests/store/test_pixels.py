"""Whatever a file carries beside its picture is gone, and what is no picture is refused in words."""

import io
import random
import struct
import zipfile
import zlib

import pytest
from PIL import Image, PngImagePlugin

from knowngood.store import pixels
from knowngood.store.errors import PhotoRefused
from knowngood.store.pixels import cleaned, thumbnail

FORMATS = {"jpg": "JPEG", "png": "PNG", "webp": "WEBP"}
NO_PHOTO = "The file is not a photo that is kept here. Send JPEG, PNG or WebP."
DAMAGED = "The photo is damaged or cut off: it cannot be drawn to its end. Take it again, or choose another."
SECRETS = (b"Exif", b"II*\x00", b"MM\x00*", b"GardenCam", b"xmpmeta", b"SecretPlace", b"Photoshop", b"acsp", b"PK\x03")
MADE_BY_READER = {
    *("jfif", "jfif_version", "jfif_unit", "jfif_density"),
    *("loop", "background", "duration", "timestamp"),
}
XMP = b"<x:xmpmeta xmlns:x='adobe:ns:meta/'>SecretPlace</x:xmpmeta>"


def halves(size=(40, 20)) -> Image.Image:
    """Left half red, right half blue."""
    picture = Image.new("RGB", size, "red")
    picture.paste("blue", (size[0] // 2, 0, *size))
    return picture


def carrying(orientation: int = 1) -> Image.Exif:
    exif = Image.Exif()
    exif[0x010F] = "GardenCam"
    exif[0x0112] = orientation
    exif[0x8825] = {1: "N", 2: (59.0, 20.0, 3.0), 3: "E", 4: (18.0, 4.0, 5.0)}
    return exif


def written(kind: str, picture: Image.Image | None = None, **more) -> bytes:
    file = io.BytesIO()
    (picture or halves()).save(file, FORMATS[kind], **more)
    return file.getvalue()


def loaded(content: bytes) -> Image.Image:
    picture = Image.open(io.BytesIO(content))
    picture.load()
    return picture


def laden(kind: str) -> bytes:
    """A photo with all that a camera and an editor put beside the picture, and a zip behind it."""
    more = {"exif": carrying(), "icc_profile": b"\x00" * 36 + b"acsp" + b"\x00" * 88, "xmp": XMP}
    if kind == "jpg":
        more["comment"] = "SecretPlace"
    if kind == "png":
        info = PngImagePlugin.PngInfo()
        info.add_text("Comment", "SecretPlace")
        info.add_itxt("XML:com.adobe.xmp", XMP.decode())
        info.add_text("Long", "SecretPlace", zip=True)
        more = {"exif": carrying(), "icc_profile": more["icc_profile"], "pnginfo": info}
    behind = io.BytesIO()
    with zipfile.ZipFile(behind, "w") as archive:
        archive.writestr("SecretPlace.txt", "SecretPlace")
    return written(kind, **more) + behind.getvalue()


@pytest.mark.parametrize("kind", FORMATS)
def test_nothing_but_pixels_is_kept(kind):
    dirty = laden(kind)
    assert loaded(dirty).getexif().get_ifd(0x8825)  # it was there
    assert any(secret in dirty for secret in SECRETS)
    clean, found = cleaned(dirty)
    assert found == kind
    picture = loaded(clean)
    assert picture.format == FORMATS[kind]
    assert dict(picture.getexif()) == {}
    assert set(picture.info) <= MADE_BY_READER
    assert [secret for secret in SECRETS if secret in clean] == []
    assert picture.size == (40, 20)


def test_a_jpeg_keeps_only_the_segments_that_draw_it():
    clean, _ = cleaned(laden("jpg"))
    markers, at = [], 2
    while clean[at + 1] != 0xDA:
        markers.append(clean[at + 1])
        at += 2 + struct.unpack(">H", clean[at + 2 : at + 4])[0]
    # The plain JFIF head, quantisation, frame and Huffman tables.
    assert set(markers) == {0xE0, 0xDB, 0xC0, 0xC4}
    assert clean.endswith(b"\xff\xd9")
    assert clean.count(b"\xff\xd9") == 1


def test_a_png_keeps_only_the_chunks_that_draw_it():
    clean, _ = cleaned(laden("png"))
    chunks, at = [], 8
    while at < len(clean):
        chunks.append(clean[at + 4 : at + 8])
        at += 12 + struct.unpack(">I", clean[at : at + 4])[0]
    assert set(chunks) == {b"IHDR", b"IDAT", b"IEND"}


@pytest.mark.parametrize("kind", FORMATS)
@pytest.mark.parametrize(
    ("held", "red_at", "size"),
    [
        (1, (0.25, 0.5), (40, 20)),
        (2, (0.75, 0.5), (40, 20)),
        (3, (0.75, 0.5), (40, 20)),
        (4, (0.25, 0.5), (40, 20)),
        (5, (0.5, 0.25), (20, 40)),
        (6, (0.5, 0.25), (20, 40)),
        (7, (0.5, 0.75), (20, 40)),
        (8, (0.5, 0.75), (20, 40)),
    ],
)
def test_it_stands_upright_however_the_camera_was_held(kind, held, red_at, size):
    picture = loaded(cleaned(written(kind, exif=carrying(held)))[0]).convert("RGB")
    assert picture.size == size
    red, _, blue = picture.getpixel((int(red_at[0] * size[0]), int(red_at[1] * size[1])))
    assert red > 200
    assert blue < 60


def test_notes_of_the_camera_that_cannot_be_read_do_not_cost_the_picture():
    content = written("jpg", exif=carrying(6))
    broken = content.replace(b"II*\x00", b"II*\xff").replace(b"MM\x00*", b"MM\xff*")
    assert broken != content
    assert loaded(cleaned(broken)[0]).size == (40, 20)


def test_a_moving_picture_keeps_its_first():
    frames = [Image.new("RGB", (8, 8), colour) for colour in ("red", "blue")]
    for kind in ("png", "webp"):
        moving = written(kind, frames[0], save_all=True, append_images=frames[1:], duration=100)
        assert loaded(moving).n_frames == 2
        still = loaded(cleaned(moving)[0])
        assert getattr(still, "n_frames", 1) == 1
        assert still.convert("RGB").getpixel((4, 4))[0] > 200


@pytest.mark.parametrize("mode", ["1", "L", "LA", "P", "RGB", "RGBA", "I;16"])
def test_every_depth_of_png_is_drawn(mode):
    clean, kind = cleaned(written("png", Image.new(mode, (6, 4))))
    assert kind == "png"
    assert loaded(clean).mode in ("L", "RGB", "RGBA")
    assert loaded(thumbnail(clean)).format == "JPEG"


def test_sixteen_bits_of_grey_become_eight():
    clean, _ = cleaned(written("png", Image.new("I;16", (4, 4), 32768)))
    assert loaded(clean).getpixel((0, 0)) == 128


def test_what_can_be_seen_through_stays_so_and_stands_on_white_in_the_thumbnail():
    clean, _ = cleaned(written("png", Image.new("RGBA", (4, 4), (255, 0, 0, 0))))
    assert loaded(clean).getpixel((0, 0))[3] == 0
    assert min(loaded(thumbnail(clean)).getpixel((0, 0))) > 250


@pytest.mark.parametrize(
    "content",
    [
        b"",
        b"<svg xmlns='http://www.w3.org/2000/svg' onload='alert(1)'/>",
        b"<?xml version='1.0'?><svg/>",
        b"<!doctype html><script>alert(1)</script>",
        b"MZ\x90\x00" + bytes(200),
        b"\x7fELF" + bytes(200),
        b"GIF89a" + bytes(200),
        b"PK\x03\x04" + bytes(200),
        b"%PDF-1.7",
    ],
)
def test_what_is_no_photo_is_refused_whatever_it_is_called(content):
    with pytest.raises(PhotoRefused) as refused:
        cleaned(content)
    assert str(refused.value) == NO_PHOTO


@pytest.mark.parametrize(
    "content",
    [
        b"\xff\xd8\xff\xe0" + b"<script>alert(1)</script>",
        b"\x89PNG\r\n\x1a\n" + b"<svg onload='alert(1)'/>",
        b"RIFF\x10\x00\x00\x00WEBPVP8 " + b"MZ" + bytes(30),
    ],
)
def test_a_false_beginning_is_not_enough(content):
    with pytest.raises(PhotoRefused) as refused:
        cleaned(content)
    assert str(refused.value) == DAMAGED


@pytest.mark.parametrize("kind", FORMATS)
@pytest.mark.parametrize("part", [0.2, 0.5, 0.9])
def test_a_photo_that_was_cut_off_is_refused(kind, part):
    content = written(kind, Image.effect_noise((200, 200), 80).convert("RGB"))
    with pytest.raises(PhotoRefused) as refused:
        cleaned(content[: int(part * len(content))])
    assert str(refused.value) == DAMAGED


def png_of(width: int, height: int) -> bytes:
    """A few bytes that claim to be a picture of any size."""

    def chunk(name: bytes, data: bytes) -> bytes:
        return struct.pack(">I", len(data)) + name + data + struct.pack(">I", zlib.crc32(name + data))

    head = struct.pack(">IIBBBBB", width, height, 8, 0, 0, 0, 0)
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", zlib.compress(b"")) + chunk(b"IEND", b"")


@pytest.mark.parametrize(("side", "found"), [(10_000, 100), (40_000, 1600)])
def test_a_bomb_is_refused_before_it_goes_off(side, found):
    with pytest.raises(PhotoRefused) as refused:
        cleaned(png_of(side, side))
    assert str(refused.value) == (
        f"The photo has {found} million pixels; up to 60 million are kept. Send a smaller one."
    )


def test_a_webp_that_claims_too_much_is_refused_too():
    content = bytearray(written("webp", Image.new("RGBA", (8, 8), (1, 2, 3, 4)), exif=carrying()))
    assert content[12:16] == b"VP8X"
    content[24:30] = b"\xfe\x3f\x00\xfe\x3f\x00"  # 16383 both ways
    with pytest.raises(PhotoRefused) as refused:
        cleaned(bytes(content))
    assert str(refused.value) == ("The photo has far too many pixels; up to 60 million are kept. Send a smaller one.")


def test_the_limit_itself_is_kept():
    content = written("png", Image.new("L", (30, 10)))
    assert cleaned(content, limit_pixels=300)[1] == "png"
    with pytest.raises(PhotoRefused):
        cleaned(content, limit_pixels=299)


def test_bytes_changed_at_random_are_drawn_or_refused_and_nothing_else(rounds):
    draw = random.Random(7)
    small = Image.effect_noise((60, 40), 60).convert("RGB")
    sound = [written(kind, small, exif=carrying(6)) for kind in FORMATS]
    refused = 0
    for _ in range(rounds(1500)):
        content = bytearray(draw.choice(sound))
        for _ in range(draw.randint(1, 6)):
            content[draw.randrange(min(len(content), draw.choice([200, 10**6])))] = draw.randrange(256)
        try:
            loaded(cleaned(bytes(content))[0])
        except PhotoRefused:
            refused += 1
    assert 0 < refused < rounds(1500)


def test_a_thumbnail_is_a_small_jpeg_of_the_same_shape():
    clean, _ = cleaned(written("jpg", halves((1200, 600))))
    small = loaded(thumbnail(clean))
    assert (small.format, small.size) == ("JPEG", (480, 240))
    assert loaded(thumbnail(clean, 100)).size == (100, 50)


def test_a_small_photo_is_not_blown_up():
    assert loaded(thumbnail(written("png"))).size == (40, 20)


def test_the_same_photo_is_drawn_the_same():
    assert cleaned(laden("jpg")) == cleaned(laden("jpg"))


def test_one_is_drawn_at_a_time_and_the_next_is_let_in_after_a_refusal():
    with pytest.raises(PhotoRefused):
        cleaned(b"\xff\xd8\xff")
    assert not pixels._one_at_a_time.locked()
