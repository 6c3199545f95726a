"""Paper: the run sheet and the book as PDF, set in our own type, the same on each machine."""

import json
import re
import shutil
import tempfile
import unicodedata
from collections.abc import Iterable, Mapping
from dataclasses import asdict
from itertools import chain
from pathlib import Path
from typing import Any

from knowngood.report.paper.documents import BookData, CardData, HandOverData
from knowngood.report.pictures.picture import standalone

HERE = Path(__file__).parent
FONTS = HERE / "fonts"
SHARED = "paper.typ"
NO_FILES: Mapping[str, bytes] = {}
# Ours: a word longer than this may be broken anywhere, else it would leave the page.
LONGEST_WORD = 28
AS_THEY_ARE = ("picture", "foot")
ZERO_WIDTH_SPACE = "\u200b"
# What a line does not break between: a number, its doubt and its unit.
HELD_TOGETHER = re.compile(r"(?<=\d) (?=[%°±]|(?:N·m|km|min|mA|ohm|mm|deg|[ALVh])\b)|(?<=±) (?=\d)")


def card(data: CardData) -> bytes:
    """Return the paper run sheet as PDF, A4.

    Example:
        >>> card(CardData("Oil", "Estate", "today", ()))[:5]
        b'%PDF-'
    """
    return _typeset("card.typ", {**asdict(data), "foot": _foot(data.program, data.digest)})


def book(data: BookData) -> bytes:
    """Return the record of a job as PDF, A4.

    Example:
        >>> book(BookData("Oil", "Estate", opened="yesterday", printed="today"))[:5]
        b'%PDF-'
    """
    document = asdict(data)
    for reading in document["readings"]:
        reading["alt"] = f"{reading['name']}: {reading['verdict']}"
        reading["picture"] = standalone(reading["picture"]) if reading["picture"] else ""
    events = f" over {data.events} event{'' if data.events == 1 else 's'}" if data.events else ""
    document["foot"] = _foot(data.program, data.digest, events)
    return _typeset("book.typ", document, _pictures(chain.from_iterable(document["photos"])))


def handover(data: HandOverData) -> bytes:
    """Return one page for a mechanic as PDF, A4.

    Example:
        >>> handover(HandOverData("Oil", "Estate", printed="today"))[:5]
        b'%PDF-'
    """
    return _typeset("handover.typ", {**asdict(data), "foot": _foot(data.program, "")})


def _pictures(photos: Iterable[dict[str, Any]]) -> dict[str, bytes]:
    """Take the pictures out of the photos and name them there: each by its place, none by anybody's words."""
    files = {}
    for number, photo in enumerate(photos, 1):
        jpeg, photo["file"] = photo.pop("jpeg"), ""
        if jpeg:
            photo["file"] = f"{number}.jpg"
            files[photo["file"]] = jpeg
    return files


def _foot(program: str, digest: str, over: str = "") -> str:
    """The line at the foot of each page."""
    return " · ".join(one for one in (program, f"digest{over}: {digest}" if digest else "") if one)


def _typeset(template: str, document: Mapping[str, Any], files: Mapping[str, bytes] = NO_FILES) -> bytes:
    """Words travel as JSON beside the template; the typesetter never reads them as markup.

    It takes pictures from files only, and opens none outside its root: a folder that holds just what it needs.
    """
    import typst  # 30 MB that only paper needs

    words = json.dumps(_ready(document), ensure_ascii=False)
    with tempfile.TemporaryDirectory(prefix="knowngood-") as folder:
        root = Path(folder)
        for name in (template, SHARED):
            shutil.copyfile(HERE / name, root / name)
        for name, content in files.items():
            (root / name).write_bytes(content)
        made = typst.compile(
            root / template, root=root, font_paths=[FONTS], ignore_system_fonts=True, sys_inputs={"data": words}
        )
    assert isinstance(made, bytes)  # one PDF; only pictures of pages come as a list
    return made


def _ready(part: Any) -> Any:
    """The same document, its words fit for a page."""
    if isinstance(part, str):
        return _breakable(part)
    if isinstance(part, Mapping):
        return {key: one if key in AS_THEY_ARE else _ready(one) for key, one in part.items()}
    if isinstance(part, (list, tuple)):
        return [_ready(one) for one in part]
    return part


def _breakable(words: str) -> str:
    """Without control characters, with pictographs named, and broken in endless words, not between number and unit.

    Example:
        >>> _breakable("tab\\there \N{AUTOMOBILE}"), _breakable("x" * 30).count(ZERO_WIDTH_SPACE)
        ('tab here [automobile]', 1)
        >>> _breakable("4.6 ± 0.3 L of it, 19 of 20").split(" ")
        ['4.6\\xa0±\\xa00.3\\xa0L', 'of', 'it,', '19', 'of', '20']
    """
    shown = HELD_TOGETHER.sub("\N{NO-BREAK SPACE}", "".join(_shown(one) for one in words))
    return re.sub(rf"\S{{{LONGEST_WORD}}}(?=\S)", lambda found: found[0] + ZERO_WIDTH_SPACE, shown)


def _shown(one: str) -> str:
    """No typeface of ours draws pictographs: their names stand for them, so that nothing typed is lost."""
    if one > "\uffff":
        return f"[{unicodedata.name(one, f'U+{ord(one):X}').lower()}]"
    return one if one.isprintable() or one == "\n" else " "
