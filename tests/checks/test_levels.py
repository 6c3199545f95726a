"""How a level is set."""

import pathlib

import pytest

from knowngood.checks import check
from knowngood.sheet.model import Fluid
from knowngood.sheet.reader import read

EVERY = pathlib.Path(__file__).parents[1] / "sheets" / "good" / "levels.yaml"

JOB = """
asks:
  window: {{question: At which temperature?, answer: temperatures, like: 35..45 °C}}
circuits:
  gearbox: {{name: Gearbox, fluid: gearbox oil, holds: "6 L", refill: fill, {level}}}
start: [parked, outdoors, in_park_or_neutral, brake_set, proven(fill){start}]
steps:
{steps}
"""
LEVEL = "level: {by: overflow_plug, port: overflow, depends: [running(engine), level, gears_selected]}"
STEP = '  - {{id: {id}, do: Do it, zone: inside, time: "1 2 3 min", {rest}}}'


def job(*steps, level=LEVEL, start=""):
    rows = "\n".join(STEP.format(id=id, rest=rest) for id, rest in steps)
    return JOB.format(level=level, start=start, steps=rows)


ENGINE = ("engine", "makes: [running(engine), brake_held]")
GEARS = ("gears", "needs: [running(engine)], makes: [gears_selected], ends: [brake_held]")
SET = ("set", "level: gearbox, stand_aside: true, after: [engine]")
OFF = ("off", "needs: [running(engine)], ends: [running(engine)], after: [set]")


def falsely(told, *steps, **more):
    return told(job(*steps, **more), "level reads falsely")


def test_a_level_set_where_all_that_it_depends_on_holds(told):
    assert falsely(told, ENGINE, GEARS, SET, OFF, start=", level") == []


def test_a_level_set_before_the_gears_were_selected(told):
    assert falsely(told, ENGINE, SET, OFF, start=", level") == [
        (
            "stop",
            'small.yaml:11: step "set": sets the level of "Gearbox" where "every gear selected once since the engine '
            'was started" does not hold. Its level counts only then, as level: depends says. Need "gears_selected" '
            "here, and make it in a step before.",
        )
    ]


def test_an_engine_started_again_has_not_selected_them(told):
    again = ("again", "needs: [not running(engine)], makes: [running(engine)], after: [off]")
    late = ("late", "level: gearbox, stand_aside: true, after: [again]")
    [(_, words)] = falsely(told, ENGINE, GEARS, SET, OFF, again, late, start=", level")
    assert words == (
        'small.yaml:15: step "late": sets the level of "Gearbox" where "every gear selected once since the engine was '
        'started" does not hold any more: the engine was started since. Its level counts only then, as level: depends '
        'says. Write "makes: [gears_selected]" in a step between.'
    )


UP = ("up", "makes: [raised(front), on_stands(front)]")
LEVELLED = ("levelled", "needs: [on_stands(front)], makes: [level]")
DOWN = ("down", "needs: [on_stands(front)], ends: [raised(front), on_stands(front)]")
SET_UP = ("set", "needs: [on_stands(front)], level: gearbox, stand_aside: true")
ONLY_LEVEL = "level: {by: overflow_plug, depends: [level]}"


def test_level_on_the_ground_is_not_level_on_stands(told):
    assert falsely(told, UP, SET_UP, level=ONLY_LEVEL, start=", level") == [
        (
            "stop",
            'small.yaml:11: step "set": sets the level of "Gearbox" where "standing level" does not hold any more: the '
            "vehicle was raised or lowered since. Its level counts only then, as level: depends says. Write "
            '"makes: [level]" in a step between.',
        )
    ]


@pytest.mark.parametrize(
    ("steps", "count"),
    [
        ([UP, LEVELLED, SET_UP], 0),
        ([UP, ("set", "level: gearbox, makes: [level]")], 0),
        ([UP, DOWN, ("set", "after: [down], level: gearbox")], 0),
        ([UP, LEVELLED, DOWN, ("again", "after: [down], makes: [on_stands(front)]"),
          ("set", "after: [again], level: gearbox")], 1),
    ],
    ids=["made on the stands", "made at the step", "on the ground again", "raised a second time"],
)  # fmt: skip
def test_where_it_was_made_counts(told, steps, count):
    assert len(falsely(told, *steps, level=ONLY_LEVEL, start=", level")) == count


def test_ride_height_ends_with_lifting(told):
    level = "level: {by: sight_glass, depends: [at_ride_height]}"
    assert len(falsely(told, UP, SET_UP, level=level, start=", at_ride_height")) == 1
    assert falsely(told, ("set", "level: gearbox"), level=level, start=", at_ride_height") == []


def test_an_engine_that_must_be_off(told):
    level = 'level: {by: dipstick, depends: ["not running(engine)"]}'
    assert falsely(told, ("set", "level: gearbox"), level=level) == []
    assert falsely(told, ENGINE, SET, OFF, level=level) == [
        (
            "stop",
            'small.yaml:11: step "set": sets the level of "Gearbox" while "engine running" holds. Its level '
            'counts only without it, as level: depends says. Need "not running(engine)" here, and write '
            '"ends: [running(engine)]" in a step before.',
        )
    ]


def test_a_way_that_leaves_it_out_is_named(told):
    choose = ("choose", "decide: {id: warm, question: 'Warm?', choices: {'yes': 'It is', 'no': 'It is not'}}")
    start = ("engine", "when: {decided: warm}, makes: [running(engine)]")
    late = ("set", "after: [choose, engine], level: gearbox, stand_aside: true")
    [(_, words)] = falsely(told, choose, start, late, level="level: {by: dipstick, depends: [running(engine)]}")
    assert '"engine running" does not hold when "warm" is no. Its level' in words


def test_a_circuit_that_says_nothing_of_its_level(told):
    body = job(("set", "level: gearbox, window: gearbox"), level="density: 850 kg/m³")
    assert [words for _, words in told(body, "no level described")] == [
        'small.yaml:10: step "set": level names "Gearbox", which has no level block. How a level is read and what it '
        'depends on stands with its circuit. Add "level: {by: …}" to the circuit "gearbox".',
        'small.yaml:10: step "set": window names "Gearbox", which has no level block. How a level is read and what it '
        'depends on stands with its circuit. Add "level: {by: …}" to the circuit "gearbox".',
    ]


def test_a_window_followed_that_nothing_names(told):
    assert told(job(("warm", "window: gearbox"), level="level: {by: dipstick}"), "no level described") == [
        (
            "stop",
            'small.yaml:10: step "warm": follows "Gearbox" to a window that its level does not name. A window is a '
            'span of temperatures, or a question to the manual. Add "window: {ask: …}" to the level of "gearbox".',
        )
    ]


def test_a_window_of_the_steps_own_needs_no_level_but_a_circuit(told):
    own = ("warm", "window: gearbox, between: 80..90 °C")
    assert told(job(own, level="density: 850 kg/m³"), "no level described") == []
    assert told(job(("warm", "between: 80..90 °C"), level="density: 850 kg/m³"), "no level described") == [
        (
            "stop",
            'small.yaml:10: step "warm": "warm" names temperatures, and no circuit followed to them. '
            'Add "window: …", the circuit.',
        )
    ]


RUNS = ", level, running(engine), gears_selected"


def test_an_overflow_opened_under_a_running_engine_says_how_hot_it_is(told):
    assert told(job(("set", "level: gearbox"), start=RUNS), "hot overflow") == [
        (
            "stop",
            'small.yaml:10: step "set": opens the overflow of "Gearbox" with the engine running, and says nothing of '
            'hot fluid over the hand. Write how hot it can be, such as touches: "45 °C", or stand_aside: true.',
        )
    ]


@pytest.mark.parametrize(
    ("step", "level", "start", "count"),
    [
        ("level: gearbox, stand_aside: true", LEVEL, RUNS, 0),
        ('level: gearbox, touches: "45 °C"', LEVEL, RUNS, 0),
        ("level: gearbox", LEVEL, ", level", 0),
        ("level: gearbox", "level: {by: dipstick}", RUNS, 0),
        ("makes: [open(overflow)]", LEVEL, RUNS, 1),
        ("makes: [open(cap)]", LEVEL, RUNS, 0),
    ],
)
def test_when_it_may_run_over_the_hand(told, step, level, start, count):
    assert len(told(job(("set", step), level=level, start=start), "hot overflow")) == count


HOT = "level: {by: overflow_plug, window: {ask: window}}"


@pytest.mark.parametrize(
    ("window", "rest", "count"),
    [("60..80 °C", 'touches: "45 °C"', 1), ("35..45 °C", 'touches: "45 °C"', 0), (None, 'touches: "45 °C"', 0),
     ("60..80 °C", "stand_aside: true", 0), ("min 40 °C", 'touches: "45 °C"', 1)],
)  # fmt: skip
def test_the_windows_own_heat_counts_once_the_manual_has_said_it(told, window, rest, count):
    found = told(job(("set", f"level: gearbox, {rest}"), level=HOT), "hot fluid", answers={"window": window})
    assert len(found) == count
    if count:
        assert f"fluid in its window of {window} can run over the hands. Above 48 °C it burns" in found[0][1]


FILL = ("fill", 'fill: {circuit: gearbox, amount: "4 L"}')


def test_a_filling_whose_level_nothing_sets(told):
    assert told(job(FILL, level="level: {by: dipstick}"), "level never set") == [
        (
            "stop",
            'small.yaml:10: step "fill": fills "Gearbox", whose level no later step sets. The level decides, not the '
            'jug. Add "level: gearbox" to the step that sets it.',
        )
    ]


@pytest.mark.parametrize(
    ("steps", "level", "count"),
    [
        ([FILL, ("set", "level: gearbox")], "level: {by: dipstick}", 0),
        ([("set", "level: gearbox"), FILL], "level: {by: dipstick}", 1),
        ([("both", 'level: gearbox, fill: {circuit: gearbox, amount: "1 L"}')], "level: {by: dipstick}", 0),
        ([FILL], "density: 850 kg/m³", 0),
    ],
)
def test_a_filling_is_followed_by_its_level(told, steps, level, count):
    assert len(told(job(*steps, level=level), "level never set")) == count


def test_the_window_is_asked_before_there_is_no_way_back(told):
    drain, warm = ("drain", "irreversible: true"), ("warm", "window: gearbox")
    [(_, words)] = told(job(drain, warm, level=HOT), "open question", answers={})
    assert words.startswith('small.yaml:5: "At which temperature?" is open, and step "warm" needs it')


def test_an_answer_that_is_no_temperature(told):
    [(_, words)] = told(job(("warm", "window: gearbox"), level=HOT), "unreadable answer", answers={"window": "3 mm"})
    assert "was answered" in words


def test_every_circuit_of_a_vehicle_can_have_its_level_set():
    reading = read(EVERY.read_text(encoding="utf-8"), file="levels.yaml")
    assert [one.message for one in check(reading)] == []
    assert set(Fluid) - {one.fluid for one in reading.sheet.circuits.values()} == {Fluid.FUEL, Fluid.REFRIGERANT}
    assert {step.level for step in reading.sheet.steps} - {None} == set(reading.sheet.circuits)


GONE = {
    "Automatic gearbox": {
        "makes: [gears_selected],": "",
        "needs: [gears_selected], ": "",
        "gears_selected],\n": "],\n",
    },
    "Engine oil": {"after: [stop], ": "", "after: [axle, steer, set]": "after: [axle, steer, set, dipstick]"},
    "Coolant": {"after: [cold]}": "after: [axle]}", '3 min", level: coolant': '3 min", level: coolant, after: [start]'},
    "Differential": {"at_ride_height, outdoors": "outdoors"},
    "Brakes": {"drivable, level": "drivable"},
    "Power steering": {
        "needs: [running(engine), gears_selected],\n    level": "after: [stop], level",
        "axle, steer, set": "axle, set",
    },
}


@pytest.mark.parametrize(("circuit", "changes"), GONE.items(), ids=GONE)
def test_each_is_missed_where_what_it_depends_on_is_gone(circuit, changes):
    text = EVERY.read_text(encoding="utf-8")
    for written, instead in changes.items():
        assert written in text
        text = text.replace(written, instead)
    found = [one.message for one in check(read(text, file="x.yaml")) if one.code == "level reads falsely"]
    assert any(f'sets the level of "{circuit}"' in one for one in found), found
