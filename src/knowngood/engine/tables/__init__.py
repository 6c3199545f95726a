"""Published tables as TOML, each with its source; the one place of the engines that reads package data."""

import tomllib
from functools import cache
from importlib.resources import files
from typing import Any


@cache
def table(name: str) -> dict[str, Any]:
    """Return a table of this package, read once.

    Args:
        name: Of its file, without the ending.

    Returns:
        What stands in it; `source` is the key of its document.

    Example:
        >>> table("glycol_freezing")["share_percent"][:3]
        [0, 10, 12.5]
    """
    document: dict[str, Any] = tomllib.loads(files(__name__).joinpath(f"{name}.toml").read_text(encoding="utf-8"))
    return document
