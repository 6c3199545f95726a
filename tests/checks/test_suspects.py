"""Suspects, tests, repairs and covers that do not hold together are told at their line, with what to do."""

import pytest

from knowngood.checks.chances import chance, none_of_these, shown_with, weights
from knowngood.engine.troubleshooting.model.parts import ADDS_UP
from knowngood.engine.troubleshooting.model.problem import suspects
from knowngood.sheet.reader import read
from knowngood.sheet.suspects import HowOften

JOB = """
suspects:
  relay: {{name: Relay, of_10: {relay}}}
  fan: {fan}
{none}
tests:
  coil: {{name: Coil, shows: {coil}, step: look}}
  looks: {{name: Looks, {looks}, step: look}}
repairs:
  new: {{name: New relay, fixes: {fixes}, step: look{watch}}}
covers:
  tray: {{name: Tray, fact: off(tray), inside: {outer}}}
  pan: {{name: Pan, fact: off({off}), inside: tray}}
  box: {{name: Box}}
steps:
  - {{id: look, do: Look, zone: top, time: "1 2 3 min", makes: [off(tray)]}}
  - {{id: shut, do: Shut, zone: top, time: "1 2 3 min", ends: [off(tray)]}}
"""
GRADED = "outcomes: {clear: {without: usually}, faint: {shows: [fan]}, black: {shows: {fan: sometimes}}}"
RIGHT = {
    "relay": "3", "fan": "{name: Fan motor}", "none": "", "coil": "[relay]", "looks": GRADED, "fixes": "[relay]",
    "watch": "", "outer": "box", "off": "tray",
}  # fmt: skip
WRONG = {
    "chances do not add up": (
        {"relay": "10"},
        ("stop", "small.yaml:4: the suspects are 10 of 10 vehicles, and none of these 0.5, so nothing is left for 1 "
         "more. They must leave room in ten. Lower one, or rank them instead."),
    ),
    "more than ten": (
        {"relay": "6", "fan": "{name: Fan, of_10: 4}"},
        ("stop", "small.yaml:4: the suspects are 10 of 10 vehicles, and none of these 0.5. They must leave room in "
         "ten. Lower one, or rank them instead."),
    ),
    "less than ten": (
        {"fan": "{name: Fan, of_10: 4}", "none": 'none_of_these: "10 %"'},
        ("stop", "small.yaml:4: the suspects are 7 of 10 vehicles, and none of these 1, which makes 8. Together they "
         "must be ten. Raise one, or leave none_of_these out: it is then what is left."),
    ),
    "outcomes above a whole": (
        {"looks": "outcomes: {clear: {shows: [fan]}, black: {shows: {fan: nearly always}}}"},
        ("stop", "small.yaml:10: the outcomes of \"Looks\" with \"Fan motor\" make at least 15 of 10 vehicles. Each "
         "vehicle shows one of them, so they make ten. Change one of the words, or leave one out: it is then what is "
         "left."),
    ),
    "outcomes below a whole": (
        {"looks": "outcomes: {clear: {shows: [fan], without: rarely}, black: {shows: {fan: rarely}, without: rarely}}"},
        ("stop", "small.yaml:10: the outcomes of \"Looks\" with any other suspect make at most 4 of 10 vehicles. Each "
         "vehicle shows one of them, so they make ten. Change one of the words, or leave one out: it is then what is "
         "left."),
    ),
    "fixes nothing": (
        {"fixes": "[]"},
        ("stop", 'small.yaml:12: the repair "New relay" fixes none of the suspects. A repair is there for at least '
         "one. Name it, one of relay, fan, or take the repair out."),
    ),
    "fixes none of ten": (
        {"fixes": "{relay: 0 of 10}"},
        ("stop", 'small.yaml:12: the repair "New relay" fixes none of the suspects. A repair is there for at least '
         "one. Name it, one of relay, fan, or take the repair out."),
    ),
    "cover inside itself": (
        {"outer": "pan"},
        ("stop", 'small.yaml:14: "Tray" inside "Pan" inside "Tray": none of them could come off first. Take inside '
         "out of the outermost."),
    ),
    "cover never off": (
        {"off": "pan"},
        ("caution", 'small.yaml:15: "Pan" is off when "pan off" holds, which no step makes. What lies behind it would '
         'never be seen as in reach. Add "makes: [off(pan)]" to the step that takes it off.'),
    ),
    "safety part watched": (
        {"fan": "{name: Brake hose, kind: brake hose}", "fixes": "[fan]", "watch": ", watch: 500 km"},
        ("stop", 'small.yaml:12: the repair "New relay" may wait, and "Brake hose" belongs to brakes. A part in doubt '
         "that safety hangs on is replaced or handed over, never driven and watched. Take watch out."),
    ),
    "safety part undeclared": (
        {"fan": "Front brake hose, left"},
        ("stop", 'small.yaml:6: "Front brake hose, left" sounds like the brakes, and nobody said so. A part that '
         "safety hangs on is never driven and watched. Say below what it is, or write kind: brakes or kind: none in "
         "the sheet."),
    ),
    "suspect named twice": (
        {"fan": "RELAY"},
        ("caution", 'small.yaml:6: "RELAY" is among the suspects twice, so it counts as twice as likely. Take '
         "one of them out, or say in the name what differs."),
    ),
    "suspect untouched": (
        {"looks": "shows: [relay]"},
        ("note", 'small.yaml:6: "Fan motor" is in no test and in no repair. It can then only be handed over. Name it '
         "in what a test shows or in what a repair fixes, or take it out."),
    ),
    "test tells nothing": (
        {"coil": "{relay: rarely}"},
        ("note", 'small.yaml:9: the test "Coil" shows the same with every suspect, so it tells nothing and is never '
         "proposed. Say with which suspects it shows more often, or take it out."),
    ),
}  # fmt: skip


def job(**changed):
    return JOB.format(**{**RIGHT, **changed})


def test_one_that_holds_together_has_no_problem(problems):
    assert problems(job()) == []


@pytest.mark.parametrize(("changed", "row"), WRONG.values(), ids=WRONG)
def test_what_does_not_hold_together_is_told_once(problems, changed, row):
    found = [(one.severity.value, one.message) for one in problems(job(**changed), quoted=True)]
    assert found == [row]


def test_what_may_wait_and_is_no_safety_part_is_not_told(problems):
    assert problems(job(watch=", watch: 500 km")) == []


def test_a_missing_quote_is_told_once_a_job_is_known(told):
    assert told(job(), "no quote") == told(job(), "no quote", quoted=True) == []
    [(severity, words)] = told(job(), "no quote", quoted=False)
    assert severity == "note"
    assert words.startswith("small.yaml:4: no quote is known, in the job or in the sheet.")
    assert told(job() + "quote: {money: 640}\n", "no quote", quoted=False) == []


def test_a_test_that_names_neither_step_nor_minutes(told):
    assert told(job().replace("[relay], step: look}\n  looks", "[relay]}\n  looks"), "no time stated") == [
        (
            "note",
            'small.yaml:9: "Coil" names no step and no minutes, so it counts as taking no time and comes too early. '
            'Name the step that does it, or write minutes: "10 min".',
        )
    ]


def sheet(body):
    head = "sheet: 1\nid: x\ntitle: X\n"
    steps = '\nsteps:\n  - {id: a, do: A, zone: top, time: "1 2 3 min"}\n'
    found = read(f"{head}{body}{steps}", file="x.yaml")
    assert found.problems == ()
    return found.sheet


@pytest.mark.parametrize(
    ("body", "expected", "none"),
    [
        ("suspects: [A, B]", {"suspect_1": 0.475, "suspect_2": 0.475}, 0.05),
        ("suspects: {a: A, b: {name: B, rank: 2}, c: {name: C, rank: 1}, d: D}",
         {"c": 0.95 / 2.0, "b": 0.95 / 4.0, "a": 0.95 / 8.0, "d": 0.95 / 8.0}, 0.05),
        ("suspects: {a: {name: A, of_10: 3}, b: B, c: C}", {"a": 0.3, "b": 0.325, "c": 0.325}, 0.05),
        ("suspects: {a: {name: A, of_10: 3}, b: {name: B, of_10: 5}}", {"a": 0.3, "b": 0.5}, 0.2),
        ('none_of_these: "20 %"\nsuspects: {a: A, b: B}', {"a": 0.4, "b": 0.4}, 0.2),
    ],
)  # fmt: skip
def test_how_likely_each_is_before_any_test(body, expected, none):
    found = sheet(body)
    assert weights(found) == pytest.approx(expected)
    assert none_of_these(found) == pytest.approx(none)
    causes = suspects(weights(found), other=none_of_these(found))
    assert {one.key: one.chance.value for one in causes} == pytest.approx({**expected, "other": none})


def test_graded_outcomes_make_a_whole_and_keep_their_order():
    found = sheet(
        f'suspects: {{fan: Fan, relay: Relay}}\ntests: {{looks: {{name: Looks, {GRADED}, minutes: "1 min"}}}}'
    )
    test = found.tests["looks"]
    with_fan, without = shown_with(test, "fan"), shown_with(test, "relay")
    for row in (with_fan, without):
        assert sum(one.value for one in row) == pytest.approx(1.0, abs=ADDS_UP)
        assert all(one.lowest <= one.value <= one.highest for one in row)
    assert without[0].value == pytest.approx(0.8)
    assert [one.value for one in without[1:]] == pytest.approx([0.1, 0.1])
    assert with_fan[1].value / with_fan[2].value == pytest.approx(2.0)
    assert with_fan[0].value < 0.02


@pytest.mark.parametrize(("text", "value"), [("nearly always", 0.95), ("8 of 10", 0.8), ("10 of 10", 0.99)])
def test_words_and_numbers_of_ten(text, value):
    assert chance(HowOften.read(text)).value == pytest.approx(value)
