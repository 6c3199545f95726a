"""What holds the house together, read off its source."""

import ast
from collections import defaultdict
from graphlib import CycleError, TopologicalSorter
from pathlib import Path

import pytest

import knowngood

SRC = Path(knowngood.__file__).parent
FILES = sorted(SRC.rglob("*.py"))
MOST_MODULES = 24  # ours: about as many names as one takes in at a look
SAME_LINES = 6  # ours: as many identical lines are one thing written twice
APPEND_HERE = {"acts/record/take.py", "acts/record/phones.py", "store/store.py"}


def module_of(file):
    return ".".join(("knowngood", *file.relative_to(SRC).with_suffix("").parts)).removesuffix(".__init__")


def imported(tree, modules):
    """Modules of ours that a module names in an import, wherever in it that stands, for types as well."""
    for node in ast.walk(tree):
        if isinstance(node, ast.ImportFrom) and node.module:
            for name in node.names:
                whole = f"{node.module}.{name.name}"
                yield whole if whole in modules else node.module
        elif isinstance(node, ast.Import):
            yield from (name.name for name in node.names)


def test_no_module_leads_back_to_itself():
    modules = {module_of(file): ast.parse(file.read_text(encoding="utf-8")) for file in FILES}
    leads = {name: {one for one in imported(tree, modules) if one in modules} for name, tree in modules.items()}
    try:
        TopologicalSorter(leads).prepare()
    except CycleError as ring:
        pytest.fail(f"These import each other: {' <- '.join(ring.args[1])}")


def test_no_folder_has_more_modules_than_one_can_scan():
    found = defaultdict(int)
    for file in FILES:
        found[file.parent.relative_to(SRC).as_posix()] += file.name != "__init__.py"
    assert {folder: count for folder, count in found.items() if count > MOST_MODULES} == {}


def test_only_the_record_appends_to_the_store():
    calls = {
        file.relative_to(SRC).as_posix()
        for file in FILES
        for node in ast.walk(ast.parse(file.read_text(encoding="utf-8")))
        if isinstance(node, ast.Attribute) and node.attr == "append" and ast.unparse(node.value).endswith("store")
    }
    assert calls <= APPEND_HERE


def only_says(node):
    """The lines of imports, docstrings and signatures: what is named there stands elsewhere, and may be named again."""
    if isinstance(node, (ast.Import, ast.ImportFrom)):
        return range(node.lineno, node.end_lineno + 1)
    if isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant):
        return range(node.lineno, node.end_lineno + 1)
    if isinstance(node, ast.FunctionDef):
        return range(node.lineno, node.body[0].lineno)
    return range(0)


def code_of(file):
    """The lines of a module that do something, with their numbers; no comments."""
    text = file.read_text(encoding="utf-8")
    left_out = {line for node in ast.walk(ast.parse(text)) for line in only_says(node)}
    lines = ((number, line.strip()) for number, line in enumerate(text.splitlines(), 1))
    return [(number, line) for number, line in lines if line[:1] not in ("", "#") and number not in left_out]


def test_no_six_lines_stand_twice():
    seen, twice = {}, []
    for file in FILES:
        lines = code_of(file)
        for first in range(len(lines) - SAME_LINES + 1):
            block = tuple(line for _, line in lines[first : first + SAME_LINES])
            here = f"{file.relative_to(SRC).as_posix()}:{lines[first][0]}"
            if block in seen:
                twice.append(f"{here} says what {seen[block]} says")
            seen.setdefault(block, here)
    assert twice == []
