"""The sheets that come with the program keep every rule themselves."""

import itertools
import re

import pytest

from knowngood.acts.job.planning import order
from knowngood.checks import check
from knowngood.sheet import library
from knowngood.sheet.reader import read

SHEETS = [one.id for one in library.sheets()]


def sizes(sheet):
    """All of it, and each set of its sizes."""
    return [
        (),
        *(row for count in range(1, len(sheet.scopes) + 1) for row in itertools.combinations(sheet.scopes, count)),
    ]


@pytest.mark.parametrize("driven", [None, "front", "rear", "all"])
@pytest.mark.parametrize("name", SHEETS)
def test_no_problem_in_any_size_and_with_any_driven_axle(name, driven):
    reading = read(library.text(name), file=f"{name}.yaml")
    for scope in sizes(reading.sheet):
        assert [one.message for one in check(reading, scope=scope, driven=driven)] == []


@pytest.mark.parametrize("name", SHEETS)
def test_only_open_questions_stand_against_a_start(name):
    reading = read(library.text(name), file=f"{name}.yaml")
    assert {one.code for one in check(reading, answers={})} == {"open question"}
    assert check(reading, answers=dict.fromkeys(reading.sheet.asks)) == []


@pytest.mark.parametrize("name", SHEETS)
def test_its_steps_are_written_in_an_order_that_works(name):
    sheet = read(library.text(name), file=f"{name}.yaml").sheet
    assert order(sheet, ()) == tuple(step.id for step in sheet.steps)


def without(text, *facts):
    """The sheet with facts that no step needs, makes or ends any more."""

    def kept(found):
        rest = [one for one in re.split(r",\s+", found[2]) if one not in facts]
        return f"    {found[1]}: [{', '.join(rest)}]"

    return re.sub(r"(?m)^    (needs|makes|ends): \[([^\]]*)\]", kept, text)


GONE = {
    "the fill plug proven": (["proven(gearbox.fill)"], {"refill not proven"}),
    "level on the stands": (["level"], {"level reads falsely"}),
    "the selector taken through": (["gears_selected"], {"level reads falsely"}),
    "the foot on the brake": (["brake_held", "not brake_held"], {"gear with wheels up"}),
    "stands under the rear": (["on_stands(rear)"], {"under a jack", "under a running engine"}),
    "chocks": (["chocked(rear)"], {"restraint"}),
    "outdoors": (["outdoors"], {"engine indoors", "under a running engine"}),
    "P": (["in_park_or_neutral"], {"under a running engine", "level reads falsely"}),
}


@pytest.mark.parametrize(("facts", "codes"), GONE.values(), ids=GONE)
def test_each_danger_of_the_gearbox_sheet_is_seen_once_nothing_guards_it(facts, codes):
    found = check(read(without(library.text("automatic_gearbox"), *facts), file="x.yaml"))
    assert {one.code for one in found} == codes


LINES = {
    "a hand in the stream": ("    stand_aside: true\n", "", "hot overflow"),
    "drained hot": ("    ends: [hot(gearbox)]\n", "    ends: []\n", "unreachable step"),
    "the level forgotten": ("    level: gearbox\n", "", "level never set"),
    "a plug left open": ("    tighten: [overflow_plug]\n", "", "never tightened"),
    "a foot left on the brake": ("    ends: [brake_held]\n", "", "left standing"),
}


@pytest.mark.parametrize(("written", "instead", "code"), LINES.values(), ids=LINES)
def test_a_line_of_the_gearbox_sheet_left_out_is_missed(written, instead, code):
    text = library.text("automatic_gearbox")
    assert written in text
    assert code in {one.code for one in check(read(text.replace(written, instead), file="x.yaml"))}
