"""A whole job from the library: a battery empty after a night. The best first action is not the likeliest part."""

from datetime import UTC, datetime

import pytest
from tests.acts.mechanic import Mechanic

from knowngood.acts import book
from knowngood.acts.faults.problem import problem_of
from knowngood.acts.faults.suspects import suspected_of
from knowngood.acts.job import problems
from knowngood.acts.job.run import Standing
from knowngood.acts.tools.prices import Prices
from knowngood.engine.troubleshooting.belief.posterior import Shown, believe
from knowngood.engine.troubleshooting.policy.exact import Policy
from knowngood.report.paper import fill
from knowngood.sheet import library
from knowngood.sheet.reader import read

NOW = datetime(2026, 11, 21, 12, 0, tzinfo=UTC)
SHEET = "battery_drain"
ANSWERS = {
    "sleep_time": "20 min; a door wakes it",
    "power_loss": "radio code; windows",
    "fuse_plan": "the plan in the lid",
    "airbag_wait": "15 min",
    "battery_kind": "70 Ah, vented to outside",
    "clamp_torque": "6 N·m ± 1",
    "holder_torque": "12 N·m ± 2",
    "alternator_torque": "40 N·m ± 4",
    "belt_way": "the picture under the bonnet",
}
METERS = {"multimeter": "0.5 % + 2 digits, 0.01 V", "ammeter": "1 % + 2 digits, 1 mA"}
RESTED = {"rested": "10", "temperature": "12 ± 3", "battery": "flooded"}
SOUND = {
    "charge_found": {"read": "12.1 V", **RESTED},
    "charging": {"read": "14.3 14.3 V"},
    "drop_plus": {"read": "0.06 V"},
    "drop_ground": {"read": "0.03 V"},
    "drain": {"read": "22 mA", "locked": "60"},
    "charge_held": {"read": "12.66 V", **RESTED},
    "drain_left": {"read": "21 mA", "locked": "60"},
}
CHOSEN = {"case": "sound", "fuse_group": "no_fuse", "replace_battery": "no"}
FOUND = {
    "an old battery": (
        {"charge_held": {"read": "11.9 V", **RESTED}}, {"replace_battery": "yes"},
        {"battery_out", "battery_in", "waste"},
    ),
    "a lamp": (
        {"drain": {"read": "412 mA", "locked": "60"}}, {"fuse_group": "lamps"},
        {"pull_fuses", "boot_trim_off", "mend_lamp", "boot_trim_on"},
    ),
    "a unit awake": (
        {"drain": {"read": "230 mA", "locked": "60"}}, {"fuse_group": "units"},
        {"pull_fuses", "sill_trim_off", "carpet_up", "look_unit", "mend_unit", "carpet_down"},
    ),
    "something added": (
        {"drain": {"read": "120 mA", "locked": "60"}}, {"fuse_group": "sockets"}, {"pull_fuses", "unplug_added"},
    ),
    "no charge": (
        {"charging": {"read": "12.4 V"}}, {}, {"air_box_off", "alternator_out", "alternator_in", "air_box_on"},
    ),
    "everything at once": (
        {"charging": {"read": "12.4 V"}, "drain": {"read": "800 mA", "locked": "60"}},
        {"case": "bulged", "replace_battery": "yes", "fuse_group": "no_fuse"},
        {"leave_bulged", "pull_fuses", "write_no_fuse", "battery_out", "battery_in", "waste", "air_box_off",
         "alternator_out", "alternator_in", "air_box_on"},
    ),
    "nothing": ({}, {}, set()),
}  # fmt: skip
ONLY_WHEN = {one for _, _, steps in FOUND.values() for one in steps}


def mechanic(garage, read=(), chosen=(), answers=ANSWERS):
    return Mechanic(
        garage, SHEET, meters=METERS, answers=answers, read={**SOUND, **dict(read)},
        chosen={**CHOSEN, **dict(chosen)}, complaint="Empty after a night", quote="330",
    )  # fmt: skip


@pytest.mark.parametrize(("read", "chosen", "also"), FOUND.values(), ids=FOUND)
def test_from_the_complaint_to_the_end(garage, read, chosen, also):
    worker = mechanic(garage, read, chosen)
    assert [one for one in problems.open_problems(garage, worker.job) if one.severity == "stop"] == []
    done = worker.work()
    run = worker.job.run
    assert set(run.standing.values()) <= {Standing.DONE, Standing.RULED_OUT}
    assert {one for one, how in run.standing.items() if how is Standing.RULED_OUT} == ONLY_WHEN - also
    assert done.index("read_drain") < done.index("clamp_off") < done.index("clamp_on") < done.index("drive")
    worker.give("finished", words="starts as it should")
    told = "\n".join(words for title, rows in book.sections(worker.job) for words in (title, *rows))
    for words in ("Current while everything sleeps", "battery clamps", "Finished."):
        assert words in told
    assert fill.book(garage, worker.job).startswith(b"%PDF")


def test_a_current_in_doubt_holds_nobody_up(garage):
    worker = mechanic(garage, {"drain": {"read": "50 mA", "locked": "60"}})
    done = worker.work()
    assert done[-1] == "watch_charge"
    assert {step.id for step in worker.job.run.left} == {
        "pull_fuses", "write_no_fuse", "boot_trim_off", "mend_lamp", "boot_trim_on", "sill_trim_off", "carpet_up",
        "look_unit", "mend_unit", "carpet_down", "unplug_added",
    }  # fmt: skip


def test_a_manual_that_says_nothing_strands_nobody(garage):
    worker = mechanic(garage, answers=dict.fromkeys(ANSWERS, ""))
    worker.work()
    assert worker.job.run.finished


@pytest.fixture(scope="module")
def sheet():
    return read(library.text(SHEET), file=f"{SHEET}.yaml").sheet


@pytest.fixture(scope="module")
def problem(sheet):
    return problem_of(sheet)


def test_the_best_first_action_is_a_cheap_test_and_not_the_likeliest_part(problem):
    belief = believe(problem)
    assert belief.likeliest == "worn"
    policy = Policy(problem)
    costs = {one.action.keys: one.cost for one in policy.choices()}
    assert policy.next().keys == ("drains",)
    assert costs["drains",] < costs["new_battery",] - 5.0
    assert policy.cost < problem.cost(problem.shop.price)


def test_what_is_found_turns_the_likeliest_suspect_over(problem):
    drained = believe(problem, [Shown("drains", "yes")])
    assert drained.chances["worn"] < believe(problem).chances["worn"] / 2.0
    assert believe(problem, [Shown("drains", "yes"), Shown("fuses", "units")]).likeliest == "awake"


def test_what_was_measured_of_the_charging_is_kept_when_its_cables_are_found_sound(sheet):
    found = suspected_of(sheet, [(one, "no") for one in ("not_charging", "plus_lost", "ground_lost")])
    (alternator,) = (one for one in found.suspects if one.key == "no_charge")
    assert alternator.after < 0.02 < alternator.before


def test_a_price_of_the_garage_comes_before_the_sheets(sheet, problem):
    stated = problem_of(sheet, prices=Prices({"battery": 128.0})).repair_of
    assert (problem.repair_of["new_battery"].price.money, stated["new_battery"].price.money) == (140.0, 128.0)
    assert stated["new_alternator"].price.money == 260.0
