"""Every document that the package names is registered, and none is registered in vain."""

import ast
import re
from pathlib import Path

import pytest

import knowngood
from knowngood.sources import SOURCES

ROOT = Path(knowngood.__file__).parent
FILES = sorted(path for path in ROOT.rglob("*.py") if path.name != "sources.py")
KEY = r"[A-Z][A-Z0-9_]{2,}"
DOCUMENTED = (ast.Module, ast.ClassDef, ast.FunctionDef, ast.AsyncFunctionDef)


def keys_in(text):
    """Keys in docstrings below "Source:", and in comments after "Source:" or a semicolon."""
    found = set()
    for node in ast.walk(ast.parse(text)):
        doc = (ast.get_docstring(node) or "") if isinstance(node, DOCUMENTED) else ""
        for block in re.findall(r"^Source:\n((?:[ ]+\S.*\n?)+)", doc, re.MULTILINE):
            found |= set(re.findall(rf"^ +({KEY})\b", block, re.MULTILINE))
    for comment in re.findall(r"#.*\bSource: .*", text):
        found |= set(re.findall(rf"(?:Source:|;) ({KEY})\b", comment))
    return found


USED = {key: path.relative_to(ROOT) for path in FILES for key in keys_in(path.read_text(encoding="utf-8"))}


def test_keys_are_found_in_docstrings_and_comments():
    text = (
        'def f():\n    """One.\n\n    Source:\n        ABC, 1.\n        DEF_2, 3.\n    """\n# Source: GHI 1; JKL 2.\n'
    )
    assert keys_in(text) == {"ABC", "DEF_2", "GHI", "JKL"}


@pytest.mark.parametrize("key", sorted(USED))
def test_every_key_used_is_registered(key):
    assert key in SOURCES, f"{USED[key]} names {key}: add a Source for it to knowngood/sources.py, or mend the key."


@pytest.mark.parametrize("key", sorted(SOURCES))
def test_every_registered_key_is_used(key):
    assert key in USED, f"Nothing names {key}: write it below a docstring's Source:, or take it out of sources.py."
