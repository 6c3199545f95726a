"""No two problems of a sheet are taken for one: what is overruled is known by its rule, its place and its words."""

import re

import pytest
from ruamel.yaml import YAML

from knowngood.checks import Toolbox, check
from knowngood.sheet import library
from knowngood.sheet.reader import read

SHEETS = ("automatic_gearbox", "battery_drain", "runs_hot")


def spoilt(name):
    """The sheet with each fifth step taken out in turn, and every torque left out."""
    text = library.text(name)
    no_torque = re.sub(r", torque: \{ask: \w+\}", "", text)
    for index in range(0, len(YAML(typ="safe").load(text)["steps"]), 5):
        steps = re.split(r"(?m)^(?=  - id: )", no_torque)
        yield "".join(steps[: index + 1] + steps[index + 2 :])


@pytest.mark.parametrize("name", SHEETS)
def test_every_problem_has_a_place_and_a_key_of_its_own(name):
    codes = set()
    for text in spoilt(name):
        reading = read(text, file="spoilt.yaml")
        if reading.sheet is None:  # a step that others name by its id is missing: told by the reader
            continue
        found = check(reading, answers={}, toolbox=Toolbox(), kit=[])
        codes |= {one.code for one in found}
        assert len({one.key for one in found}) == len(found)
        assert all(one.place and not re.search(r"(^|/)\d+(/|$)", one.place) for one in found)
        assert all(f"spoilt.yaml:{one.line}: {one.said}" == one.message for one in found)
    assert {"no torque", "open question"} <= codes
    assert len(codes) >= 5


@pytest.mark.parametrize("name", SHEETS)
def test_lines_above_move_no_key(name):
    """The same sheet, further down, with the steps' lists of bolts turned round."""
    text = next(spoilt(name))
    moved = "# above\n\n" + re.sub(
        r"tighten: \[([^\]]+)\]", lambda row: f"tighten: [{', '.join(reversed(row[1].split(', ')))}]", text
    )
    first, second = (check(read(one, file="s.yaml"), answers={}, kit=[]) for one in (text, moved))
    assert {one.key for one in first} == {one.key for one in second}
    assert [one.line for one in first] != [one.line for one in second]
