"""A second whole job from the library: an automatic gearbox, from the first code to the end, in each of its sizes."""

from datetime import UTC, datetime

import pytest
from tests.acts.mechanic import Mechanic

from knowngood.acts import book
from knowngood.acts.job import planning, problems
from knowngood.acts.job.run import Standing
from knowngood.report.paper import fill

NOW = datetime(2026, 11, 21, 12, 0, tzinfo=UTC)
SHEET = "automatic_gearbox"
ANSWERS = {
    "jack_front": "crossmember in front; seams behind",
    "jack_rear": "crossmember behind; seams before",
    "plugs": "fill at the side; drain and overflow in the pan",
    "fluid_kind": "the name on the plate",
    "fluid_total": "8.5 L ± 0.3",
    "refill_amount": "3.7 L ± 0.5",
    "fluid_density": "850 kg/m³ ± 10",
    "window": "35..45 °C",
    "selector": "each for 5 s, back to P",
    "relearn": "nothing",
    "fill_torque": "30 N·m ± 3",
    "drain_torque": "26 N·m ± 2",
    "overflow_torque": "26 N·m ± 2",
    "undertray_torque": "8 N·m ± 1",
    "pan_torque": "9 N·m ± 1",
    "pan_order": "crosswise, three passes",
    "strainer_torque": "6 N·m ± 1",
    "pan_length": "350 mm ± 20",
    "pan_width": "250 mm ± 20",
    "plug_along": "100 mm ± 20",
    "plug_across": "50 mm ± 20",
}
READ = {
    "tilt_along": {"read": "0.1 deg", "turned": "0.0"},
    "tilt_across": {"read": "-0.1 deg", "turned": "0.1"},
    "pan_warmth": {"read": "36 36.5 36.2 °C", "surroundings": "15 ± 3"},
    "solenoid_coil": {"read": "13.9 13.8 14.0 ohm", "zero": "0.3 ohm", "part": "32 ± 4 °C"},
}
MOVED = {
    "drain": ("3.4 L", "34 °C"),
    "pan_off": ("0.6 L", "32 °C"),
    "refill": ("3.6 L", "15 °C"),
    "add_fluid": ("0.3 L", "15 °C"),
}
METERS = {
    "inclinometer": "0 % + 1 digits, 0.1 deg",
    "infrared": "1.5 % + 0 digits + 1.5 °C, 0.1 °C",
    "multimeter": "0.8 % + 2 digits, 0.1 ohm",
}
CHOSEN = {"fluid_look": "dark", "debris": "fuzz", "overflow": "ran"}
COMING_OFF = {
    "pan_off", "look_magnets", "keep_debris", "measure_solenoids", "strainer_out", "clean_pan", "strainer_in", "pan_on",
}  # fmt: skip


def mechanic(garage, scope, *, answers=ANSWERS, chosen=(), read=(), quote="900"):
    return Mechanic(
        garage, SHEET, meters=METERS, answers=answers, read={**READ, **dict(read)}, chosen={**CHOSEN, **dict(chosen)},
        moved=MOVED, scope=scope, quote=quote,
    )  # fmt: skip


def stops(job, garage):
    return [one for one in problems.open_problems(garage, job) if one.severity == "stop"]


def test_a_job_without_a_quote_is_told_so_and_may_start(garage):
    [problem] = problems.open_problems(garage, mechanic(garage, "fluid", quote="").job)
    assert (problem.code, problem.severity) == ("no quote", "note")
    assert problem.message.endswith("Ask one and write it in the job, or the most that you would pay.")


@pytest.mark.parametrize(("scope", "left_out"), [("strainer", set()), ("fluid", COMING_OFF), ("", set())])
def test_from_the_first_code_to_the_end(garage, scope, left_out):
    worker = mechanic(garage, scope)
    assert problems.open_problems(garage, worker.job) == []
    done = worker.work()
    run = worker.job.run
    assert set(run.standing.values()) == {Standing.DONE, Standing.RULED_OUT}
    assert done == [step for step in run.progress.order if run.standing[step] is Standing.DONE]
    assert {step.id for step in worker.job.sheet.steps} - set(run.standing) == left_out
    assert {one for one, how in run.standing.items() if how is Standing.RULED_OUT} == (
        {"adjust_along", "adjust_across", "burnt_fluid", "milky_fluid", "keep_debris", "add_fluid"} - left_out
    )
    worker.give("finished", words="shifts as before", watch_rest="yes")
    assert worker.job.state.finished is not None


def test_every_bad_finding_leads_to_the_end_as_well(garage):
    chosen = {"fluid_look": "burnt", "debris": "chips", "overflow": "nothing"}
    tilted = {"read": "1.4 deg", "turned": "-1.3"}
    worker = mechanic(garage, "strainer", chosen=chosen, read={"tilt_along": tilted, "tilt_across": tilted})
    done = worker.work()
    assert {"adjust_along", "adjust_across", "burnt_fluid", "keep_debris", "add_fluid"} <= set(done)
    assert done.index("adjust_across") < done.index("stands_level") < done.index("drain")
    assert done.index("open_overflow") < done.index("add_fluid") < done.index("close_overflow")
    worker.give("finished", words="to be watched", watch_rest="yes")


def test_an_end_set_higher_is_read_again_until_it_stands_level(garage):
    worker = mechanic(garage, "fluid")
    worker.give("started")
    while (step := worker.job.run.now).id != "measure_tilt":
        worker.do(step)
    worker.read["tilt_along"] = {"read": "1.4 deg", "turned": "-1.3"}
    worker.do(step)
    assert worker.job.run.now.id == "adjust_along"
    worker.give("reading_judged", limit="tilt_along", read="0.9 deg", turned="-0.8")
    assert worker.job.run.now.id == "adjust_along"
    worker.give("reading_judged", limit="tilt_along", **READ["tilt_along"])
    assert worker.job.run.now.id == "stands_level"


def test_a_manual_that_says_nothing_strands_nobody(garage):
    worker = mechanic(garage, "strainer", answers=dict.fromkeys(ANSWERS, ""))
    assert stops(worker.job, garage) == []
    worker.work()
    assert worker.job.run.finished
    assert "the manual states no torque" in "\n".join(text(worker.job))


def test_the_window_is_among_what_must_be_looked_up_before_the_start(garage):
    some = {ask: typed for ask, typed in ANSWERS.items() if ask not in ("window", "pan_length")}
    job = mechanic(garage, "fluid", answers=some).job
    assert [one.message.partition('"')[2].partition('"')[0] for one in stops(job, garage)] == [
        "Temperature of the fluid while the level is set"
    ]
    asked = planning.asks_of(job.sheet, job.scope)
    assert (asked["window"], asked["pan_length"]) == (
        ["follow_warmth", "add_fluid", "close_overflow"],
        ["follow_warmth", "add_fluid", "close_overflow"],
    )


def test_what_the_manual_says_stands_in_the_circuit(garage):
    circuit = mechanic(garage, "fluid").job.sheet.circuits["gearbox"]
    assert (circuit.level.window.lower, circuit.level.window.upper) == (35.0, 45.0)
    assert (circuit.level.pan.length.value, circuit.level.pan.width.half_width) == (350.0, 20.0)
    assert circuit.density.value == pytest.approx(0.85)
    assert circuit.left_in["strainer"].value == 0.2


def text(job):
    return [words for title, rows in book.sections(job) for words in (title, *rows)]


def test_the_book_has_what_was_found_and_what_was_left(garage):
    worker = mechanic(garage, "strainer", chosen={"overflow": "nothing"})
    worker.work()
    worker.give("finished", words="shifts as before", watch_rest="yes")
    told = "\n".join(text(worker.job))
    for words in (
        "Tilt along the vehicle",
        "pan bolts",
        "3.4 L",
        "0.6 L",
        "3.6 L",
        "0.3 L",
        "What came out of the overflow? Nothing, or single drops from the start.",
        "Finished.",
    ):
        assert words in told
    assert fill.book(garage, worker.job).startswith(b"%PDF")
