"""A sheet's text as plain values with the place of each, built from YAML's events.

Aliases, tags and dates never become values: an alias could make a small file endless, a tag or a
date would show the person a word of the programming language.
"""

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from ruamel.yaml import YAML, events
from ruamel.yaml.error import MarkedYAMLError
from ruamel.yaml.reader import ReaderError

LARGEST = 200_000
DEEPEST = 20
FIRST_LINE = "A job sheet's first line is: sheet: 1."
NULL = re.compile(r"|~|null|Null|NULL")
BOOL = re.compile(r"true|True|TRUE|false|False|FALSE")
INT = re.compile(r"[-+]?[0-9]{1,18}")
FLOAT = re.compile(r"[-+]?(\.[0-9]+|[0-9]+(\.[0-9]*)?)([eE][-+]?[0-9]+)?")
Path = tuple[str | int, ...]
Place = tuple[int, int]


@dataclass(frozen=True)
class Places:
    """Line and column of every part of a sheet, by its path, counted from 1."""

    of: Mapping[Path, Place]

    def at(self, path: Sequence[str | int]) -> Place:
        """The place of a path, or of the nearest part around it."""
        for end in range(len(path), -1, -1):
            if tuple(path[:end]) in self.of:
                return self.of[tuple(path[:end])]
        return 1, 1


@dataclass(frozen=True)
class Tree:
    """What a sheet's text holds: plain values, their places, and the paths of keys written twice."""

    plain: dict[str, Any]
    places: Places
    doubled: tuple[tuple[Path, Place], ...]


class Unreadable(Exception):
    """The text is no tree of named parts; the words say why, from that place on."""

    def __init__(self, place: Place, words: str) -> None:
        super().__init__(words)
        self.place, self.words = place, words


def load(text: str) -> Tree:
    """Read YAML into plain values.

    Raises:
        Unreadable: It is not YAML, or it holds something that a sheet never needs.

    Example:
        >>> load("sheet: 1\\ntitle: 2020-01-01").plain
        {'sheet': 1, 'title': '2020-01-01'}
    """
    if len(text) > LARGEST:
        words = f"the file has {len(text)} characters; a job sheet has {LARGEST} at most. Is it another file?"
        raise Unreadable((1, 1), words)
    if "\x00" in text:
        raise Unreadable((1, 1), "this is not a text file. A job sheet is YAML; the first line is: sheet: 1.")
    builder = _Builder()
    try:
        builder.take(YAML(typ="safe", pure=True).parse(text))
    except MarkedYAMLError as broken:
        place = _place(broken.problem_mark or broken.context_mark)
        words = "from here on this is not YAML. Look for a missing quote or colon; indent with spaces, not tabs."
        raise Unreadable(place, words) from None
    except ReaderError as strange:
        raise Unreadable(*_strange(text, strange.position)) from None
    except ValueError:  # a code such as "\\U00110000", which is no sign at all
        words = "a backslash code in quotes names no sign. Write \\\\ for a backslash itself."
        raise Unreadable((1, 1), words) from None
    return builder.tree()


def shown(value: object) -> str:
    """A plain value as the person wrote it, short enough for a sentence.

    Example:
        >>> shown(True), shown("hello"), shown(None), shown(["a"])
        ('true', '"hello"', 'empty', 'a list')
    """
    if value is None:
        return "empty"
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, dict | list | tuple):
        return "named parts" if isinstance(value, dict) else "a list" if value else "an empty list"
    text = str(value)
    short = text if len(text) <= 60 else f"{text[:57]}..."
    return f'"{short}"' if isinstance(value, str) else short


@dataclass
class _Open:
    """A part that is not closed yet; `key` waits for its value, `twice` lets it fall."""

    value: Any
    path: Path
    key: str | None = None
    twice: bool = False


@dataclass
class _Builder:
    stack: list[_Open] = field(default_factory=list)
    roots: list[Any] = field(default_factory=list)
    places: dict[Path, Place] = field(default_factory=dict)
    doubled: list[tuple[Path, Place]] = field(default_factory=list)

    def tree(self) -> Tree:
        root = self.roots[0] if self.roots else None
        if root is None:
            raise Unreadable((1, 1), "the sheet is empty. Its first line is: sheet: 1.")
        if not isinstance(root, dict):
            raise Unreadable((1, 1), "the sheet does not begin with named parts. Its first line is: sheet: 1.")
        return Tree(root, Places(self.places), tuple(self.doubled))

    def take(self, stream: Iterable[Any]) -> None:
        for event in stream:
            place = _place(event.start_mark)
            _plainly(event, place)
            match event:
                case events.DocumentStartEvent() if self.roots:
                    raise Unreadable(place, "a second sheet begins here (---). Keep one sheet in one file.")
                case events.ScalarEvent() if not _typeable(event.value):
                    raise Unreadable(place, f"a sign stands here that cannot be typed. Delete it. {FIRST_LINE}")
                case events.ScalarEvent() if self._wants_key():
                    self._key(str(event.value), place)
                case events.ScalarEvent():
                    self._add(_scalar(event), place)
                case events.MappingStartEvent() | events.SequenceStartEvent():
                    self._open(event, place)
                case events.MappingEndEvent() | events.SequenceEndEvent():
                    self.stack.pop()

    def _wants_key(self) -> bool:
        return bool(self.stack) and isinstance(self.stack[-1].value, dict) and self.stack[-1].key is None

    def _key(self, key: str, place: Place) -> None:
        top = self.stack[-1]
        top.key, top.twice = key, key in top.value
        path = (*top.path, key)
        if top.twice:
            self.doubled.append((path, place))
        self.places.setdefault(path, place)

    def _open(self, event: Any, place: Place) -> None:
        if self._wants_key():
            words = "a list or a part in braces stands where a name belongs. Write a word, then a colon."
            raise Unreadable(place, words)
        if len(self.stack) == DEEPEST:
            words = f"parts stand inside parts {DEEPEST} deep, which no sheet needs. Look for a bracket never closed."
            raise Unreadable(place, words)
        value: Any = {} if isinstance(event, events.MappingStartEvent) else []
        self.stack.append(_Open(value, self._add(value, place)))

    def _add(self, value: Any, place: Place) -> Path:
        """Put a value where it belongs and return its path."""
        if not self.stack:
            self.roots.append(value)
            self.places.setdefault((), place)
            return ()
        top = self.stack[-1]
        if isinstance(top.value, list):
            path = (*top.path, len(top.value))
            top.value.append(value)
            self.places.setdefault(path, place)
            return path
        key, top.key = str(top.key), None
        if not top.twice:
            top.value[key] = value
        return (*top.path, key)


def _plainly(event: Any, place: Place) -> None:
    """Refuse what would hide or multiply values."""
    if getattr(event, "anchor", None):
        raise Unreadable(place, "the sheet uses YAML anchors (& or *). Write each part out where it is used.")
    tag = getattr(event, "tag", None)
    if tag:
        written = str(tag).replace("tag:yaml.org,2002:", "!!")
        raise Unreadable(
            place, f'the sheet uses a YAML tag ("{written}"). Leave it out; quotes make a text of a number.'
        )


def _typeable(text: str) -> bool:
    """Half a sign (a lone surrogate) could neither be stored nor printed; a zero byte ends a text for some."""
    return not any("\ud800" <= sign <= "\udfff" or sign == "\x00" for sign in text)


def _scalar(event: Any) -> str | int | float | bool | None:
    """A value by YAML 1.2's core rules; whatever else stands there is text, also a date."""
    text = str(event.value)
    if event.style:
        return text
    if NULL.fullmatch(text):
        return None
    if BOOL.fullmatch(text):
        return text.lower() == "true"
    if INT.fullmatch(text):
        return int(text)
    return float(text) if FLOAT.fullmatch(text) and len(text) < 40 else text


def _strange(text: str, position: int) -> tuple[Place, str]:
    before = text[:position]
    place = before.count("\n") + 1, position - (before.rfind("\n") + 1) + 1
    return place, f"a sign stands here that cannot be typed. Delete it. {FIRST_LINE}"


def _place(mark: Any) -> Place:
    return (mark.line + 1, mark.column + 1) if mark else (1, 1)
