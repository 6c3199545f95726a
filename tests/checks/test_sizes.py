"""Every size that can be chosen is walked, and each problem told once."""

import pytest

from knowngood.checks import check
from knowngood.checks.sizes import MOST_SIZES, sizes
from knowngood.sheet import library
from knowngood.sheet.reader import read

BODY = """
scopes: {look: Only look, pads: Pads, both: Pads and discs}
fasteners: {guide: {name: guide bolts, count: 2, torque: 28 N·m ± 3}}
steps:
  - {id: cover_off, do: Cover off, zone: top, time: "1 2 3 min", loosen: [guide], makes: [off(cover)]}
  - {id: cover_on, do: Cover on, zone: top, time: "1 2 3 min", tighten: [guide], ends: [off(cover)], scope: [both]}
  - {id: draw, do: Draw it, zone: top, time: "1 2 3 min", makes: [disconnected(plug)], scope: [pads]}
"""


def test_a_smaller_size_that_leaves_things_undone_is_told_with_its_name(told):
    assert told(BODY, "never tightened") == [
        (
            "stop",
            'small.yaml:7: scope "look" or "pads": step "cover_off": loosens "guide bolts", which no later step '
            'tightens. What is loosened is tightened before the end. Add "tighten: [guide]" to the step that does it.',
        )
    ]


def test_what_is_there_wherever_its_step_is_names_no_size(told):
    [(_, words)] = [row for row in told(BODY, "left standing") if "plug disconnected" in row[1]]
    assert words.startswith('small.yaml:9: step "draw": "plug disconnected" still holds at the end.')


def test_in_a_job_only_the_chosen_size_is_walked(told):
    assert told(BODY, "never tightened", scope=()) == []
    assert told(BODY, "never tightened", scope=("both",)) == []
    [(_, words)] = told(BODY, "never tightened", scope=("pads",))
    assert words.startswith('small.yaml:7: step "cover_off": loosens')


def test_on_another_way_it_is_the_same_problem(told):
    body = """
        scopes: {small: Small, big: Big}
        fasteners: {plug: {name: Plug, hand_tight: true}}
        steps:
          - {id: look, do: Look, zone: top, time: "1 2 3 min",
             decide: {id: d, question: Q, choices: {one: One, two: Two}}}
          - {id: undo, do: Undo, zone: top, time: "1 2 3 min", loosen: [plug]}
          - {id: shut, do: Shut, zone: top, time: "1 2 3 min", tighten: [plug], scope: [big],
             when: {decided: d, is: one}}
        """
    assert len(told(body, "never tightened")) == 1


@pytest.mark.parametrize("scopes", [1, 3, 4, 9])
def test_how_many_sizes_are_walked(scopes):
    names = [f"s{number}" for number in range(scopes)]
    rows = "".join(f'  - {{id: {one}, do: Do, zone: top, time: "1 2 3 min", scope: [{one}]}}\n' for one in names)
    made = read(
        f"sheet: 1\nid: x\ntitle: X\nscopes: {{{', '.join(f'{one}: S' for one in names)}}}\nsteps:\n{rows}", file="x"
    )
    found = sizes(made.sheet)
    assert len(found) == (2**scopes - 1 if 2**scopes <= MOST_SIZES else scopes + 1)
    assert {(one,) for one in names} <= {*found} or scopes == 1


@pytest.mark.parametrize("name", [one.id for one in library.sheets()])
def test_a_sheet_of_the_library_is_walked_in_each_of_its_sizes(name):
    assert check(read(library.text(name), file=name)) == []
