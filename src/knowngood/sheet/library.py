"""The library of generic sheets that come with the program."""

import importlib.resources
from dataclasses import dataclass
from functools import cache

from ruamel.yaml import YAML


@dataclass(frozen=True)
class Listed:
    """A sheet of the library."""

    id: str
    title: str
    about: str


def text(sheet_id: str) -> str:
    """The YAML text of a library sheet.

    Raises:
        KeyError: The library has no such sheet.
    """
    if sheet_id not in _ids():
        raise KeyError(f'the library has no sheet "{sheet_id}"; it has {", ".join(_ids())}.')
    return (_folder() / f"{sheet_id}.yaml").read_text(encoding="utf-8")


def sheets() -> list[Listed]:
    """Every sheet of the library."""
    return [_listed(one) for one in _ids()]


@cache
def _listed(sheet_id: str) -> Listed:
    """Read off the first block of a sheet: the rest takes a tenth of a second."""
    head = YAML(typ="safe", pure=True).load(text(sheet_id).partition("\n\n")[0])
    return Listed(head["id"], head["title"], head["about"])


def _ids() -> list[str]:
    return sorted(one.name.removesuffix(".yaml") for one in _folder().iterdir() if one.name.endswith(".yaml"))


def _folder() -> importlib.resources.abc.Traversable:
    return importlib.resources.files("knowngood.sheet") / "library_sheets"
