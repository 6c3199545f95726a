"""Every document that the package names is registered, and none is registered in vain."""

import ast
import re
from pathlib import Path

import pytest

import knowngood
from knowngood.engine.measurement.meters.classes import PRESETS
from knowngood.sources import DOCUMENTS, SOURCES

ROOT = Path(knowngood.__file__).parent
FILES = sorted(path for path in ROOT.rglob("*.py") if path.name != "sources.py")
KEY = r"[A-Z][A-Z0-9_]{2,}"
DOCUMENTED = (ast.Module, ast.ClassDef, ast.FunctionDef, ast.AsyncFunctionDef)


def keys_in(text):
    """Keys in docstrings below "Source:", and in comments after "Source:" or a semicolon."""
    found = set()
    for node in ast.walk(ast.parse(text)) if "Source:" in text else ():
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


# What no reader could look up.
VAGUE = re.compile(
    r"(?i)\b(an?|any|two|three|some|several|another) (\w+ ){0,2}"
    r"(textbooks?|manuals?|handbooks?|makers?|exercises?|pages?|lists?|encyclopedia|library|collections?)\b"
    r"|\bmakers?'|\bmanuals of|'s (page|manual|explanation)|\bcode reader|\bpublic (collections?|library)|\bopen copies"
)
HONEST = re.compile(r"(?i)common practice, no source|from memory")
# A year, a number of a standard, something that anyone can run, or that we worked it out ourselves.
NAMED = re.compile(
    r"\b(18|19|20)\d\d\b|\b(ISO|IEC|EN|DIN|ASTM|GOST|SAE|ICD|JCGM|NIST SP|NIST TN|TM|ILAC)\b[ -]?\w*\d|\bGUM\b"
    r"|\b(API MPMS|ASHRAE|EA-4/02|EURACHEM|NIST StRD)\b"
    r"|\b(SciPy|scipy|CoolProp|chemicals|Suncal|pyAgrum|NumPy|JavaBayes)\b"
    r"|(?i:\bby hand\b|\bown derivation\b|\barithmetic\b|\bsimulated\b)"
)
TESTS = Path(__file__).parent


def marks_in(path):
    """Documents that a file's tests are marked with; names of constants stand for what they hold."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    known = {}
    for node in tree.body:
        if isinstance(node, ast.Assign) and isinstance(node.value, ast.Constant):
            known |= {target.id: node.value.value for target in node.targets if isinstance(target, ast.Name)}
    for node in ast.walk(tree):
        if isinstance(node, ast.Call) and ast.unparse(node.func) == "pytest.mark.published":
            yield eval(compile(ast.Expression(node.args[0]), str(path), "eval"), {}, known)


MARKS = sorted({mark for path in TESTS.rglob("test_*.py") for mark in marks_in(path)})


def test_marks_are_found():
    assert len(MARKS) > 100
    assert any("win95pts" in mark for mark in MARKS)  # named by a constant


@pytest.mark.parametrize("mark", MARKS)
def test_a_published_check_names_what_a_reader_can_look_up(mark):
    said = HONEST.search(mark)
    assert said or not VAGUE.search(mark), (
        f'"{mark}": nobody could look that up. Name author, title and edition, or say "common practice, no source" or '
        '"from memory".'
    )
    assert said or NAMED.search(mark), f'"{mark}": add a year, a number, a library, or that it was worked by hand.'


@pytest.mark.parametrize(
    ("mark", "fair"),
    [
        ("a textbook on Bayesian networks", False),
        ("A vehicle manual's table", False),
        ("Makers' manuals: a permanent code", False),
        ("a printed table, 1999, of a maker", False),
        ("An exercise of engineering statistics, 1999", False),
        ("a workshop manual, from memory", True),
        ("ISO 3448, as reprinted", True),
        ("a ratio, by hand", True),
        ("changes of one fraction", False),
    ],
)
def test_what_counts_as_a_name(mark, fair):
    assert bool(HONEST.search(mark) or (NAMED.search(mark) and not VAGUE.search(mark))) is fair


def test_no_document_is_registered_twice():
    assert len(DOCUMENTS) == len(SOURCES)
    titles = [one.title for one in DOCUMENTS]
    assert sorted(titles) == sorted(set(titles))


@pytest.mark.parametrize("source", DOCUMENTS, ids=lambda one: one.key)
def test_a_document_has_a_title_and_an_edition_or_says_why_not(source):
    assert len(source.title.split()) >= 3
    assert source.place
    why = source.edition.removeprefix("no edition: ")
    if why == source.edition:
        assert re.search(r"\b(18|19|20)\d\d\b|\d\d", why), f"{source.key}: write its year, edition or number."
    else:
        assert len(why.split()) >= 4, f"{source.key}: say why it has no edition."
    assert HONEST.search(f"{source.title}; {source.place}") or not VAGUE.search(source.title), source.title


@pytest.mark.parametrize("preset", PRESETS.values(), ids=lambda one: one.key)
def test_an_instrument_s_figures_are_of_a_document_or_said_to_be_of_none(preset):
    assert preset.ours or (NAMED.search(preset.source) and not VAGUE.search(preset.source)), preset.source
