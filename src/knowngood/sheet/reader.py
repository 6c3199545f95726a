"""Read a job sheet: every problem with its file, line and column, before anything else happens."""

import copy
import difflib
import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, get_args, get_origin

from pydantic import BaseModel, ValidationError
from ruamel.yaml import YAML
from ruamel.yaml.comments import CommentedMap, CommentedSeq
from ruamel.yaml.constructor import DuplicateKeyError
from ruamel.yaml.error import MarkedYAMLError, YAMLError

from knowngood.sheet import references
from knowngood.sheet.model import Sheet
from knowngood.sheet.problem import Problem, Severity

LARGEST = 500_000
Path = tuple[str | int, ...]


@dataclass(frozen=True)
class Places:
    """Line and column of every part of a sheet, by its path."""

    of: Mapping[Path, tuple[int, int]]

    def at(self, path: Sequence[str | int]) -> tuple[int, int]:
        """The place of a path, or of the nearest part around it."""
        for end in range(len(path), -1, -1):
            if tuple(path[:end]) in self.of:
                return self.of[tuple(path[:end])]
        return 1, 1


@dataclass(frozen=True)
class Reading:
    """A sheet as read: None when it has mistakes of form; the problems; where each part stands."""

    file: str
    sheet: Sheet | None
    problems: tuple[Problem, ...]
    places: Places


def read(text: str, *, file: str) -> Reading:
    """Read a sheet and find every problem of form in it.

    Args:
        text: The YAML text.
        file: Its name, for messages.

    Returns:
        The sheet, or None with the problems that keep it from being one.
    """
    try:
        tree = _load(text)
    except _Unreadable as unreadable:
        place = (unreadable.line, unreadable.column)
        return Reading(file, None, (_problem(file, place, "unreadable", unreadable.words),), Places({}))
    places = Places(dict(_places(tree)))
    plain = _plain(tree)
    sheet, mistakes = _validated(plain)
    found = [
        _problem(file, places.at(path), "form", _words(plain, path, row), step=_step_of(plain, path))
        for path, row in mistakes
    ]
    found += [
        _problem(file, places.at(path), "unknown name", _where(plain, path) + words, step=_step_of(plain, path))
        for path, words in _names(plain, sheet, mistakes)
    ]
    found.sort(key=lambda one: (one.line, one.column))
    return Reading(file, None if found else sheet, tuple(found), places)


def _validated(plain: Any) -> tuple[Sheet | None, list[tuple[Path, Any]]]:
    try:
        return Sheet.model_validate(plain), []
    except ValidationError as refused:
        return None, list(_distinct(refused.errors(include_url=False)))


def _names(plain: Any, sheet: Sheet | None, mistakes: Sequence[tuple[Path, Any]]) -> list[tuple[Path, str]]:
    """Names that point nowhere, also beside mistakes of form: those parts are left out, what they define is known."""
    if sheet is not None:
        return [(path, words) for path, words, _ in references.dangling(sheet)]
    rest, kept = _without(plain, [path for path, _ in mistakes])
    sheet, _ = _validated(rest)
    if sheet is None:
        return []
    known = {str(name) for part in plain.values() if isinstance(part, dict) for name in part}
    known |= {str(step.get("id")) for step in plain.get("steps") or () if isinstance(step, dict)}
    rows = [row for row in references.dangling(sheet) if row[2] not in known]
    return [(_original(path, kept), words) for path, words, _ in rows]


def _original(path: Path, kept: Sequence[int]) -> Path:
    """A path of the sheet as it was written, from one of the sheet without its mistaken steps."""
    if path[0] != "steps" or not isinstance(path[1], int):
        return path
    return ("steps", kept[path[1]], *path[2:])


def _without(plain: Any, paths: Sequence[Path]) -> tuple[Any, list[Any]]:
    """The sheet without its mistaken parts, and the old places of the steps that are left."""
    rest = {"sheet": 1, "id": "x", "title": "x", **copy.deepcopy(plain)}
    dropped: set[Any] = set()
    for path in paths:
        if path[:1] == ("steps",) and len(path) > 1:
            step = rest["steps"][path[1]]
            optional = len(path) > 2 and path[2] not in ("id", "do", "zone", "time") and isinstance(step, dict)
            dropped |= set() if optional and step.pop(path[2], None) is not None else {path[1]}
        elif len(path) > 1 and isinstance(rest.get(path[0]), dict):
            rest[path[0]].pop(path[1], None)
        elif path and path[0] in ("sheet", "id", "title"):
            rest[path[0]] = 1 if path[0] == "sheet" else "x"
        elif path:
            rest.pop(path[0], None)
    steps = rest.get("steps") or []
    kept = [index for index in range(len(steps)) if index not in dropped]
    return {**rest, "steps": [steps[index] for index in kept]}, kept


class _Unreadable(Exception):
    def __init__(self, line: int, column: int, words: str) -> None:
        super().__init__(words)
        self.line, self.column, self.words = line, column, words


def _load(text: str) -> CommentedMap:
    if len(text) > LARGEST:
        raise _Unreadable(
            1, 1, f"the file has {len(text)} characters; a job sheet has {LARGEST} at most. Is it another file?"
        )
    if "\x00" in text:
        raise _Unreadable(1, 1, "this is not a text file. A job sheet is YAML; the first line is: sheet: 1.")
    if re.search(r"^\s*[^#'\"]*:\s*[&*]\w", text, re.MULTILINE) or re.search(r"^\s*-\s+[&*]\w", text, re.MULTILINE):
        raise _Unreadable(1, 1, "the sheet uses YAML anchors (& or *). Write each part out where it is used.")
    try:
        tree = YAML(typ="rt").load(text)
    except DuplicateKeyError as doubled:
        mark = doubled.problem_mark
        key = re.search(r'duplicate key "([^"]*)"', doubled.problem or "")
        named = f'"{key.group(1)}"' if key else "a key"
        raise _Unreadable(
            mark.line + 1, mark.column + 1, f"{named} is written twice in one part. Keep one of them."
        ) from None
    except MarkedYAMLError as broken:
        mark = broken.problem_mark or broken.context_mark
        line, column = (mark.line + 1, mark.column + 1) if mark else (1, 1)
        words = "from here on this is not YAML. Look for a missing quote or colon; indent with spaces, not tabs."
        raise _Unreadable(line, column, words) from None
    except (YAMLError, ValueError, RecursionError):
        raise _Unreadable(1, 1, "the text cannot be read as YAML. A job sheet's first line is: sheet: 1.") from None
    if tree is None:
        raise _Unreadable(1, 1, "the sheet is empty. Its first line is: sheet: 1.")
    if not isinstance(tree, CommentedMap):
        raise _Unreadable(1, 1, "the sheet does not begin with named parts. Its first line is: sheet: 1.")
    return tree


def _places(node: Any, path: Path = ()) -> Iterator[tuple[Path, tuple[int, int]]]:
    """Every path with its line and column, counted from 1."""
    if isinstance(node, CommentedMap | CommentedSeq):
        yield path, (node.lc.line + 1, node.lc.col + 1)
        for key in node if isinstance(node, CommentedMap) else range(len(node)):
            spot = node.lc.key(key) if isinstance(node, CommentedMap) else node.lc.item(key)
            inner = (*path, key)
            found = list(_places(node[key], inner))
            yield from found[1:] if found and found[0][0] == inner else found
            yield inner, (spot[0] + 1, spot[1] + 1)


def _plain(node: Any) -> Any:
    if isinstance(node, CommentedMap):
        return {str(key): _plain(value) for key, value in node.items()}
    if isinstance(node, CommentedSeq):
        return [_plain(value) for value in node]
    return node


def _distinct(rows: Sequence[Any]) -> Iterator[tuple[Path, Any]]:
    """One row a place: a choice between two forms would tell of both."""
    seen: set[Path] = set()
    for row in rows:
        path = tuple(part for part in row["loc"] if not (isinstance(part, str) and part in BRANCHES))
        counted_mended = row["type"] == "too_short" and row["input"]  # pydantic counts only rows without mistakes
        if path not in seen and not counted_mended:
            seen.add(path)
            yield path, row


BRANCHES = {"WhenLimit", "WhenDecided", "Costs", "literal['usual','safety']", "Tolerance", "AskRef", "Span"}


def _words(plain: Any, path: Path, row: Mapping[str, Any]) -> str:
    """One mistake in the mechanic's words: where, found, allowed, what to do."""
    name, kind = str(path[-1]) if path else "the sheet", row["type"]
    where = _where(plain, path)
    if kind == "extra_forbidden":
        known = _keys_at(path[:-1])
        near = difflib.get_close_matches(name, known, n=1)
        hint = f'did you mean "{near[0]}"?' if near else f"it has {', '.join(known)}."
        return f'{where}"{name}" is not a key known here; {hint}'
    if kind == "missing":
        return f'{where}"{name}" is missing. Add it; docs/sheets.md shows how it is written.'
    if kind == "value_error":
        return f"{where}{name}: {row['ctx']['error']}"
    if name == "sheet":
        return f"this sheet is of form {row['input']!r}; this program reads form 1. Write: sheet: 1."
    return where + _value_words(name, kind, row)


def _value_words(name: str, kind: str, row: Mapping[str, Any]) -> str:
    """A value of the wrong kind, or none of those that are allowed."""
    if kind in ("literal_error", "enum"):
        allowed = str(row["ctx"]["expected"]).replace("'", "").replace(" or ", ", ")
        near = difflib.get_close_matches(str(row["input"]), allowed.split(", "), n=1)
        hint = f'; did you mean "{near[0]}"?' if near else "."
        return f'{name} is "{row["input"]}"; it is one of {allowed}{hint}'
    if kind == "string_pattern_mismatch":
        return f'"{row["input"]}" is not a short name. Write small letters, digits and _, such as drain_plug.'
    expected = EXPECTED.get(kind.partition("_")[0], "of another kind")
    return f"{name} is {row['input']!r}; it should be {expected}. docs/sheets.md shows how it is written."


EXPECTED = {
    "string": "words, in quotes where they hold a colon",
    "int": "a whole number",
    "float": "a number",
    "greater": "a larger number",
    "bool": "true or false",
    "tuple": "a list, such as [one, two]",
    "too": "a list with at least one row",
    "dict": "named parts, each on its own line",
    "model": "named parts, such as {id: …}",
}


def _where(plain: Any, path: Path) -> str:
    """Which step or part it is, when that says more than the line."""
    step = _step_of(plain, path)
    if step:
        return f'step "{step}": '
    return f'{path[0]} "{path[1]}": ' if len(path) > 2 and isinstance(path[1], str) else ""


def _step_of(plain: Any, path: Path) -> str | None:
    if len(path) < 2 or path[0] != "steps" or not isinstance(path[1], int):
        return None
    steps = plain.get("steps")
    step = steps[path[1]] if isinstance(steps, list) and path[1] < len(steps) else None
    return str(step.get("id", path[1] + 1)) if isinstance(step, dict) else str(path[1] + 1)


def _keys_at(path: Path) -> list[str]:
    """Keys of the form at a path, found by walking the model; an index or a name inside a collection is passed over."""
    model: Any = Sheet
    inside = False
    for part in path:
        if inside:
            inside = False
            continue
        annotation = model.model_fields[part].annotation
        model, inside = _forms_in(annotation), get_origin(annotation) in (tuple, dict)
    return [field.alias or name for name, field in model.model_fields.items()]


def _forms_in(annotation: Any) -> Any:
    """The form inside list, dict or choice."""
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return annotation
    return next((found for inner in get_args(annotation) if (found := _forms_in(inner)) is not None), None)


def _problem(file: str, place: tuple[int, int], code: str, words: str, *, step: str | None = None) -> Problem:
    line, column = place
    return Problem(code, Severity.STOP, file, line, column, step, f"{file}:{line}: {words}")
