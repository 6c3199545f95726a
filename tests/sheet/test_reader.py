"""Every mistake of a sheet at its line, in whole sentences."""

import jsonschema
import pytest
from ruamel.yaml import YAML

from knowngood.sheet import library
from knowngood.sheet.model import Sheet
from knowngood.sheet.reader import read
from knowngood.sheet.schema import schema

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
            'x.yaml:5: step "a": two steps are called "a". Give each its own short name.',
        ),
        (
            HEAD + "steps:\n" + STEP.replace('do: "look", ', ""),
            'x.yaml:5: step "a": "do" is missing. Add it; docs/sheets.md shows how it is written.',
        ),
    ],
)
def test_a_mistake_is_told_in_a_whole_sentence(text, message):
    assert messages(text) == [message]


def test_ten_mistakes_show_ten():
    text = (
        HEAD.replace("title", "titel")
        + 'fasteners:\n  plug: {name: "plug", torque: "8 lb"}\n'
        + 'limits:\n  coil: {name: "coil", band: "80..95 omh"}\n'
        + "steps:\n"
        + STEP.replace("top", "topp")
        + STEP.replace("id: a", "id: b").replace("1 2 3", "3 2 1")
        + STEP.replace("id: a", "id: c").replace('"}', '", read: [nothing], after: [zzz]}')
        + STEP.replace("id: a", "id: d").replace('"}', '", needs: [raised]}')
        + '  - {id: e, zone: top, time: "1 2 3 min"}\n'
        + "title: again\n"
        + 'title: "and again"\n'
    )
    assert len(messages(text)) == 10


@pytest.mark.parametrize("text", ["a: &x [1]\nb: *x", "\x00\x01", "sheet: 1\n" + "x" * 600_000, "\tsheet: 1", "a" * 50])
def test_a_hostile_file_is_one_sentence(text):
    assert len(messages(text)) == 1


def test_every_library_sheet_fits_the_schema_and_is_long_enough():
    found = schema()
    jsonschema.Draft202012Validator.check_schema(found)
    for one in library.sheets():
        jsonschema.validate(YAML(typ="safe").load(library.text(one.id)), found)
    sheet = read(library.text("runs_hot"), file="runs_hot.yaml").sheet
    assert isinstance(sheet, Sheet)
    assert len(sheet.steps) >= 35
