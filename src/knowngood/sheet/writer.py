"""Change a value in a sheet and write it back as it was: comments, order and layout stay."""

import io
from collections.abc import Sequence
from typing import Any

from ruamel.yaml import YAML


def with_value(text: str, path: Sequence[str | int], value: Any) -> str:
    """Return the sheet's text with one value changed.

    Args:
        text: The YAML text.
        path: Where, such as ("fasteners", "drain_plug", "torque").
        value: Plain value to stand there.

    Raises:
        KeyError: The part around it is not in the sheet.

    Example:
        >>> print(with_value("sheet: 1 # form\\ntitle: old\\n", ["title"], "new"), end="")
        sheet: 1 # form
        title: new
    """
    yaml = YAML(typ="rt")
    yaml.preserve_quotes = True
    yaml.width = 10_000
    tree = yaml.load(text)
    part = tree
    for key in path[:-1]:
        part = part[key]
    part[path[-1]] = value
    out = io.StringIO()
    yaml.dump(tree, out)
    return out.getvalue()
