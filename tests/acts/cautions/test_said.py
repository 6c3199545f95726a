"""Which cautions a step carries by what it does: said where a fact begins or is worked on, once, and nowhere else."""

import textwrap

import pytest
from tests.garages import giving

from knowngood.acts.cautions.equipment import ANSWERS, EQUIPMENT
from knowngood.acts.cautions.said import cautions_of
from knowngood.acts.cautions.table import MEMORY, ROWS
from knowngood.acts.job.planning import order
from knowngood.acts.job.run_document import document
from knowngood.engine.troubleshooting.model.safety import SafetyKind
from knowngood.gate import CAUTIONS
from knowngood.refusal import Refused
from knowngood.report.paper.fill import card_data
from knowngood.sheet import library
from knowngood.sheet.reader import read
from knowngood.sources import SOURCES
from knowngood.store.event import Event

STEP = '  - {{id: s{number}, do: "{do}", zone: {zone}, time: "1 2 3 min"{more}}}\n'


def sheet(*steps, head="", start="parked, drivable, outdoors"):
    rows = [
        (*row, *("around", "")[len(row) - 1 :]) for row in (one if isinstance(one, tuple) else (one,) for one in steps)
    ]
    text = "".join(
        STEP.format(number=number, do=do, zone=zone, more=more and f", {more}")
        for number, (do, zone, more) in enumerate(rows)
    )
    reading = read(f"sheet: 1\nid: x\ntitle: X\n{textwrap.dedent(head)}start: [{start}]\nsteps:\n{text}", file="x.yaml")
    assert reading.sheet, [one.message for one in reading.problems]
    return reading.sheet


NOTHING_OF_IT = dict.fromkeys(EQUIPMENT, "no")


def said(made, has=NOTHING_OF_IT):
    """Step by step, what is said beyond the sheet's own words."""
    found = cautions_of(made, order(made, ()), has)
    return [[words for words in found[step.id] if words not in step.cautions] for step in made.steps]


def where(made, part, has=NOTHING_OF_IT):
    """At which steps something is said."""
    return [number for number, rows in enumerate(said(made, has)) if any(part in words for words in rows)]


RAISE, LOWER = ("Up", "around", "makes: [raised(front)]"), ("Down", "around", "ends: [raised(front)]")
ON, OFF = ("Engine on", "inside", "makes: [running(engine)]"), ("Engine off", "inside", "ends: [running(engine)]")
FLUIDS = """\
circuits:
  coolant: {name: Coolant, fluid: coolant, holds: 6 L, refill: coolant.cap}
  oil: {name: Oil, fluid: engine oil, holds: 4 L, refill: oil.cap}
  petrol: {name: Petrol, fluid: fuel, holds: 50 L, refill: petrol.cap}
  brakes: {name: Brakes, fluid: brake fluid, holds: 1 L, refill: brakes.cap}
fasteners:
  screw: {name: bleed screw, hand_tight: true}
  wheels: {name: wheel bolts, count: 5, torque: 110 N·m}
  clamps: {name: battery clamps, count: 2, hand_tight: true}
"""
CALLED = {
    "lifting": (("jack alone",), RAISE),
    "lifting, in words": (("jack alone",), ("Jack up the front",)),
    "lowering": (("nobody and nothing is under",), LOWER),
    "lowering, in words": (("nobody and nothing is under",), ("Stands away, let it down",)),
    "the engine started": (("exhaust gas kills", "belts and fan"), ON),
    "the engine started, in words": (("exhaust gas kills", "belts and fan"), ("Start it, let it idle",)),
    "a clamp off, by a fact": (
        ("no metal across", "gas explodes", "acid"),
        ("Off", "top", "makes: [disconnected(battery)]"),
    ),
    "a clamp off, in words": (("no metal across",), ("Take the battery's negative clamp off", "top")),
    "a clamp fitted, by its bolts": (("no metal across",), ("Do them up", "top", "tighten: [clamps]")),
    "charging": (("fresh air",), ("Charge the battery overnight", "top")),
    "oil let out": (("Hot fluid burns", "collection point"), ("Out with it", "under", "drain: oil")),
    "coolant let out": (("poisons",), ("Out with it", "under", "drain: coolant")),
    "the coolant's cap": (("cap shut",), ("Off with it", "top", "makes: [open(coolant.cap)]")),
    "the radiator": (("fan can start by itself",), ("Look at the radiator", "top")),
    "dust": (("never blow",), ("Caliper off", "wheel")),
    "brake fluid": (("hurts eyes",), ("Brake hose off", "wheel")),
    "brakes closed": (("Pump the pedal",), ("New brake pads in", "wheel")),
    "wheels fitted": (("50 km",), ("Do them up", "wheel", "tighten: [wheels]")),
    "fuel": (("fumes", "no flame", "static", "through skin"), ("Undo the fuel line", "top")),
}


@pytest.mark.parametrize(("parts", "step"), CALLED.values(), ids=CALLED)
def test_a_step_is_told_what_it_calls_for(parts, step):
    made = sheet("Look at it", step, "Have a rest", head=FLUIDS)
    for part in parts:
        assert where(made, part) == [1]


INNOCENT = {
    "ramps": ("Up the ramps", "inside", "makes: [on_ramps(front)]"),
    "a voltage read": ("Read the voltage at the battery's posts", "top"),
    "a battery left off": ("Leave the battery off overnight", "top"),
    "a window let down": ("Let the window down", "inside"),
    "a carpet lifted": ("Lift the carpet beside the seat", "inside"),
    "a lower hose": ("Look at the lower hose", "top"),
    "a vernier caliper": ("Vernier caliper out of its box", "around"),
    "a seat's position": ("Raise the seat", "inside"),
}


@pytest.mark.parametrize("step", INNOCENT.values(), ids=INNOCENT)
def test_nothing_is_said_where_nothing_calls_for_it(step):
    assert said(sheet(step)) == [[]]


def test_bleeding_with_the_engine_running_says_belt_fan_and_hot_parts_once():
    bleed = ("Crack the screw", "top", "loosen: [screw], tighten: [screw]")
    made = sheet(ON, ("Read it", "top"), bleed, bleed, OFF, bleed, ON, bleed, OFF, head=FLUIDS)
    assert where(made, "The belt turns, the fan can start by itself and parts are hot") == [2, 7]
    own = sheet(ON, (*bleed[:2], bleed[2] + ', cautions: ["Keep off the belt."]'), OFF, head=FLUIDS)
    assert where(own, "The belt turns") == []


def test_the_pedal_is_spoken_of_where_the_brake_is_whole_and_not_while_a_caliper_hangs():
    bolts = "fasteners: {b: {name: caliper bracket bolts, count: 4, torque: 110 N·m}}\n"
    off = ("Caliper and bracket off", "wheel", "loosen: [b]")
    on, whole = ("New disc on, bracket on", "wheel", "tighten: [b]"), ("New pads in, caliper on", "wheel")
    drive = ("Drive gently and bed the pads in", "inside")
    assert where(sheet(off, on, whole, drive, head=bolts), "Pump the pedal") == [2]
    pumped = ("New pads in, caliper on; pump the pedal until it is firm", "wheel")
    assert where(sheet(off, ("Caliper bracket on", "wheel"), pumped, drive, head=bolts), "Pump the pedal") == []


def test_it_is_not_repeated_while_a_fact_holds():
    work = ("Work", "top", "needs: [disconnected(battery)]")
    made = sheet(
        ("Off", "top", "makes: [disconnected(battery)]"), work, work, ("On", "top", "ends: [disconnected(battery)]")
    )
    assert where(made, "no metal across") == [0, 3]
    idle = sheet(ON, ("Wait", "inside"), ("Wait", "inside"), OFF)
    assert where(idle, "exhaust") == [0]


def test_what_the_sheet_says_is_not_said_twice():
    assert said(sheet((*LOWER[:2], LOWER[2] + ', cautions: ["Nobody and nothing is under it."]'))) == [[]]
    waste = ("Old oil to the collection point", "around")
    assert where(sheet(("Out", "under", "drain: oil"), waste, head=FLUIDS), "collection point") == []


def test_a_step_that_may_be_left_out_does_not_say_it_for_the_others():
    decide = 'decide: {id: d, question: Both?, choices: {"yes": "Yes", "no": "No"}}'
    first = ("Caliper off", "wheel", 'when: {decided: d, is: "yes"}')
    made = sheet(("Look", "around", decide), first, ("Other caliper off", "wheel"), ("Third caliper off", "wheel"))
    assert where(made, "never blow") == [1, 2]


UNKNOWN = {"air_suspension": "If it has air", "start_stop": "If it has start-stop", "hybrid": "If it is a hybrid"}
HAS = {"air_suspension": "Switch self-levelling off", "start_stop": "Keep the key well away", "hybrid": "Orange cables"}


@pytest.mark.parametrize("name", EQUIPMENT)
def test_what_hangs_on_the_vehicle_is_said_where_it_applies_or_is_not_known(name):
    made = sheet(("Take the cover off", "top"), RAISE, LOWER)
    at = [1] if name == "air_suspension" else [0]
    assert where(made, HAS[name], {**NOTHING_OF_IT, name: "yes"}) == at
    assert where(made, UNKNOWN[name], {**NOTHING_OF_IT, name: "not known"}) == at
    assert where(made, UNKNOWN[name], {one: "no" for one in EQUIPMENT if one != name}) == at
    assert where(made, HAS[name]) + where(made, UNKNOWN[name]) == []


def test_every_caution_names_where_it_comes_from():
    for row in ROWS:
        assert {one for one in row.source.split(", ") if one != MEMORY} <= set(SOURCES)
        assert bool(row.hangs_on) is bool(row.if_unknown)


@pytest.mark.parametrize("name", [one.id for one in library.sheets()])
def test_the_sheets_of_the_library_say_nothing_twice_at_a_step(name):
    made = read(library.text(name), file="x.yaml").sheet
    for rows in cautions_of(made, order(made, ()), {}).values():
        assert len(set(rows)) == len(rows)


WANTED = {
    "runs_hot": {
        "bleed_hot": "The belt turns", "lower": "nobody and nothing is under", "battery_off": "gas explodes",
        "battery_on": "gas explodes", "warm_up": "exhaust gas kills", "lift": "self-levelling",
        "battery_reading": "start-stop",
    },
    "automatic_gearbox": {"lower_front": "nobody and nothing is under", "lift_front": "self-levelling"},
    "battery_drain": {"look_battery": "start-stop"},
}  # fmt: skip


@pytest.mark.parametrize("name", WANTED)
def test_what_the_sheets_of_the_library_left_unsaid_is_said(name):
    made = read(library.text(name), file="x.yaml").sheet
    found = cautions_of(made, order(made, ()), {})
    for step, part in WANTED[name].items():
        assert any(part in words for words in found[step]), step


def test_now_steps_phone_and_paper_say_the_same(demo_garage):
    job = demo_garage.job("runs-hot")
    by_phone = {one["id"]: tuple(one["cautions"]) for one in document(job, made="now")["steps"]}
    on_paper = {one.do: one.cautions for one in card_data(demo_garage, job).steps}
    assert by_phone == job.cautions
    assert on_paper == {job.sheet.step(one).do: rows for one, rows in job.cautions.items()}


@pytest.fixture
def give(garage):
    give = giving(garage, "job/own")
    give("vehicle_named", "vehicle/own", name="Own")
    give("job_opened", vehicle="own", library="runs_hot")
    return give


def told(garage, part):
    return any(part in words for rows in garage.job("own").cautions.values() for words in rows)


def test_it_is_asked_once_a_vehicle_and_may_be_left_open(garage, give):
    assert told(garage, "If it has air suspension")
    give("described", "vehicle/own", text="estate", odometer="120000 km", air_suspension="no")
    assert not told(garage, "air suspension")
    assert told(garage, "If it is a hybrid")
    give("described", "vehicle/own", hybrid="yes")
    assert (told(garage, "Orange cables"), told(garage, "air suspension")) == (True, False)
    assert (garage.vehicle("own").text, garage.vehicle("own").odometer_km) == ("estate", 120000.0)
    for answer in ANSWERS:
        give("described", "vehicle/own", start_stop=answer)
        assert garage.vehicle("own").has("start_stop") == answer


def test_another_answer_is_refused_at_its_field(give):
    with pytest.raises(Refused) as refused:
        give("described", "vehicle/own", hybrid="perhaps")
    assert refused.value.problems == {"hybrid": '"perhaps" is no answer here. Write yes, no or not known.'}


def test_a_vehicle_described_by_an_older_program_has_said_nothing_of_it(garage, give):
    old = {"text": "estate", "odometer_km": None, "driven": "rear"}
    event = Event.new(
        id="f" * 32, stream="vehicle/own", kind="described", device="old", device_seq=0, happened=garage.now(),
        recorded=garage.now(), data=old,
    )  # fmt: skip
    garage.store.append([event])
    assert garage.vehicle("own").has("hybrid") == ""
    assert told(garage, "If it is a hybrid")


def test_what_is_for_home_has_the_usual_caution_of_its_system_where_no_other_speaks():
    made = sheet(("New anti-roll bar link in", "wheel"), ("New brake pads in, then pump the pedal until firm", "wheel"))
    assert said(made)[0] == [CAUTIONS[SafetyKind.SUSPENSION]]
    assert not any(CAUTIONS[SafetyKind.BRAKES] in rows for rows in said(made))


def test_the_usual_caution_of_a_system_stands_once():
    made = sheet(("New drop link in, left", "wheel"), ("New drop link in, right", "wheel"))
    assert [CAUTIONS[SafetyKind.SUSPENSION] in rows for rows in said(made)] == [True, False]
