"""No pattern of the program takes more than a text's length to read it, and so no text that was typed holds it up."""

import ast
import importlib
import itertools
import pkgutil
import re
from pathlib import Path

import pytest
from tests.regex_work import Work, samples

import knowngood

SHORT, LONG = 24, 48
# Twice the text may take twice the steps; a quadratic pattern takes four times.
TWICE = 2.7
SOURCE = Path(knowngood.__file__).parent
# From the beginning only, and from every place.
ANCHORED, SOUGHT = {"match", "fullmatch"}, {"search", "sub", "split", "findall", "finditer"}


def calls():
    """File, line, object, method and first argument of every call of a method that has the name of one of `re`."""
    named = re.compile(rf"\.({'|'.join(sorted(ANCHORED | SOUGHT))})\(")
    for file in sorted(SOURCE.rglob("*.py")):
        text = file.read_text(encoding="utf-8")
        for node in ast.walk(ast.parse(text)) if named.search(text) else ():
            if not (isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute) and node.args):
                continue
            if node.func.attr in ANCHORED | SOUGHT:
                yield file.relative_to(SOURCE), node.lineno, node.func.value, node.func.attr, node.args[0]


CALLS = list(calls())
NAMED_IN_SEARCHES = {getattr(on, "attr", getattr(on, "id", "")) for _, _, on, method, _ in CALLS if method in SOUGHT}


def compiled():
    """Every pattern that a module keeps, and whether it is sought anywhere in a text."""
    for module in pkgutil.walk_packages(knowngood.__path__, "knowngood."):
        if module.name.endswith("__main__"):
            continue
        for name, value in vars(importlib.import_module(module.name)).items():
            for one in value if isinstance(value, tuple | list) else [value]:
                if isinstance(one, re.Pattern):
                    yield f"{module.name}.{name}", one, name in NAMED_IN_SEARCHES


def written_in_place():
    """Every pattern that a call of `re` is given as words, there or by their name."""
    for file, line, on, method, argument in CALLS:
        if not (isinstance(on, ast.Name) and on.id == "re"):
            continue
        words = getattr(argument, "value", None)
        if isinstance(argument, ast.Name):
            module = ".".join(["knowngood", *file.with_suffix("").parts]).removesuffix(".__init__")
            words = getattr(importlib.import_module(module), argument.id, None)
        if isinstance(words, str):
            yield f"{file}:{line}", re.compile(words), method in SOUGHT


PATTERNS = {
    (pattern.pattern, pattern.flags, sought): (where, pattern, sought)
    for where, pattern, sought in [*compiled(), *written_in_place()]
}


def hostile(pattern, size):
    """Texts of one length that a pattern nearly matches: its own letters, alone, in pairs and behind one another."""
    letters = list(dict.fromkeys(["9", " ", *samples(pattern)]))[:10]
    for one in letters:
        yield one * size
        yield one * (size - 1) + "!"
    for one, other in itertools.permutations(letters, 2):
        yield (one + other) * (size // 2)
        yield one + other * (size - 2) + "!"


def steps(pattern, text, *, sought=True):
    work = Work(pattern, text, most=400 * len(text))
    try:
        return work.search_all() if sought else work.match_all()
    except OverflowError:
        return None


@pytest.mark.parametrize(("where", "pattern", "sought"), PATTERNS.values(), ids=[row[0] for row in PATTERNS.values()])
def test_twice_the_text_takes_twice_the_steps(where, pattern, sought):
    for short, long in zip(hostile(pattern, SHORT), hostile(pattern, LONG), strict=True):
        few, many = steps(pattern, short, sought=sought), steps(pattern, long, sought=sought)
        assert few is not None, f"{where}: {short!r}"
        assert many is not None, f"{where}: {long!r}"
        assert many <= TWICE * few + 60, f"{where}: {few} and {many} steps on {long!r}"


@pytest.mark.parametrize(
    "pattern", [r"(\d+(?:[.,]\d+)?)\s*%", r"\s*x", r"(a+)+b", r"a\s*/?\s*-", r"(?:a|a)*b", r"<[^>]*>"]
)
def test_a_pattern_that_holds_things_up_is_noticed(pattern):
    pattern = re.compile(pattern)
    pairs = zip(hostile(pattern, SHORT), hostile(pattern, LONG), strict=True)
    rows = [(steps(pattern, short), steps(pattern, long)) for short, long in pairs]
    assert any(few is None or many is None or many > TWICE * few + 60 for few, many in rows)


@pytest.mark.parametrize(
    ("pattern", "text"),
    [
        (r"a|bc", "xbcabc"),
        (r"\d+(?:\.\d+)?", "1.5 22 .3"),
        (r"(?<=\d) ?%", "5 %%6%"),
        (r"x*?y", "xxyy"),
        (r"\bto\b", "to too to"),
    ],
)
def test_the_count_finds_what_re_finds(pattern, text):
    work = Work(re.compile(pattern), text)
    work.search_all()
    assert work.ends == [match.end() for match in re.finditer(pattern, text)]
