"""Change a value in a sheet and write it back: every other character stays where it was."""

import re
from collections.abc import Sequence
from typing import Any

from ruamel.yaml import YAML
from ruamel.yaml.nodes import MappingNode, Node, ScalarNode, SequenceNode

BARE = re.compile(r"[a-z][a-z0-9_]*")
NOT_TEXT = ("true", "false", "null")


def with_value(text: str, path: Sequence[str | int], value: Any) -> str:
    """Return the sheet's text with one value changed, or added where its part has no such key.

    Args:
        text: YAML text that the reader took.
        path: Where, such as ("fasteners", "drain_plug", "torque").
        value: Plain value to stand there.

    Raises:
        KeyError: The part around it is not in the sheet.

    Example:
        >>> print(with_value("sheet: 1 # form\\ntitle: old\\n", ["title"], "new"), end="")
        sheet: 1 # form
        title: new
    """
    root = YAML(typ="safe", pure=True).compose(text)
    around = _at(root, path[:-1])
    node = _child(around, path[-1])
    if node is None:
        return _added(text, around, str(path[-1]), value)
    bare = isinstance(node, ScalarNode) and node.style in (None, "|", ">")
    start, end, gap = node.start_mark.index, _end(text, node), ""
    if start == end:  # nothing stands there, and the parser puts that behind any comment
        start = end = text.index(":", _key(around, path[-1]).end_mark.index) + 1
        gap = " "
    return text[:start] + gap + _written(value, bare=bare) + text[end:]


def _at(node: Node, path: Sequence[str | int]) -> Node:
    for key in path:
        child = _child(node, key)
        if child is None:
            raise KeyError(f'the sheet has no part "{key}" there.')
        node = child
    return node


def _child(node: Node, key: str | int) -> Node | None:
    if isinstance(node, MappingNode):
        return next((value for name, value in node.value if name.value == str(key)), None)
    if isinstance(node, SequenceNode) and isinstance(key, int) and key < len(node.value):
        child: Node = node.value[key]
        return child
    return None


def _key(node: Node, key: str | int) -> Node:
    """The node of a key's own name."""
    found: Node = next(name for name, _ in node.value if name.value == str(key))
    return found


def _end(text: str, node: Node) -> int:
    """Where a value's own characters end; the parser counts the space and comments after it to some."""
    if isinstance(node, ScalarNode):
        end: int = node.end_mark.index
        return len(text[:end].rstrip()) if node.style in ("|", ">") else end
    if not isinstance(node, MappingNode | SequenceNode) or node.flow_style or not node.value:
        return int(node.end_mark.index)
    last = node.value[-1]
    return _end(text, last[1] if isinstance(node, MappingNode) else last)


def _added(text: str, around: Node, key: str, value: Any) -> str:
    """A new key: behind the last one in braces, on its own line below the last one otherwise."""
    if not isinstance(around, MappingNode):
        raise KeyError(f'the sheet has no part "{key}" there.')
    row = f"{key}: {_written(value, bare=True)}"
    if around.flow_style:
        end = around.end_mark.index - 1
        last = _end(text, around.value[-1][1]) if around.value else end
        return text[:last] + (f", {row}" if around.value else row) + text[last:]
    end = _end(text, around)
    line = text.find("\n", end)
    cut = len(text) if line < 0 else line
    return f"{text[:cut]}\n{' ' * around.value[0][0].start_mark.column}{row}{text[cut:]}"


def _written(value: Any, *, bare: bool) -> str:
    """A plain value as YAML on one line; a word stands without quotes where none were."""
    if isinstance(value, bool) or value is None:
        return {True: "true", False: "false", None: "null"}[value]
    if isinstance(value, int | float):
        return repr(value)
    if isinstance(value, dict):
        return "{" + ", ".join(f"{key}: {_written(one, bare=True)}" for key, one in value.items()) + "}"
    if isinstance(value, list | tuple):
        return "[" + ", ".join(_written(one, bare=True) for one in value) + "]"
    if bare and BARE.fullmatch(value) and value not in NOT_TEXT:
        return str(value)
    return '"' + "".join(_sign(one) for one in value) + '"'


def _sign(sign: str) -> str:
    if sign in '"\\':
        return "\\" + sign
    return sign if sign.isprintable() else f"\\U{ord(sign):08x}"
