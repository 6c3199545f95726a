"""How a vehicle stands, over all its jobs: what contradicts it is a stop, one tap says how it stands now."""

import pytest
from tests.acts.test_gearbox_job import mechanic
from tests.garages import giving
from tests.refusing import refused

from knowngood.acts import book
from knowngood.acts.hand_over import hand_over
from knowngood.acts.job import planning, problems
from knowngood.acts.job.run import Standing, undone
from knowngood.acts.job.standing import Against, open_words, said_together
from knowngood.acts.job.vehicle_log import elsewhere, vehicle_standing
from knowngood.acts.record.entries import Entry
from knowngood.acts.record.take import take
from knowngood.sheet import library
from knowngood.sheet.facts import WORDS
from knowngood.sheet.standing import DENIED_BY, MUST_NOT_STAY, NO_LONGER, SET_UP
from knowngood.store.event import Event

DRIVE = """
sheet: 1
id: drive
title: "Drive it"
steps:
  - {id: go, do: "Drive a quarter of an hour", zone: inside, time: "1 2 3 min", needs: [drivable]}
"""
BULB = """
sheet: 1
id: bulb
title: "A bulb"
steps:
  - {id: swap, do: "New bulb in", zone: top, time: "1 2 3 min", needs: [parked]}
"""
COOLANT = """
sheet: 1
id: coolant
title: "Coolant out"
circuits:
  coolant: {name: "Coolant", fluid: coolant, holds: "6 L ± 1", refill: coolant.cap}
steps:
  - {id: prove, do: "Cap off", zone: top, time: "1 2 3 min", makes: [proven(coolant.cap)]}
  - {id: out, do: "Drain it", zone: top, time: "1 2 3 min", drain: coolant, needs: [proven(coolant.cap)],
     makes: [drained(coolant)]}
  - {id: in, do: "Fill it", zone: top, time: "1 2 3 min", needs: [drained(coolant)], ends: [drained(coolant)],
     fill: {circuit: coolant, amount: "6 L ± 1"}}
  - {id: flush, do: "Flush the empty circuit", zone: top, time: "1 2 3 min", needs: [drained(coolant)]}
"""
ENGINE = """
sheet: 1
id: engine
title: "Run it"
steps:
  - {id: "on", do: "Engine on", zone: inside, time: "1 2 3 min", makes: [running(engine)]}
  - {id: "off", do: "Engine off", zone: inside, time: "1 2 3 min", needs: [running(engine)], ends: [running(engine)]}
"""
LIFT = """
sheet: 1
id: lift
title: "Lift the front"
steps:
  - {id: up, do: "Lift the front", zone: around, time: "1 2 3 min", makes: [raised(front)], ends: [parked, drivable]}
  - {id: stands, do: "Set it on stands", zone: around, time: "1 2 3 min", needs: [raised(front)],
     makes: [on_stands(front)]}
  - {id: shake, do: "Shake it", zone: around, time: "1 2 3 min", needs: [on_stands(front)], makes: [shaken(stands)]}
  - {id: look, do: "Look underneath", zone: under, time: "1 2 3 min", needs: [on_stands(front), shaken(stands)]}
  - {id: down, do: "Lower it", zone: around, time: "1 2 3 min", needs: [on_stands(front)], after: [look],
     ends: [on_stands(front), raised(front)], makes: [parked, drivable]}
"""
ON_STANDS = """
sheet: 1
id: down
title: "Lower what stands"
start: [raised(front), on_stands(front)]
steps:
  - {id: lower, do: "Lower it now", zone: around, time: "1 2 3 min", needs: [on_stands(front)],
     ends: [on_stands(front), raised(front)]}
  - {id: drive, do: "Drive off", zone: inside, time: "1 2 3 min", needs: [not raised(front)]}
"""


class Yard:
    """One vehicle, and as many jobs as are opened on it."""

    def __init__(self, garage):
        self.garage, self.give = garage, giving(garage)
        self.give("vehicle_named", "vehicle/own", name="Own")

    def open(self, name, sheet, **opened):
        self.give("job_opened", f"job/{name}", vehicle="own", sheet=sheet, sheet_file=f"{name}.yaml", **opened)

    def begin(self, name, sheet, *steps, overrule=False):
        """Start a job and do some steps. Small sheets break rules of their own; `overrule` goes past all stops."""
        self.open(name, sheet)
        for one in self.against(name):
            if one.severity == "stop" and (overrule or not one.code.startswith("stands otherwise")):
                self.overrule(name, one)
        self.give("started", f"job/{name}")
        for step in steps:
            self.done(name, step)

    def done(self, name, step, **fields):
        return self.give("step_done", f"job/{name}", step=step, **fields)

    def overrule(self, name, stop):
        self.give("overruled", f"job/{name}", problem=stop.key, reason="soon put right")

    def job(self, name):
        return self.garage.job(name)

    def against(self, name):
        return problems.open_problems(self.garage, self.job(name))

    def stops(self, name):
        return [one for one in self.against(name) if one.severity == "stop" and one.code.startswith("stands otherwise")]

    def cautions(self, name):
        return [
            one for one in self.against(name) if one.severity == "caution" and one.code.startswith("stands otherwise")
        ]

    def tap(self, name, answer):
        return self.give(answer.kind, f"job/{name}", **dict(answer.fields))


@pytest.fixture
def yard(garage):
    return Yard(garage)


@pytest.fixture
def on_stands(yard):
    yard.begin("one", LIFT, "up", "stands", "shake")
    return yard


def only_tap(problem):
    [tap] = problem.answers
    return tap


def test_every_word_that_must_not_stay_has_a_tap():
    assert set(NO_LONGER) == set(MUST_NOT_STAY) >= set(SET_UP)
    assert {*DENIED_BY, *(one for words in DENIED_BY.values() for one in words)} <= set(WORDS)


def test_a_job_that_drives_is_stopped_while_the_vehicle_is_on_four_stands(garage):
    worker = mechanic(garage, "fluid")
    worker.give("started")
    while (step := worker.job.run.now).id != "close_overflow":
        worker.do(step)
    second = {"vehicle": "own", "library": "automatic_gearbox", "scope": "strainer"}
    worker.give("job_opened", "job/second", **second)
    stops = [one for one in problems.open_problems(garage, garage.job("second")) if one.severity == "stop"]
    stands = next(one for one in stops if one.answers[0].words == "It is on its wheels again")
    assert "Front on two stands since" in stands.message
    assert "rear on two stands since" in stands.message
    assert f"by “{worker.job.title}” (“{worker.job.sheet.step('stands_front').do}”)" in stands.message
    running = next(one for one in stops if one.answers[0].words == "The engine is off")
    assert "Engine running since" in running.message
    assert any(one.answers[0].words == "All of that is put right again" for one in stops)
    words = refused(worker.give, "started", "job/second")[""]
    assert words.endswith("Mend each, or write down why you go on all the same.")


def test_a_tap_settles_it_and_both_jobs_know(on_stands):
    on_stands.open("two", DRIVE)
    [stop] = on_stands.stops("two")
    assert "this job takes it for parked on firm ground" in stop.message
    on_stands.tap("two", only_tap(stop))
    assert on_stands.stops("two") == []
    on_stands.give("started", "job/two")
    on_stands.done("two", "go")
    run = on_stands.job("one").run
    assert run.facts == {"parked"}
    assert {one: how for one, how in run.standing.items() if how is not Standing.LATER} == {"up": Standing.NOW}
    for step in ("up", "stands", "shake", "look", "down"):
        assert on_stands.job("one").run.now.id == step
        on_stands.done("one", step)
    assert on_stands.job("one").run.finished


def test_the_tap_can_be_taken_back_and_the_book_of_both_names_it(on_stands):
    on_stands.open("two", DRIVE)
    [kept, of_vehicle] = on_stands.tap("two", only_tap(on_stands.stops("two")[0]))
    assert of_vehicle.stream == "vehicle/own"
    for name in ("one", "two"):
        told = dict(book.sections(on_stands.job(name)))
        assert told["How it stands"][0].startswith("It is on its wheels again: said on ")
        assert told["How it stands"][0].endswith("in “Drive it”")
    assert (kept.id, "How it stands: It is on its wheels again") in book.may_be_taken_back(on_stands.job("two"))
    on_stands.give("withdrawn", "job/two", event=kept.id)
    assert len(on_stands.stops("two")) == 1
    assert on_stands.job("one").run.now.id == "look"


def test_a_bulb_while_coolant_is_out_starts(yard):
    yard.begin("one", COOLANT, "prove", "out")
    yard.open("two", BULB)
    assert yard.stops("two") == []
    yard.give("started", "job/two")
    yard.done("two", "swap")


def test_nobody_runs_the_engine_or_drives_while_coolant_is_out(yard):
    yard.begin("one", COOLANT, "prove", "out")
    yard.open("two", ENGINE)
    [stop] = yard.stops("two")
    assert (stop.step, only_tap(stop).words) == ("on", "Filled again: coolant")
    yard.open("three", DRIVE)
    [stop] = yard.stops("three")
    assert (stop.step, only_tap(stop).words) == ("go", "All of that is put right again")
    yard.done("one", "in")
    assert yard.stops("two") == yard.stops("three") == []


def test_what_rows_share_is_said_once():
    out = (" since noon", ", by “Hot”", " (“Drain it”)")
    rows = [
        Against(
            "off(battery)", False, True, (), "g", "battery off", " since ten", ", by “Hot”", " (“Off”)", "“Go” needs it"
        ),
        Against("drained(coolant)", False, True, (), "g", "coolant drained", *out, "“Go” needs it"),
        Against("open(cap)", False, True, (), "g", "cap open", *out, "“Go” needs it"),
        Against("chocked(rear)", False, True, (), "h", "rear chocked", "", "", "", "this job would do so again"),
    ]
    assert said_together(rows) == (
        "Battery off since ten, by “Hot” (“Off”); coolant drained, cap open since noon (“Drain it”); “Go” needs it. "
        "Rear chocked; this job would do so again."
    )


def test_a_start_overruled_is_no_word_on_the_vehicle(on_stands):
    on_stands.open("two", DRIVE)
    [stop] = on_stands.stops("two")
    on_stands.overrule("two", stop)
    on_stands.give("started", "job/two")
    words = refused(on_stands.done, "two", "go")[""]
    assert words.startswith("The vehicle stands otherwise. Front on two stands since")


def test_a_start_that_says_so_itself_is_no_contradiction(on_stands):
    on_stands.open("two", ON_STANDS)
    assert on_stands.stops("two") == []


def test_what_another_job_changed_meanwhile_stops_the_step_that_needs_it(on_stands):
    on_stands.begin("two", ON_STANDS, "lower")
    words = refused(on_stands.done, "one", "look")[""]
    assert "No longer so: front on two stands since" in words
    assert "by “Lower what stands” (“Lower it now”)" in words
    again, wheels = on_stands.cautions("one")[0].answers
    assert (again.words, wheels.words) == ("So again: front on two stands", "It is on its wheels again")
    on_stands.tap("one", again)
    on_stands.done("one", "look")


def test_the_other_tap_sets_the_first_job_back_to_where_it_lifts(on_stands):
    on_stands.begin("two", ON_STANDS, "lower")
    on_stands.tap("one", on_stands.cautions("one")[0].answers[1])
    assert on_stands.job("one").run.now.id == "up"


def test_an_engine_that_another_job_left_running_stops_who_goes_under(on_stands):
    on_stands.begin("two", ENGINE, overrule=True)
    refused(on_stands.done, "two", "on")  # on stands, and somebody may lie under it
    on_stands.tap("two", next(iter(on_stands.cautions("two")[0].answers)))
    on_stands.done("two", "on")
    assert on_stands.job("one").run.now.id == "up"
    words = refused(on_stands.done, "one", "up")[""]
    assert "Engine running since" in words


def test_work_that_is_said_to_be_done_is_a_caution_where_the_other_job_does_it(yard):
    yard.begin("one", COOLANT, "prove", "out")
    yard.open("two", DRIVE)
    yard.tap("two", only_tap(yard.stops("two")[0]))
    told = yard.cautions("one")
    assert [one.step for one in told] == ["in"]
    assert "look first whether that is done already" in told[0].message
    refused(yard.done, "one", "flush")  # it needs it empty, and does not fill it
    yard.done("one", "in")


def test_a_job_begun_by_a_former_version_goes_on_with_cautions(on_stands):
    garage = on_stands.garage
    on_stands.open("old", DRIVE)
    old = Event.new(id="f" * 32, stream="job/old", kind="started", device="this computer", device_seq=0,
                    happened=garage.now(), recorded=garage.now(), data={})  # fmt: skip
    garage.store.append([old])
    assert on_stands.stops("old") == []
    assert [one.step for one in on_stands.cautions("old")] == ["go"]
    on_stands.done("old", "go")


def test_what_stands_open_names_job_and_step(on_stands):
    moves = on_stands.garage.moves_of("own")
    assert set(vehicle_standing(moves)) == {"raised(front)", "on_stands(front)"}
    [words] = open_words(moves)
    assert words.startswith("Front on two stands since 21 November 2026, ")
    assert words.endswith("by “Lift the front” (“Set it on stands”)")
    on_stands.open("two", BULB)
    assert words in dict(hand_over(on_stands.garage, on_stands.job("two")))["Stands open"]
    on_stands.done("one", "look")
    on_stands.done("one", "down")
    assert open_words(on_stands.garage.moves_of("own")) == []


def test_bolts_that_were_loosened_and_not_signed_stand_open(garage):
    worker = mechanic(garage, "fluid")
    worker.give("started")
    while (step := worker.job.run.now).id != "tray_off":
        worker.do(step)
    worker.do(step)
    assert "loose(undertray)" in vehicle_standing(garage.moves_of("own"))
    worker.give("bolts_signed", fastener="undertray")
    assert "loose(undertray)" not in vehicle_standing(garage.moves_of("own"))


def test_a_jobs_own_newer_step_is_the_newest_word(on_stands):
    on_stands.begin("two", ON_STANDS, "lower")
    known = elsewhere(on_stands.garage.moves_of("own"), "one")
    assert set(known.gone) == {"raised(front)", "on_stands(front)"}
    assert (
        elsewhere(on_stands.garage.moves_of("own"), "two").holds.keys() & {"raised(front)", "on_stands(front)"} == set()
    )


def test_what_is_set_up_falls_with_what_only_held_on_it():
    sheet = planning.read_sheet(library.text("automatic_gearbox"), "g.yaml").sheet
    fallen = undone(sheet, "raised(front)")
    assert set(fallen.facts) == {"raised(front)", "on_stands(front)", "level", "shaken(stands)"}
    assert set(fallen.steps) == {"park", "lift_front", "stands_front", "shake", "stands_level"}
    assert set(undone(sheet, "running(engine)").facts) == {"running(engine)", "gears_selected"}


def test_words_that_no_vehicle_is_known_by_are_refused(on_stands):
    on_stands.open("two", DRIVE)
    bad = {"stream": "job/two", "words": "It flies", "ends": "flying(front)"}
    assert "flying(front)" in refused(on_stands.give, "stands_now", **bad)[""]
    assert "nothing" in refused(on_stands.give, "stands_now", "job/two", words="It is so")[""]


def test_the_same_tap_twice_is_kept_once(on_stands):
    on_stands.open("two", DRIVE)
    entry = Entry("e" * 32, "job/two", "stands_now", dict(only_tap(on_stands.stops("two")[0]).fields))
    assert take(on_stands.garage, entry)[0] == take(on_stands.garage, entry)[0]


def test_a_start_taken_back_lowers_no_vehicle(on_stands):
    on_stands.open("two", DRIVE)
    before = on_stands.stops("two")
    assert before
    started = on_stands.job("one").state.started
    on_stands.give("withdrawn", "job/one", event=started.id)
    assert not on_stands.job("one").started
    assert [stop.key for stop in on_stands.stops("two")] == [stop.key for stop in before]
