"""What questions of different sheets have in common: a closed table, its mistakes told at their line."""

import pathlib

import pytest

from knowngood.sheet.model import AskFor
from knowngood.sheet.reader import read
from knowngood.sheet.same import THINGS, answered_by, thing

SHEET = """sheet: 1
id: x
title: X
asks:
  a: {{question: A, answer: {answer}, like: "8 N·m", same_as: {same_as}}}
  b: {{question: B, answer: torque, like: "8 N·m", same_as: torque(wheel)}}
steps:
  - {{id: a, do: look, zone: top, time: "1 2 3 min"}}
"""


def said(same_as, answer="torque"):
    return [one.message for one in read(SHEET.format(same_as=same_as, answer=answer), file="x.yaml").problems]


@pytest.mark.parametrize(
    ("same_as", "words"),
    [
        ("torq(gearbox.drain)", '"torq(gearbox.drain)" begins with no word that sheets share; did you mean "torque"?'),
        (
            "colour(gearbox)",
            '"colour(gearbox)" begins with no word that sheets share; it is one of jacking_point, torque, capacity, '
            "refill, fluid, density, level_window. Use one, or leave same_as out.",
        ),
        (
            "torque(gearbox.drian)",
            '"torque(gearbox.drian)" is of nothing that sheets share; did you mean "gearbox.drain"?',
        ),
        (
            "jacking_point(roof)",
            '"jacking_point(roof)" is of nothing that sheets share; it is one of front, rear, left, right. Use one, or '
            "leave same_as out.",
        ),
        (
            "drain_plug",
            '"drain_plug" names no thing that sheets share. Write word(object), such as jacking_point(front) or '
            "torque(gearbox.drain).",
        ),
        (
            "not torque(wheel)",
            '"not torque(wheel)" names no thing that sheets share. Write word(object), such as jacking_point(front) or '
            "torque(gearbox.drain).",
        ),
        (
            "3",
            "3 names no thing that sheets share. Write word(object), such as jacking_point(front) or "
            "torque(gearbox.drain).",
        ),
    ],
)
def test_a_mistake_is_told_at_its_line_with_what_is_near(same_as, words):
    assert said(same_as) == [f'x.yaml:5: asks "a": same_as: {words}']


def test_the_kind_of_answer_must_fit():
    assert said("torque(gearbox.drain)", "words") == [
        'x.yaml:5: asks "a": same_as names "torque(gearbox.drain)", which is answered by torque, and this question by '
        "words. Write answer: torque, or leave same_as out."
    ]


def test_one_thing_is_asked_once_in_a_sheet():
    assert said("torque( wheel )") == [
        'x.yaml:6: asks "b": same_as names "torque(wheel)", as "a" does already. Ask it once.'
    ]


def test_what_is_right_is_read_and_left_out_is_left_out():
    assert said("torque(gearbox.drain)") == []
    sheet = read(SHEET.format(same_as="torque( gearbox.drain )", answer="torque"), file="x.yaml").sheet
    assert [one.same_as for one in sheet.asks.values()] == ["torque(gearbox.drain)", "torque(wheel)"]


@pytest.mark.parametrize("word", THINGS)
def test_every_thing_of_the_table_is_read_as_it_stands_and_has_a_kind_of_answer(word):
    for of in THINGS[word].of:
        assert thing(f"{word}({of})") == f"{word}({of})"
    assert answered_by(f"{word}(x)") in list(AskFor)


def test_the_page_on_sheets_tells_every_word_and_what_may_stand_in_its_brackets():
    page = (pathlib.Path(__file__).parents[2] / "docs" / "sheets.md").read_text(encoding="utf-8")
    for word, things in THINGS.items():
        [row] = [line for line in page.splitlines() if line.startswith(f"| `{word}(…)` |")]
        assert all(f"`{of}`" in row for of in things.of)
        assert f"| {things.answer} |" in row
        assert things.says in row
