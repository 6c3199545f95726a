"""Every mistake of a sheet at its line, in whole sentences."""

import json
import pathlib
import re

import jsonschema
import pytest
from hypothesis import given
from hypothesis import strategies as st
from ruamel.yaml import YAML
from tests.work import calls

from knowngood.sheet import library
from knowngood.sheet.model import Sheet
from knowngood.sheet.reader import read
from knowngood.sheet.schema import schema
from knowngood.sheet.tree import load

HEAD = 'sheet: 1\nid: x\ntitle: "X"\n'
STEP = '  - {id: a, do: "look", zone: top, time: "1 2 3 min"}\n'


def messages(text):
    return [one.message for one in read(text, file="x.yaml").problems]


def test_a_sheet_without_mistakes_is_a_sheet():
    found = read(HEAD + "steps:\n" + STEP, file="x.yaml")
    assert found.problems == ()
    assert found.sheet is not None
    assert found.places.at(("steps", 0, "zone")) == (5, 25)


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("", "x.yaml:1: the sheet is empty. Its first line is: sheet: 1."),
        ("- 1", "x.yaml:1: the sheet does not begin with named parts. Its first line is: sheet: 1."),
        (
            "a: [",
            "x.yaml:1: from here on this is not YAML. Look for a missing quote or colon; indent with spaces, not tabs.",
        ),
        (HEAD + "title: Y\nsteps:\n" + STEP, 'x.yaml:4: "title" is written twice in one part. Keep one of them.'),
        (
            HEAD.replace("1", "2", 1) + "steps:\n" + STEP,
            "x.yaml:1: this sheet is of form 2; this program reads form 1. Write: sheet: 1.",
        ),
        (
            HEAD + "steps:\n" + STEP.replace("top", "topp"),
            'x.yaml:5: step "a": zone is "topp"; it is one of around, inside, top, wheel, under; did you mean "top"?',
        ),
        (
            HEAD + "steps:\n" + STEP.replace("zone", "tols: [x], zone"),
            'x.yaml:5: step "a": "tols" is not a key known here; did you mean "tools"?',
        ),
        (
            HEAD + "steps:\n" + STEP.replace("1 2 3 min", "3 2 1 min"),
            'x.yaml:5: step "a": time: "3 2 1 min" is not three times from short to long. Write them like "2 3 6 min".',
        ),
        (
            HEAD + 'limits:\n  coil: {name: "coil", band: "80..95 omh"}\nsteps:\n' + STEP,
            'x.yaml:5: limits "coil": band: "omh" is not a unit known here; did you mean "ohm"?',
        ),
        (
            HEAD + 'fasteners:\n  plug: {name: "plug", torque: "8 lb"}\nsteps:\n' + STEP,
            'x.yaml:5: fasteners "plug": torque: "8 lb" is a weight, not a torque. '
            "Write lbf·in or lbf·ft (or N·m): the two differ by 12 times.",
        ),
        (
            HEAD + "steps:\n" + STEP.replace('"}', '", read: [coil]}'),
            'x.yaml:5: step "a": read names the limit "coil", which this sheet does not have; '
            "the sheet has none. Add it, or use one of these.",
        ),
        (
            HEAD + "steps:\n" + STEP.replace('"}', '", makes: [raised(frnt)]}'),
            'x.yaml:5: step "a": "raised(frnt)" is not of an axle; did you mean "front"?',
        ),
        (
            HEAD + "steps:\n" + STEP.replace('"}', '", makes: [raisd(front)]}'),
            'x.yaml:5: step "a": makes has "raisd(front)", a word that nothing else in the sheet uses; '
            'did you mean "raised"?',
        ),
        (
            HEAD + "steps:\n" + STEP + STEP,
            'x.yaml:6: step "a": two steps are called "a". Give each its own short name.',
        ),
        (
            HEAD + "steps:\n" + STEP.replace('do: "look", ', ""),
            'x.yaml:5: step "a": "do" is missing. Add it; docs/sheets.md shows how it is written.',
        ),
    ],
)
def test_a_mistake_is_told_in_a_whole_sentence(text, message):
    assert messages(text) == [message]


SHEETS = pathlib.Path(__file__).parent.parent / "sheets"
BROKEN, GOOD = sorted(SHEETS.glob("broken/*.yaml")), sorted(SHEETS.glob("good/*.yaml"))


@pytest.mark.parametrize("path", BROKEN, ids=lambda path: path.stem)
def test_a_broken_sheet_shows_every_mistake_at_its_line_and_column(path):
    found = read(path.read_text(encoding="utf-8"), file=path.name)
    assert found.sheet is None
    told = [f"{one.column} {one.message}" for one in found.problems]
    assert told == path.with_suffix(".txt").read_text(encoding="utf-8").splitlines()


@pytest.mark.parametrize("path", BROKEN, ids=lambda path: path.stem)
def test_a_problem_names_line_and_step_also_beside_the_sentence(path):
    for one in read(path.read_text(encoding="utf-8"), file=path.name).problems:
        assert one.message.startswith(f"{path.name}:{one.line}: ")
        assert one.message.partition(": ")[2].startswith(f'step "{one.step}": ') or one.step in (None, "1")


@pytest.mark.parametrize("path", GOOD, ids=lambda path: path.stem)
def test_a_good_sheet_is_read_written_and_read_again(path):
    text = path.read_text(encoding="utf-8")
    found = read(text, file=path.name)
    assert found.problems == ()
    jsonschema.validate(load(text).plain, schema())
    again = json.dumps(found.sheet.model_dump(by_alias=True, mode="json", exclude_none=True), ensure_ascii=False)
    assert read(again, file=path.name).sheet == found.sheet


def test_one_good_sheet_uses_every_key():
    text = (SHEETS / "good" / "every_key.yaml").read_text(encoding="utf-8")
    known = {key for form in (schema(), *schema()["$defs"].values()) for key in form.get("properties", ())}
    assert known - set(re.findall(r"([a-z0-9_]+):", text)) == set()


def test_the_schema_refuses_what_the_reader_refuses():
    text = (SHEETS / "broken" / "forms.yaml").read_text(encoding="utf-8")
    assert list(jsonschema.Draft202012Validator(schema()).iter_errors(load(text).plain))


HOSTILE = {
    "anchor in braces": (
        "a: {b: &x 1, c: *x}",
        "x.yaml:1: the sheet uses YAML anchors (& or *). Write each part out where it is used.",
    ),
    "alias bomb": (
        "a: [&b0 [x]" + "".join(f", &b{i} [*b{i - 1}, *b{i - 1}, *b{i - 1}]" for i in range(1, 60)) + "]",
        "x.yaml:1: the sheet uses YAML anchors (& or *). Write each part out where it is used.",
    ),
    "merge": (
        HEAD + "scopes: {<<: a}\nsteps:\n" + STEP,
        'x.yaml:4: scopes "<<": "<<" is not a short name. Write small letters, digits and _, such as drain_plug.',
    ),
    "tag": (
        HEAD + "about: !!python/name:os\nsteps:\n" + STEP,
        'x.yaml:4: the sheet uses a YAML tag ("!!python/name:os"). Leave it out; quotes make a text of a number.',
    ),
    "ordered map": (
        "a: !!omap [b: 1]",
        'x.yaml:1: the sheet uses a YAML tag ("!!omap"). Leave it out; quotes make a text of a number.',
    ),
    "deep": (
        "[" * 30_000,
        "x.yaml:1: parts stand inside parts 20 deep, which no sheet needs. Look for a bracket never closed.",
    ),
    "part as a name": (
        "{a: b}: c",
        "x.yaml:1: a list or a part in braces stands where a name belongs. Write a word, then a colon.",
    ),
    "two sheets": ("a: 1\n---\nb: 2\n", "x.yaml:2: a second sheet begins here (---). Keep one sheet in one file."),
    "bell": (
        'a: 1\nb: "\x07"',
        "x.yaml:2: a sign stands here that cannot be typed. Delete it. A job sheet's first line is: sheet: 1.",
    ),
    "half a sign": (
        'a: 1\nb: "\\ud800"',
        "x.yaml:2: a sign stands here that cannot be typed. Delete it. A job sheet's first line is: sheet: 1.",
    ),
    "no sign": (
        'a: "\\U00110000"',
        "x.yaml:1: a backslash code in quotes names no sign. Write \\\\ for a backslash itself.",
    ),
    "binary": ("a\x00b", "x.yaml:1: this is not a text file. A job sheet is YAML; the first line is: sheet: 1."),
    "tab": (
        "\ta: 1",
        "x.yaml:1: from here on this is not YAML. Look for a missing quote or colon; indent with spaces, not tabs.",
    ),
    "huge": (
        "a: 1\n" * 100_000,
        "x.yaml:1: the file has 500000 characters; a job sheet has 200000 at most. Is it another file?",
    ),
    "comments only": ("# nothing\n", "x.yaml:1: the sheet is empty. Its first line is: sheet: 1."),
}


@pytest.mark.parametrize(("text", "message"), HOSTILE.values(), ids=HOSTILE)
def test_a_hostile_file_is_one_sentence_and_takes_no_more_than_its_length_should(text, message):
    told = []
    assert calls(lambda: told.extend(messages(text))) < 20_000 + 200 * len(text)
    assert told == [message]


@pytest.mark.parametrize("change", [lambda text: "\ufeff" + text, lambda text: text.replace("\n", "\r\n")])
def test_a_file_from_another_editor_is_read(change):
    assert messages(change(HEAD + "steps:\n" + STEP)) == []


@given(st.text() | st.text("[]{}:,-#&*!|>'\"%@ \n\tab1~?<", max_size=60))
def test_any_text_is_a_sheet_or_told(text):
    found = read(text, file="x.yaml")
    assert (found.sheet is None) == bool(found.problems)


def test_every_library_sheet_fits_the_schema_and_is_long_enough():
    found = schema()
    jsonschema.Draft202012Validator.check_schema(found)
    for one in library.sheets():
        jsonschema.validate(YAML(typ="safe").load(library.text(one.id)), found)
        sheet = read(library.text(one.id), file=f"{one.id}.yaml").sheet
        assert isinstance(sheet, Sheet)
        assert len(sheet.steps) >= 35
    assert [one.id for one in library.sheets()] == ["automatic_gearbox", "battery_drain", "runs_hot"]


NO_TIME = "is no time that work takes; it is 0 or more, and less than two years. Mend it."


@pytest.mark.parametrize(
    ("row", "says"),
    [
        ('repairs: {a: {name: "A", fixes: [x], minutes: "-5 min"}}', f'repairs "a": minutes: "-5 min" {NO_TIME}'),
        ('covers: {a: {name: "A", opens: "1e300 min"}}', f'covers "a": opens: "1e300 min" {NO_TIME}'),
        ("quote: {money: 1e308}", "money is 1e+308; it should be 999999 or less."),
        ('suspects: {a: {name: "A", rank: 2000}}', 'suspects "a": rank is 2000; it should be 99 or less.'),
    ],
)
def test_what_no_work_takes_and_no_number_can_follow_is_told_at_its_line(row, says):
    (said,) = messages(HEAD + row + "\nsteps:\n" + STEP)
    assert said.removesuffix(" docs/sheets.md shows how it is written.") == f"x.yaml:4: {says}"


def test_a_step_takes_no_time_below_zero():
    (said,) = messages(HEAD + "steps:\n" + STEP.replace("1 2 3 min", "-1 2 3 min"))
    assert said == f'x.yaml:5: step "a": time: "-1 2 3 min" {NO_TIME}'
