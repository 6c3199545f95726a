import pytest

from knowngood.checks.answers import read_answer
from knowngood.checks.walk import Walk, of_word, spelled
from knowngood.sheet.model import AskFor
from knowngood.sheet.reader import read

SHEET = """sheet: 1
id: small
title: Small job
limits: {coil: {name: Coil, band: "11..15 ohm"}}
steps:
  - {id: new, do: Fit, zone: top, time: "1 2 3 min", when: {limit: coil, is: out},
     decide: {id: swap, question: Both?, choices: {one: One, both: Both}}}
  - {id: read, do: Read, zone: top, time: "1 2 3 min", read: [coil]}
  - {id: second, do: Fit another, zone: top, time: "1 2 3 min", when: {decided: swap, is: both}}
"""


@pytest.fixture
def walk():
    reading = read(SHEET, file="small.yaml")
    return Walk(reading.file, reading.sheet, reading.places)


def test_a_conditional_step_comes_after_what_it_waits_for_and_choices_follow_it(walk):
    assert {way.says: [stand.step.id for stand in way.stands] for way in walk.ways} == {
        '"coil" is out, "swap" is both': ["read", "new", "second"],
        '"coil" is out, "swap" is one': ["read", "new"],
        '"coil" is within': ["read"],
    }


def test_what_holds_before_and_after_a_step():
    text = SHEET.replace("read: [coil]", "read: [coil], makes: [on_stands(front)], ends: [drivable]")
    reading = read(text, file="small.yaml")
    first = Walk(reading.file, reading.sheet, reading.places).ways[0].stands[0]
    assert first.before == {"parked", "drivable"}
    assert first.after == {"parked", "on_stands(front)", "raised(front)"}
    assert first.during == first.before | first.after


def test_a_problem_says_where_it_stands(walk):
    found = walk.problem("code", "note", ("steps", 1, "read"), "words.")
    assert (found.line, found.step, found.message) == (8, "read", 'small.yaml:8: step "read": words.')


def test_facts_in_words():
    assert spelled(["raised(front)", "not hot(coolant)"]) == '"front raised", "not: coolant hot"'
    assert of_word(["raised(front)", "level"], "level") == set()


@pytest.mark.parametrize(
    ("text", "expected", "found"),
    [("25 N·m", AskFor.TORQUE, 25.0), ("6 L", AskFor.VOLUME, 6.0), ("90 °C", AskFor.TEMPERATURE, 90.0)],
)
def test_answers_are_read_by_what_was_asked(text, expected, found):
    assert read_answer(text, expected).value == found


def test_an_answer_of_another_kind_is_none():
    assert read_answer("6 L", AskFor.TORQUE) is None
    assert read_answer("see page 12", AskFor.WORDS) == "see page 12"
