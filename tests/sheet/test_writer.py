"""A value changes; every other character of the sheet stays."""

import copy
import difflib
import pathlib
import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from knowngood.sheet import library
from knowngood.sheet.reader import read
from knowngood.sheet.tree import load
from knowngood.sheet.writer import with_value

TEXT = (pathlib.Path(__file__).parent.parent / "sheets" / "good" / "every_key.yaml").read_text(encoding="utf-8")
LIBRARY = library.text("runs_hot")
WRITABLE = st.characters(exclude_categories=["Cs"], exclude_characters="\x00")
WORDS = st.text(WRITABLE, max_size=40)
PLAIN = st.recursive(
    WORDS | st.booleans() | st.integers(-(10**6), 10**6) | st.floats(-1e6, 1e6) | st.none(),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.from_regex(r"[a-z]{1,6}", fullmatch=True), inner),
    max_leaves=6,
)


def paths(value, path=()):
    """Every path in a plain value but the root's."""
    if path:
        yield path
    rows = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    for key, inner in rows:
        yield from paths(inner, (*path, key))


def put(tree, path, value):
    part = tree
    for key in path[:-1]:
        part = part[key]
    part[path[-1]] = value


NEVER_SAID = re.compile(
    r"pydantic|invalid|NoneType|Tagged|Commented|dict\(|datetime|Traceback|input_value|\[key\]", re.I
)
PATHS = sorted(paths(load(TEXT).plain), key=str)


@given(st.sampled_from(PATHS), PLAIN)
def test_only_that_value_changes(path, value):
    wanted = copy.deepcopy(load(TEXT).plain)
    put(wanted, path, value)
    assert load(with_value(TEXT, path, value)).plain == wanted


@given(st.sampled_from([path for path in PATHS if path[-1] in ("name", "do", "zone", "id", "source")]), WORDS)
def test_only_that_line_changes(path, value):
    changed = with_value(TEXT, path, value).splitlines()
    rows = [row for row in difflib.ndiff(TEXT.splitlines(), changed) if row[0] in "+-"]
    assert len(rows) in (0, 2)


@given(st.sampled_from(PATHS), PLAIN)
def test_any_value_anywhere_is_read_or_told_in_our_words(path, value):
    changed = with_value(TEXT, path, value)
    found = read(changed, file="x.yaml")
    assert (found.sheet is None) == bool(found.problems)
    for one in found.problems:
        assert not NEVER_SAID.search(one.message)
        assert 1 <= one.line <= changed.count("\n")


@given(st.sampled_from(PATHS))
def test_what_stands_there_written_again_is_the_same_sheet(path):
    tree = load(TEXT).plain
    part = tree
    for key in path:
        part = part[key]
    assert load(with_value(TEXT, path, part)).plain == tree


@pytest.mark.parametrize(
    ("text", "path", "value", "written"),
    [
        ("a: 1  # one\nb: 2\n", ["a"], 3, "a: 3  # one\nb: 2\n"),
        ('a: "x" # quoted\n', ["a"], "y", 'a: "y" # quoted\n'),
        ("a: x # bare\n", ["a"], "9 N·m ± 1", 'a: "9 N·m ± 1" # bare\n'),
        ("a: x\n", ["a"], "true", 'a: "true"\n'),
        ("a:   # nothing yet\nb: 2\n", ["a"], "y", "a: y   # nothing yet\nb: 2\n"),
        ("a:\n  - {id: x, zone: top} # first\n", ["a", 0, "zone"], "under", "a:\n  - {id: x, zone: under} # first\n"),
        ("a: {b: 1} # one\n", ["a", "c"], "x", "a: {b: 1, c: x} # one\n"),
        ("a: {}\n", ["a", "c"], {"ask": "q"}, "a: {c: {ask: q}}\n"),
        ("a:\n  b: 1 # one\n\n# end\nc: 2\n", ["a", "d"], 3, "a:\n  b: 1 # one\n  d: 3\n\n# end\nc: 2\n"),
        ("a:\n  - b: 1\n  - b: 2", ["a", 1, "c"], 3, "a:\n  - b: 1\n  - b: 2\n    c: 3"),
        ("a: |\n  long\n  text\n\n# kept\nb: 1\n", ["a"], "short", "a: short\n\n# kept\nb: 1\n"),
        ("a:\n  - x # one\n  - y\n# kept\nb: 1\n", ["a"], ["z"], "a:\n  [z]\n# kept\nb: 1\n"),
    ],
)
def test_a_value_is_written_as_a_person_would(text, path, value, written):
    assert with_value(text, path, value) == written


@pytest.mark.parametrize("path", [("a", "b", "c"), ("b", 3, "c"), ("b", 3), ("a", "x")])
def test_a_part_that_is_not_there_is_refused(path):
    with pytest.raises(KeyError, match="the sheet has no part"):
        with_value("a: 1\nb: [1]\n", path, 5)


def test_a_manuals_answer_filled_in_is_read_back():
    changed = with_value(LIBRARY, ("fasteners", "drain_plug", "torque"), "3 N·m ± 0.5")
    sheet = read(changed, file="x.yaml").sheet
    assert sheet is not None
    assert sheet.fasteners["drain_plug"].torque.value == 3.0
    assert [row for row in changed.splitlines() if row not in LIBRARY.splitlines()] == [
        '  drain_plug: {name: "drain plug", torque: "3 N·m ± 0.5", single_use: drain_washer}'
    ]
