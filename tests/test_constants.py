"""Every number that has a name says beside it where it comes from, or that it is ours and why."""

import ast
import re
from pathlib import Path

import pytest

import knowngood

ROOT = Path(knowngood.__file__).parent
ROOMS = ("engine", "acts", "quantities", "checks", "gate")
SAID = re.compile(r"(?i)\bours\b|\bSource: [A-Z]|\bfrom memory\b|\bcommon practice, no source\b|\bby definition\b")
# What stands for nothing, one, a sign, a whole in percent.
PLAIN = {0, 1, -1, 2, 100}


def constants(path):
    """Names, line and comments beside and above, of each constant of a module that holds a number.

    What is built from a class of ours (a way to settle something, a bound) says its reason in its own words.
    """
    text = path.read_text(encoding="utf-8")
    lines = text.splitlines()
    for node in ast.parse(text).body:
        if isinstance(node, ast.Assign):
            targets = node.targets
        elif isinstance(node, ast.AnnAssign) and node.value:
            targets = [node.target]
        else:
            continue
        names = [one.id for target in targets for one in ast.walk(target) if isinstance(one, ast.Name)]
        if names and all(name.isupper() for name in names) and _is_numbers(node.value):
            yield ", ".join(names), node.lineno, _comments(lines, node)


def _is_numbers(value):
    inside = list(ast.walk(value))
    calls_ours = any(isinstance(one, ast.Call) and isinstance(one.func, ast.Name) for one in inside)
    held = [one.value for one in inside if isinstance(one, ast.Constant) and type(one.value) in (int, float)]
    return not calls_ours and any(one not in PLAIN for one in held)


def _comments(lines, node):
    first = node.lineno - 1
    while first and lines[first - 1].strip() and not lines[first - 1].startswith(("import ", "from ")):
        first -= 1
    found = (line.partition("#")[2].strip() for line in lines[first : node.end_lineno] if "#" in line)
    return " ".join(found)


# The demo is invented from end to end.
FOUND = [
    (f"{path.relative_to(ROOT)}:{line}", names, beside)
    for room in ROOMS
    for path in sorted((ROOT / room).rglob("*.py"))
    if path.name != "demo.py"
    for names, line, beside in constants(path)
]


def test_constants_are_found():
    assert len(FOUND) > 150
    assert any(names == "FASTEST_K_PER_MIN, STEP_K" for _, names, _ in FOUND)


@pytest.mark.parametrize(("where", "names", "beside"), FOUND, ids=[f"{where} {names}" for where, names, _ in FOUND])
def test_a_number_says_where_it_comes_from(where, names, beside):
    assert SAID.search(beside), (
        f'{where}: {names} says nothing of its origin. Write above it "Source: KEY", "Ours: why", '
        '"common practice, no source", "from memory" or "by definition".'
    )


def test_a_number_without_a_word_is_seen(tmp_path):
    module = tmp_path / "module.py"
    module.write_text(
        'A = 3.5\n\n# Ours: so.\nB, C = 1.5, 2.5\n\nD = Way("x", 5)\nE = 100.0\nF = {"a": 7}  # by definition\n'
    )
    assert [(names, bool(SAID.search(beside))) for names, _, beside in constants(module)] == [
        ("A", False), ("B, C", True), ("F", True),
    ]  # fmt: skip
