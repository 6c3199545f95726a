"""Mistakes of form in the mechanic's words: where, what was found, what is allowed, what to do."""

import difflib
from collections.abc import Iterator, Mapping, Sequence
from typing import Any, get_args, get_origin

from pydantic import BaseModel

from knowngood.sheet.model import Costs, Sheet, WhenDecided, WhenLimit
from knowngood.sheet.tree import Path, shown

SHOWN_IN = "docs/sheets.md shows how it is written."
CHOICES: Mapping[str, type[BaseModel]] = {one.__name__: one for one in (WhenLimit, WhenDecided, Costs)}
BRANCHES = {*CHOICES, "Words"}
EXPECTED = {
    "string": "words, in quotes where they hold a colon",
    "int": "a whole number",
    "float": "a number",
    "finite": "a number",
    "bool": "true or false",
    "tuple": "a list, such as [one, two]",
    "too": "a list with at least one row",
    "dict": "named parts, each on its own line",
    "model": "named parts, such as {name: value}",
}


def told(rows: Sequence[Mapping[str, Any]]) -> Iterator[tuple[Path, str]]:
    """Each mistake once: its path, and a sentence without the place.

    Args:
        rows: What the model found, as pydantic lists it.
    """
    meant = {near for row in rows for near in _meant(row)}
    seen: set[Path] = set()
    for row in rows:
        path = _path(row)
        counted_mended = row["type"] == "too_short" and row["input"]  # only rows without mistakes are counted
        if path in seen or path in meant or counted_mended:
            continue
        seen.add(path)
        yield path, _words(path, row)


def where(plain: Any, path: Path) -> str:
    """Which step or part it is, when that says more than the line."""
    step = step_of(plain, path)
    if step and len(path) > 2:
        return f'step "{step}": '
    return f'{path[0]} "{path[1]}": ' if len(path) > 2 and isinstance(path[1], str) else ""


def step_of(plain: Any, path: Path) -> str | None:
    """The id of the step that a path leads into, its number when it has no id."""
    if len(path) < 2 or path[0] != "steps" or not isinstance(path[1], int):
        return None
    step = plain["steps"][path[1]]
    return str(step.get("id", path[1] + 1)) if isinstance(step, dict) else str(path[1] + 1)


def _path(row: Mapping[str, Any]) -> Path:
    """Where it stands in the sheet, without the name of the form that the model tried."""
    return tuple(part for part in row["loc"] if part not in BRANCHES)


def _meant(row: Mapping[str, Any]) -> Iterator[Path]:
    """The key that an unknown one was meant to be: that it is missing is the same mistake."""
    if row["type"] == "extra_forbidden":
        for near in _near(row):
            yield (*_path(row)[:-1], near)


def _near(row: Mapping[str, Any]) -> list[str]:
    return difflib.get_close_matches(str(row["loc"][-1]), _keys_at(row["loc"][:-1]), n=1)


def _words(path: Path, row: Mapping[str, Any]) -> str:
    kind, name = row["type"], _name(path)
    if kind == "extra_forbidden":
        near = _near(row)
        hint = f'did you mean "{near[0]}"?' if near else f"it has {', '.join(_keys_at(row['loc'][:-1]))}."
        return f"{shown(str(path[-1]))} is not a key known here; {hint}"
    if kind == "missing":
        return f'"{name}" is missing. Add it; {SHOWN_IN}'
    if kind == "value_error":
        return f"{name}: {row['ctx']['error']}"
    if path == ("sheet",):
        return f"this sheet is of form {shown(row['input'])}; this program reads form 1. Write: sheet: 1."
    return _value_words(name, kind, row)


def _name(path: Path) -> str:
    """A key's name, or the row of a list."""
    return f"{path[-2]}, row {path[-1] + 1}" if isinstance(path[-1], int) else str(path[-1])


def _value_words(name: str, kind: str, row: Mapping[str, Any]) -> str:
    """A value of the wrong kind, or none of those that are allowed."""
    found = shown(row["input"])
    if kind in ("literal_error", "enum"):
        allowed = str(row["ctx"]["expected"]).replace("'", "").replace(" or ", ", ")
        near = difflib.get_close_matches(str(row["input"]), allowed.split(", "), n=1)
        hint = f'; did you mean "{near[0]}"?' if near else "."
        return f"{name} is {found}; it is one of {allowed}{hint}"
    if kind == "string_pattern_mismatch":
        return f"{found} is not a short name. Write small letters, digits and _, such as drain_plug."
    return f"{name} is {found}; it should be {_expected(kind, row)}. {SHOWN_IN}"


def _expected(kind: str, row: Mapping[str, Any]) -> str:
    if kind == "greater_than":
        return f"more than {row['ctx']['gt']:g}"
    if kind == "greater_than_equal":
        return f"{row['ctx']['ge']:g} or more"
    if kind == "less_than_equal":
        return f"{row['ctx']['le']:g} or less"
    return EXPECTED[kind.partition("_")[0]]


def _keys_at(loc: Path) -> list[str]:
    """Keys of the form at a place, found by walking the model; an index or a name in a collection is passed over."""
    model: Any = Sheet
    inside = False
    for part in loc:
        if part in CHOICES:
            model = CHOICES[str(part)]
        elif inside:
            inside = False
        elif part in model.model_fields:
            annotation = model.model_fields[part].annotation
            model, inside = _form_in(annotation) or model, get_origin(annotation) in (tuple, dict)
    return [field.alias or name for name, field in model.model_fields.items()]


def _form_in(annotation: Any) -> Any:
    """The form inside list, dict or choice."""
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return annotation
    return next((found for inner in get_args(annotation) if (found := _form_in(inner)) is not None), None)
