"""Pictures drawn anew: what is kept is pixels, the right way up, and nothing else that a file can carry."""

import io
import struct
import threading
import warnings
import zlib
from collections.abc import Iterator, Mapping
from contextlib import contextmanager

from PIL import ExifTags, Image, ImageFile
from PIL.Image import Transpose
from PIL.JpegImagePlugin import JpegImageFile
from PIL.PngImagePlugin import PngImageFile
from PIL.WebPImagePlugin import WebPImageFile

from knowngood.store.errors import PhotoRefused

MEGA = 1_000_000
LIMIT_PIXELS = 60 * MEGA  # ours: more than a phone takes, and one decoded fits a small laptop
THUMB_PX = 480  # ours: half a phone's width at three dots a pixel
SAVED: Mapping[str, Mapping[str, int]] = {
    "jpg": {"quality": 88},
    "png": {},
    "webp": {"quality": 88},
}
# By name and not by `Image.open`, which tries dozens of formats and warns about bombs that are refused here.
READERS: Mapping[str, type[ImageFile.ImageFile]] = {"jpg": JpegImageFile, "png": PngImageFile, "webp": WebPImageFile}
FORMATS = {"jpg": "JPEG", "png": "PNG", "webp": "WEBP"}
# How a picture is turned to stand upright, by the number that cameras write for how they were held.
TURNS = {
    2: Transpose.FLIP_LEFT_RIGHT,
    3: Transpose.ROTATE_180,
    4: Transpose.FLIP_TOP_BOTTOM,
    5: Transpose.TRANSPOSE,
    6: Transpose.ROTATE_270,
    7: Transpose.TRANSVERSE,
    8: Transpose.ROTATE_90,
}
# All that a decoder raises for bytes that are no picture; anything else is a mistake in this program.
BROKEN = (OSError, SyntaxError, ValueError, EOFError, struct.error, zlib.error)
DAMAGED = "The photo is damaged or cut off: it cannot be drawn to its end. Take it again, or choose another."
TOO_MANY = "The photo has {found} pixels; up to {limit:g} million are kept. Send a smaller one."
# One at a time: a large photo takes some hundred megabytes while it is drawn.
_one_at_a_time = threading.Lock()


def kind_of(content: bytes) -> str | None:
    """Return jpg, png or webp by the first bytes; None for anything else.

    Example:
        >>> kind_of(bytes([0xFF, 0xD8, 0xFF, 0xE0])), kind_of(b"GIF89a")
        ('jpg', None)
    """
    if content.startswith(b"\xff\xd8\xff"):
        return "jpg"
    if content.startswith(b"\x89PNG\r\n\x1a\n"):
        return "png"
    if content[:4] == b"RIFF" and content[8:12] == b"WEBP":
        return "webp"
    return None


def cleaned(content: bytes, *, limit_pixels: int = LIMIT_PIXELS) -> tuple[bytes, str]:
    """Return a photo drawn anew, and its kind: jpg, png or webp.

    Place, camera, preview, comments and whatever hangs behind the picture are gone; of a moving one the first picture
    stays. The colour profile goes too: what a wide-gamut camera took looks a little paler.

    Raises:
        PhotoRefused: It is no photo, too large to draw, or cannot be drawn to its end.
    """
    with _drawn(content, limit_pixels) as (image, kind):
        flat = _eight_bits(_upright(image))
        return _saved(flat if kind != "jpg" else _opaque(flat), kind), kind


def thumbnail(content: bytes, side_px: int = THUMB_PX) -> bytes:
    """Return a small JPEG of a photo, its longer side no longer than `side_px`.

    Raises:
        PhotoRefused: It cannot be drawn.
    """
    with _drawn(content, LIMIT_PIXELS) as (image, _):
        image.thumbnail((side_px, side_px))
        return _saved(_opaque(_eight_bits(image)), "jpg")


@contextmanager
def _drawn(content: bytes, limit_pixels: int) -> Iterator[tuple[Image.Image, str]]:
    """The picture, and its kind; while it is worked on, whatever breaks is the photo's own trouble."""
    kind = kind_of(content)
    if kind is None:
        raise PhotoRefused("The file is not a photo that is kept here. Send JPEG, PNG or WebP.")
    with _one_at_a_time, warnings.catch_warnings():
        warnings.simplefilter("ignore")  # a camera's sloppy notes are thrown away anyway
        try:
            image = READERS[kind](io.BytesIO(content))
            _small_enough(image, limit_pixels)
            yield image, kind
        except Image.DecompressionBombError as bomb:
            raise PhotoRefused(TOO_MANY.format(found="far too many", limit=limit_pixels / MEGA)) from bomb
        except BROKEN as broken:
            raise PhotoRefused(DAMAGED) from broken


def _small_enough(image: Image.Image, limit_pixels: int) -> None:
    """Looked at before the first pixel is drawn: a few bytes can claim to be a picture of gigabytes."""
    pixels = image.width * image.height
    if pixels > limit_pixels:
        found = f"{pixels / MEGA:.0f} million"
        raise PhotoRefused(TOO_MANY.format(found=found, limit=limit_pixels / MEGA))


def _upright(image: Image.Image) -> Image.Image:
    image.load()  # all of it, before anything is made of it
    try:
        held = image.getexif().get(ExifTags.Base.Orientation)
    except BROKEN:
        held = None  # unreadable notes of the camera are no reason to refuse its picture
    turn = TURNS.get(held) if isinstance(held, int) else None
    return image if turn is None else image.transpose(turn)


def _eight_bits(image: Image.Image) -> Image.Image:
    """Grey, colour, or colour that can be seen through: eight bits each."""
    if image.mode.startswith("I"):
        return image.convert("I").point(lambda value: value * (1 / 256) + 0).convert("L")
    see_through = image.has_transparency_data
    wanted = "RGBA" if see_through else "L" if image.mode in ("1", "L") else "RGB"
    return image if image.mode == wanted else image.convert(wanted)


def _opaque(image: Image.Image) -> Image.Image:
    if image.mode != "RGBA":
        return image
    paper = Image.new("RGB", image.size, "white")
    paper.paste(image, mask=image)
    return paper


def _saved(image: Image.Image, kind: str) -> bytes:
    image.info.clear()  # the writers put back what they find here: comments, profiles, notes
    file = io.BytesIO()
    image.save(file, FORMATS[kind], **SAVED[kind])
    return file.getvalue()
