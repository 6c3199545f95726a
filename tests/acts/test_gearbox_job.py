"""A second whole job from the library: an automatic gearbox, from the first code to the end, in each of its sizes."""

import itertools
from datetime import UTC, datetime

import pytest

from knowngood.acts import book, planning
from knowngood.acts.entries import Entry
from knowngood.acts.garage import open_garage
from knowngood.acts.record import take
from knowngood.acts.run import Standing
from knowngood.report import fill

NOW = datetime(2026, 11, 21, 12, 0, tzinfo=UTC)
SHEET, JOB, VEHICLE = "automatic_gearbox", "job/gearbox", "vehicle/own"
ANSWERS = {
    "jacking_points": "crossmember in front; seams behind",
    "plugs": "fill at the side; drain and overflow in the pan",
    "fluid_kind": "the name on the plate",
    "fluid_total": "8.5 L ± 0.3",
    "refill_amount": "4.5 L ± 0.5",
    "fluid_density": "850 kg/m³ ± 10",
    "window": "35..45 °C",
    "selector": "each for 5 s, back to P",
    "relearn": "nothing",
    "fill_torque": "30 N·m ± 3",
    "drain_torque": "20 N·m ± 2",
    "overflow_torque": "20 N·m ± 2",
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
}
MOVED = {
    "drain": ("3.4 L", "34 °C"),
    "pan_off": ("0.6 L", "32 °C"),
    "refill": ("3.6 L", "15 °C"),
    "add_fluid": ("0.3 L", "15 °C"),
}
METERS = {"inclinometer": "0 % + 1 digits, 0.1 deg", "infrared": "1.5 % + 0 digits + 1.5 °C, 0.1 °C"}
CHOSEN = {"fluid_look": "dark", "debris": "fuzz", "overflow": "ran"}
COMING_OFF = {"pan_off", "look_magnets", "keep_debris", "strainer_out", "clean_pan", "strainer_in", "pan_on"}


@pytest.fixture
def garage(tmp_path):
    opened = open_garage(tmp_path / "garage", clock=lambda: NOW)
    yield opened
    opened.store.close()


class Mechanic:
    """Does a job the way a person does it: step after step, each with what it asks for."""

    def __init__(self, garage, scope, *, answers=ANSWERS, chosen=(), read=()):
        self.garage, self.number = garage, itertools.count(1)
        self.chosen, self.read = {**CHOSEN, **dict(chosen)}, {**READ, **dict(read)}
        self.give("vehicle_named", VEHICLE, name="Own")
        self.give("described", VEHICLE, text="estate", odometer="120000 km", driven="rear")
        for name, line in METERS.items():
            self.give("instrument_added", "toolbox", name=name, line=line)
        for number, span in enumerate(("2..25 N·m", "20..120 N·m")):
            self.give("wrench_added", "toolbox", name=f"wrench {number}", range=span)
        self.give("job_opened", vehicle="own", library=SHEET, scope=scope)
        for ask, typed in answers.items():
            self.give("answered", ask=ask, typed=typed)
        for part in self.job.sheet.parts:
            self.give("kit_got", part=part)

    @property
    def job(self):
        return self.garage.job("gearbox")

    def give(self, kind, stream=JOB, **fields):
        return take(self.garage, Entry(f"{next(self.number):032x}", stream, kind, fields))

    def work(self):
        """Do every step that comes next, and return their ids; what is read out of limits is read again once mended."""
        self.give("started")
        done = []
        while step := self.job.run.now:
            self.do(step)
            done.append(step.id)
        return done

    def do(self, step):
        for limit in step.read:
            self.give("reading_judged", step=step.id, limit=limit, **self.read[limit])
        fields = {"step": step.id}
        if step.decide:
            fields["choice"] = self.chosen[step.decide.id]
        if step.drain or step.fill:
            fields["amount"], fields["fluid_c"] = MOVED[step.id]
        self.give("step_done", **fields)


def stops(job, garage):
    return [one for one in planning.open_problems(garage, job) if one.severity == "stop"]


@pytest.mark.parametrize(("scope", "left_out"), [("strainer", set()), ("fluid", COMING_OFF), ("", set())])
def test_from_the_first_code_to_the_end(garage, scope, left_out):
    mechanic = Mechanic(garage, scope)
    assert planning.open_problems(garage, mechanic.job) == []
    done = mechanic.work()
    run = mechanic.job.run
    assert set(run.standing.values()) == {Standing.DONE, Standing.RULED_OUT}
    assert done == [step for step in run.progress.order if run.standing[step] is Standing.DONE]
    assert {step.id for step in mechanic.job.sheet.steps} - set(run.standing) == left_out
    assert {one for one, how in run.standing.items() if how is Standing.RULED_OUT} == (
        {"adjust_along", "adjust_across", "burnt_fluid", "milky_fluid", "keep_debris", "add_fluid"} - left_out
    )
    mechanic.give("finished", words="shifts as before")
    assert mechanic.job.state.finished is not None


def test_every_bad_finding_leads_to_the_end_as_well(garage):
    chosen = {"fluid_look": "burnt", "debris": "chips", "overflow": "nothing"}
    tilted = {"read": "1.4 deg", "turned": "-1.3"}
    mechanic = Mechanic(garage, "strainer", chosen=chosen, read={"tilt_along": tilted, "tilt_across": tilted})
    done = mechanic.work()
    assert {"adjust_along", "adjust_across", "burnt_fluid", "keep_debris", "add_fluid"} <= set(done)
    assert done.index("adjust_across") < done.index("stands_level") < done.index("drain")
    assert done.index("open_overflow") < done.index("add_fluid") < done.index("close_overflow")
    mechanic.give("finished", words="to be watched")


def test_an_end_set_higher_is_read_again_until_it_stands_level(garage):
    mechanic = Mechanic(garage, "fluid")
    mechanic.give("started")
    while (step := mechanic.job.run.now).id != "measure_tilt":
        mechanic.do(step)
    mechanic.read["tilt_along"] = {"read": "1.4 deg", "turned": "-1.3"}
    mechanic.do(step)
    assert mechanic.job.run.now.id == "adjust_along"
    mechanic.give("reading_judged", limit="tilt_along", read="0.9 deg", turned="-0.8")
    assert mechanic.job.run.now.id == "adjust_along"
    mechanic.give("reading_judged", limit="tilt_along", **READ["tilt_along"])
    assert mechanic.job.run.now.id == "stands_level"


def test_a_manual_that_says_nothing_strands_nobody(garage):
    mechanic = Mechanic(garage, "strainer", answers=dict.fromkeys(ANSWERS, ""))
    assert stops(mechanic.job, garage) == []
    mechanic.work()
    assert mechanic.job.run.finished
    assert "the manual states no torque" in "\n".join(text(mechanic.job))


def test_the_window_is_among_what_must_be_looked_up_before_the_start(garage):
    some = {ask: typed for ask, typed in ANSWERS.items() if ask not in ("window", "pan_length")}
    job = Mechanic(garage, "fluid", answers=some).job
    assert [one.message.partition('"')[2].partition('"')[0] for one in stops(job, garage)] == [
        "Temperature of the fluid while the level is set"
    ]
    asked = planning.asks_of(job.sheet, job.scope)
    assert (asked["window"], asked["pan_length"]) == (
        ["follow_warmth", "add_fluid", "close_overflow"],
        ["follow_warmth", "add_fluid", "close_overflow"],
    )


def test_what_the_manual_says_stands_in_the_circuit(garage):
    circuit = Mechanic(garage, "fluid").job.sheet.circuits["gearbox"]
    assert (circuit.level.window.lower, circuit.level.window.upper) == (35.0, 45.0)
    assert (circuit.level.pan.length.value, circuit.level.pan.width.half_width) == (350.0, 20.0)
    assert circuit.density.value == pytest.approx(0.85)
    assert circuit.left_in["strainer"].value == 0.2


def text(job):
    return [words for title, rows in book.sections(job) for words in (title, *rows)]


def test_the_book_has_what_was_found_and_what_was_left(garage):
    mechanic = Mechanic(garage, "strainer", chosen={"overflow": "nothing"})
    mechanic.work()
    mechanic.give("finished", words="shifts as before")
    told = "\n".join(text(mechanic.job))
    for words in (
        "Tilt along the vehicle",
        "pan bolts",
        "3.4 L",
        "0.6 L",
        "3.6 L",
        "0.3 L",
        "overflow: nothing",
        "Finished.",
    ):
        assert words in told
    assert fill.book(garage, mechanic.job).startswith(b"%PDF")
