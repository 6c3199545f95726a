"""Read a job sheet: every problem with its file, line and column, before anything else happens."""

import copy
import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from pydantic import ValidationError

from knowngood.sheet import mistakes, references
from knowngood.sheet.fields import KEPT
from knowngood.sheet.model import Sheet
from knowngood.sheet.problem import Problem, Severity
from knowngood.sheet.tree import Path, Place, Places, Tree, Unreadable, load

__all__ = ["Places", "Reading", "read"]
REQUIRED = ("id", "do", "zone", "time")
STAND_INS: dict[str, Any] = {
    "scopes": "x",
    "asks": {"question": "x", "answer": "words", "like": "x"},
    "circuits": {"name": "x", "fluid": "coolant", "holds": "1 L ± 1", "refill": "x"},
    "parts": {"name": "x"},
    "fasteners": {"name": "x"},
    "limits": {"name": "x", "band": "min 0 V"},
    "suspects": "x",
    "covers": {"name": "x"},
}


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
        tree = load(text)
    except Unreadable as unreadable:
        only = _problem(file, unreadable.place, "unreadable", unreadable.words)
        return Reading(file, None, (only,), Places({}))
    sheet, rows = _validated(tree.plain)
    found = [
        _problem(file, place, code, mistakes.where(tree.plain, path) + words, step=mistakes.step_of(tree.plain, path))
        for path, place, code, words in _found(tree, sheet, rows)
    ]
    found.sort(key=lambda one: (one.line, one.column))
    return Reading(file, None if found else sheet, tuple(found), tree.places)


def _found(tree: Tree, sheet: Sheet | None, rows: Sequence[Any]) -> Iterator[tuple[Path, Place, str, str]]:
    """Path, place, code and words of everything that is wrong."""
    for path, place in tree.doubled:
        yield path, place, "form", f'"{path[-1]}" is written twice in one part. Keep one of them.'
    told = list(mistakes.told(rows))
    for path, words in told:
        yield path, tree.places.at(path), "form", words
    for path, words in _names(tree.plain, sheet, [path for path, _ in told]):
        yield path, tree.places.at(path), "unknown name", words


def read_kept(text: str, *, file: str) -> Reading:
    """Read a sheet that a job was opened with; what only today's questions about its numbers refuse is still read.

    The sheet is then as the program before read it, and the problems say what to mend.
    """
    strict = read(text, file=file)
    if strict.sheet is not None or not strict.places.of:
        return strict
    sheet, _ = _validated(load(text).plain, kept=True)
    return replace(strict, sheet=sheet)


def _validated(plain: Any, *, kept: bool = False) -> tuple[Sheet | None, list[Any]]:
    try:
        return Sheet.model_validate(plain, context={KEPT: kept}), []
    except ValidationError as refused:
        return None, list(refused.errors(include_url=False))


def _names(plain: Any, sheet: Sheet | None, wrong: Sequence[Path]) -> list[tuple[Path, str]]:
    """Names that point nowhere, also beside mistakes of form: those parts are left out, what they define is known."""
    if sheet is not None:
        return [(path, words) for path, words, _ in references.dangling(sheet)]
    rest, kept, out = _without(plain, wrong)
    sheet, _ = _validated(rest)
    if sheet is None:
        return []
    known = {str(name) for part in plain.values() if isinstance(part, dict) for name in part}
    known |= {str(step.get("id")) for step in plain.get("steps") or () if isinstance(step, dict)}
    known |= set(_words_of(out))
    rows = [row for row in references.dangling(sheet) if row[2] not in known]
    return [(_original(path, kept), words) for path, words, _ in rows]


def _words_of(value: Any) -> Iterator[str]:
    """Every word in the parts left out: a decision or a fact may be made there."""
    if isinstance(value, str):
        yield from re.findall(r"[a-z][a-z0-9_]*", value)
    elif isinstance(value, Mapping):
        yield from (word for pair in value.items() for one in pair for word in _words_of(one))
    elif isinstance(value, list):
        yield from (word for one in value for word in _words_of(one))


def _original(path: Path, kept: Sequence[int]) -> Path:
    """A path of the sheet as it was written, from one of the sheet without its mistaken steps."""
    if path[0] != "steps" or not isinstance(path[1], int):
        return path
    return ("steps", kept[path[1]], *path[2:])


def _without(plain: Any, wrong: Sequence[Path]) -> tuple[Any, list[int], list[Any]]:
    """The sheet without its mistaken parts, the old places of the steps that are left, and what was left out."""
    rest = {"sheet": 1, "id": "x", "title": "x", **copy.deepcopy(plain)}
    dropped: set[int] = set()
    out: list[Any] = []
    for path in wrong:
        if path[:1] == ("steps",) and len(path) > 1 and isinstance(path[1], int):
            step = rest["steps"][path[1]]
            if len(path) > 2 and path[2] not in REQUIRED:
                out.append(step.pop(path[2], None))
            else:
                dropped.add(path[1])
        elif len(path) > 1 and isinstance(rest.get(str(path[0])), dict):
            out.append(rest[str(path[0])].pop(path[1], None))
            if path[0] in STAND_INS and path[-1] != "[key]":  # the name is known, whatever is wrong with the rest
                rest[str(path[0])][path[1]] = STAND_INS[str(path[0])]
        elif path and path[0] in ("sheet", "id", "title"):
            rest[str(path[0])] = 1 if path[0] == "sheet" else "x"
        elif path:
            out.append(rest.pop(str(path[0]), None))
    steps = rest.get("steps") or []
    kept = [index for index in range(len(steps)) if index not in dropped]
    out += [steps[index] for index in sorted(dropped)]
    return {**rest, "steps": [steps[index] for index in kept]}, kept, out


def _problem(file: str, place: Place, code: str, words: str, *, step: str | None = None) -> Problem:
    line, column = place
    return Problem(code, Severity.STOP, file, line, column, step, f"{file}:{line}: {words}")
