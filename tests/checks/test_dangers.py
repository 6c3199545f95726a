"""Dangers that a person's own sheet can have: each in a few lines, beside a twin that is innocent."""

import pytest
from tests.small_sheets import sheet


@pytest.fixture
def codes(problems):
    """Return code and severity of what is found."""
    return lambda body, **known: {(one.code, one.severity.value) for one in problems(body, **known)}


PEDAL = ("pedal not pumped", "stop")
CALIPER_BACK = {
    "facts alone": sheet(
        ("Unbolt it", "wheel", "makes: [off(caliper)]"), ("Bolt it on", "wheel", "ends: [off(caliper)]")
    ),
    "a fact with a side": sheet(
        ("Unbolt it", "wheel", "makes: [off(caliper.left)]"), ("Bolt it on", "wheel", "ends: [off(caliper.left)]")
    ),
    "a sentence alone": sheet(
        "Wheel off, caliper off", "Push the piston back", "New pads in, caliper back on", "Wheel on"
    ),
    "the part fitted": sheet(
        ("Swap them", "wheel", "fit: [pads]"), head="parts: {pads: {name: rear brake shoes, count: 4}}\n"
    ),
    "the piston wound back": sheet("Wind the brake's piston back into its bore"),
    "two things on": sheet("Caliper and bracket on"),
    "two things renewed": sheet("Renew the brake discs and pads"),
    "only driven first": sheet(
        "New brake pads in, caliper on", ("Drive round the block", "inside"), "Pump the pedal until it is firm"
    ),
    "only forbidden": sheet("New brake pads in, caliper on. Do not pump the pedal yet"),
    "another pedal": sheet("Caliper on again", "Press the clutch pedal a few times"),
    "bolts alone": sheet(
        ("Undo it", "wheel", "loosen: [c]"),
        ("Do it up", "wheel", "tighten: [c]"),
        head="fasteners: {c: {name: caliper guide bolts, count: 2, torque: 28 N·m}}\n",
    ),
    "only the parking brake": sheet("Caliper on again", "Apply the parking brake hard"),
    "one side after the pump": sheet("Left caliper on", "Pump the brake pedal hard", "Right caliper on"),
}


@pytest.mark.parametrize("body", CALIPER_BACK.values(), ids=CALIPER_BACK)
def test_a_brake_together_again_and_nobody_pumps_its_pedal(codes, body):
    assert PEDAL in codes(body)


PUMPED = {
    "in words": sheet(
        "Caliper off", "Piston back, new pads in, caliper on", ("Pump the brake pedal until it is firm", "inside")
    ),
    "in other words": sheet("Push the brake piston home, caliper on", "Press the brake pedal slowly, several times"),
    "in the same step": sheet("New brake pads in, caliper on; then pump the pedal hard"),
    "by a fact": sheet(
        ("Caliper on", "wheel", "makes: [unproven(brake_pedal)]"),
        ("Press it", "inside", "ends: [unproven(brake_pedal)]"),
    ),
    "by a fact of its own": sheet(("Caliper on", "wheel"), ("Press it", "inside", "makes: [firm(pedal)]")),
    "with the foot brake": sheet("New brake pads in", "Step on the foot brake until it bites"),
    "several times": sheet("New brake pads in", "Brake pedal several times, then look at the reservoir"),
    "bolts only checked": sheet(
        ("Check its torque", "wheel", "tighten: [c]"),
        head="fasteners: {c: {name: caliper guide bolts, count: 2, torque: 28 N·m}}\n",
    ),
    "before the drive": sheet("New brake pads in", "Pump the pedal till it stands hard", ("Test drive", "inside")),
    "nothing but a measuring caliper": sheet(
        "Measure the disc with a vernier caliper", "Put the digital caliper back in its box"
    ),
    "pads only looked at": sheet("Look at the brake pads and measure them through the wheel"),
    "pads of another kind": sheet("Rubber pads on the jack, lift it", "New clutch linings in"),
    "an engine's pistons": sheet("Push the pistons back into their bores"),
}


@pytest.mark.parametrize("body", PUMPED.values(), ids=PUMPED)
def test_a_pedal_that_is_pumped_or_no_brake(codes, body):
    assert PEDAL not in codes(body)


def test_what_is_said_of_the_pedal(told):
    assert told(sheet("Caliper on again"), "pedal not pumped") == [
        (
            "stop",
            'small.yaml:6: step "s0": the brake is together again, and nobody pumps its pedal before the vehicle '
            "moves. The first press meets no resistance: the vehicle does not brake. Add a step after it: pump the "
            'brake pedal until it is firm; make "unproven(brake_pedal)" here and end it there.',
        )
    ]


def test_a_pedal_left_unproven_stands_open_at_the_end(told):
    body = sheet(("Caliper on", "wheel", "makes: [unproven(brake_pedal)]"))
    [(severity, words)] = told(body, "left standing")
    assert (severity, '"brake pedal not yet proven" still holds at the end' in words) == ("stop", True)


def test_the_words_that_may_stand_alone(problems):
    facts = "makes: [unproven, relieved, shaken], ends: [level]"
    assert problems(sheet(("One", "top", facts), ("Two", "top", "ends: [unproven, relieved, shaken]"))) == []


BLED = ("brakes never bled", "stop")
FLUID = "circuits: {brakes: {name: Brake circuit, fluid: brake fluid, holds: 1 L, refill: brakes.cap}}\n"
PROVEN = "parked, drivable, proven(brakes.cap)"
OPENED = {
    "a hose off": sheet(
        ("Take it off", "wheel", "makes: [off(brake_hose)]"), ("On again", "wheel", "ends: [off(brake_hose)]")
    ),
    "drained and filled": sheet(
        ("Let it out", "wheel", "drain: brakes, makes: [drained(brakes)]"),
        ("Fill up", "top", "fill: {circuit: brakes, amount: 1 L}, ends: [drained(brakes)]"),
        head=FLUID,
        start=PROVEN,
    ),
    "a port of it": sheet(
        ("Undo it", "wheel", "makes: [open(brakes.union)]"),
        ("Do it up", "wheel", "ends: [open(brakes.union)]"),
        head=FLUID,
    ),
    "a union, by its bolts": sheet(
        ("Undo it", "wheel", "loosen: [u]"),
        ("Do it up", "wheel", "tighten: [u]"),
        head="fasteners: {u: {name: union of the brake line, hand_tight: true}}\n".replace(
            "union of the brake line", "brake line union"
        ),
    ),
    "a sentence alone": sheet("Undo the brake pipe and catch what drips", "New pipe in, top up the reservoir"),
    "a wheel cylinder": sheet("Old wheel cylinder out, new one in"),
    "a flexible hose": sheet("Unscrew the flexible hose from the caliper"),
    "bled before only": sheet("Bleed the brakes", "Brake hose off", "New hose on"),
}


@pytest.mark.parametrize("body", OPENED.values(), ids=OPENED)
def test_a_brake_circuit_that_was_opened_and_is_never_bled(codes, body):
    assert BLED in codes(body)


CLOSED_WELL = {
    "in words": sheet("Brake hose off", "New hose on", "Bleed all four wheels, the reservoir must not run dry"),
    "by facts": sheet(
        ("Hose off", "wheel", "makes: [off(brake_hose), unbled(brakes)]"),
        ("Hose on", "wheel", "ends: [off(brake_hose)]"),
        ("Helper pumps, nipple by nipple", "wheel", "ends: [unbled(brakes)]"),
        head=FLUID,
    ),
    "only the reservoir": sheet(
        ("Lid off", "top", "makes: [open(brakes.cap)]"), ("Lid on", "top", "ends: [open(brakes.cap)]"), head=FLUID
    ),
    "only looked at": sheet("Look at the brake hoses and lines: no crack, no wet place"),
    "a clip": sheet("Brake line clip off its bracket"),
    "a banjo of the fuel": sheet("Look at the brakes", "Undo the banjo of the fuel rail"),
    "the clutch": sheet("Take the clutch master cylinder off"),
}


@pytest.mark.parametrize("body", CLOSED_WELL.values(), ids=CLOSED_WELL)
def test_a_brake_circuit_that_is_bled_or_was_never_opened(codes, body):
    assert BLED not in codes(body)


PLUS = ("plus cable live", "stop")
LIVE = {
    "a nut of the starter": sheet(
        ("Undo it", "under", "loosen: [nut]"),
        ("Do it up", "under", "tighten: [nut]"),
        head="fasteners: {nut: {name: starter plus nut, hand_tight: true}}\n",
    ),
    "a sentence alone": sheet("Loosen the starter's plus cable and lay it aside"),
    "the positive terminal": sheet("Disconnect the positive terminal of the battery"),
    "the alternator out": sheet(
        ("Out with it", "top", "makes: [off(alternator)]"), ("In", "top", "ends: [off(alternator)]")
    ),
    "the starter taken out": sheet("Take the starter motor out"),
    "the cable of its solenoid": sheet("Loosen the starter solenoid cable"),
    "terminal 30": sheet("Take the cable off terminal 30"),
    "plus before minus": sheet("Battery's plus clamp off, then the minus clamp off"),
    "on again too soon": sheet("Battery minus off", "Battery minus clamp back on", "Starter cable off its stud"),
}


@pytest.mark.parametrize("body", LIVE.values(), ids=LIVE)
def test_a_plus_cable_loosened_with_the_battery_on(codes, body):
    assert PLUS in codes(body)


DEAD = {
    "by a fact": sheet(
        ("Clamp off", "top", "makes: [disconnected(battery)]"),
        "Starter's plus nut off",
        ("On", "top", "ends: [disconnected(battery)]"),
    ),
    "by another fact": sheet(
        ("Off", "top", "makes: [off(minus_clamp)]"), "Starter's plus nut off", ("On", "top", "ends: [off(minus_clamp)]")
    ),
    "in words": sheet("Take the negative clamp off the battery", "Undo the alternator's plus cable"),
    "in the same step": sheet("Battery off, minus first, then the plus clamp off; starter out"),
    "by a fact of its own": sheet(("Off", "top", "makes: [battery_off]"), "Starter cable off"),
    "the bolts that slacken the belt": sheet("Loosen the alternator adjuster nut and its mounting nuts"),
    "the belt of the alternator": sheet("Take the belt off the alternator", "Pull the starter relay"),
    "both clamps": sheet("Battery's minus and plus clamps off"),
    "jump leads": sheet("Red lead off, black lead off"),
    "only read": sheet("Read the voltage at the battery's plus post, lights off"),
}


@pytest.mark.parametrize("body", DEAD.values(), ids=DEAD)
def test_a_plus_cable_of_a_battery_that_is_off(codes, body):
    assert PLUS not in codes(body)


FUEL = ("fuel opened", "stop")
UNDER_PRESSURE = {
    "a line off": sheet(("Off", "top", "makes: [off(fuel_line)]"), ("On", "top", "ends: [off(fuel_line)]")),
    "a sentence alone": sheet("Undo the petrol hose at the rail"),
    "two things undone": sheet("Undo the breather and the fuel line"),
    "its filter": sheet("Swap the fuel filter"),
    "a circuit drained": sheet(
        ("Let it out", "under", "drain: petrol"),
        head="circuits: {petrol: {name: Petrol, fluid: fuel, holds: 50 L, refill: cap}}\n",
        start="parked, drivable, outdoors, proven(cap)",
    ),
    "relieved, and indoors": sheet("Let the fuel pressure off", "Fuel line off", start="parked, drivable"),
    "a tank emptied": sheet("Drain the petrol tank into a can"),
    "injectors": sheet(("Out", "top", "makes: [off(injectors)]"), ("In", "top", "ends: [off(injectors)]")),
}


@pytest.mark.parametrize("body", UNDER_PRESSURE.values(), ids=UNDER_PRESSURE)
def test_fuel_opened_under_pressure_or_indoors(codes, body):
    assert FUEL in codes(body)


NO_FUEL = {
    "by facts": sheet(
        ("Let it off", "top", "makes: [relieved(fuel)]"),
        ("Line off", "top", "makes: [off(fuel_line)]"),
        ("On", "top", "ends: [off(fuel_line)]"),
    ),
    "in words": sheet(
        "Park outdoors", "Pump's fuse out, run the engine until it stalls", "Fuel line off", start="parked, drivable"
    ),
    "in other words": sheet("Release the pressure at the rail", "Injectors out"),
    "by a fact of its own": sheet(("Wait", "top", "makes: [fuel_pressure_gone]"), "Fuel line off"),
    "the cap": sheet("Fuel cap off"),
    "another thing undone": sheet("Undo the air box and lift the fuel hose aside"),
    "the gauge": sheet("Swap the fuel gauge", "Pull the fuel pump relay", "Fuel pump fuse out"),
    "the plug of an injector": sheet("Unplug the injector connectors"),
}


@pytest.mark.parametrize("body", NO_FUEL.values(), ids=NO_FUEL)
def test_fuel_without_pressure_outdoors_or_none(codes, body):
    assert FUEL not in codes(body)


def test_what_is_said_of_fuel(told):
    assert told(sheet("Undo the fuel line", start="parked, drivable"), "fuel opened") == [
        (
            "stop",
            'small.yaml:6: step "s0": opens "undo the fuel line", and its pressure was not let off and it is not '
            "outdoors. Petrol sprays, its vapour creeps along the floor and catches fire far away. Need "
            '"relieved(fuel)" and "outdoors" here, and make it in a step before.',
        )
    ]


HELD = ("engine on, nothing holds it", "stop")
ON = ("Engine on", "inside", "makes: [running(engine)]")
OFF = ("Engine off", "inside", "ends: [running(engine)]")
LOOK = ("Look for drips", "top", "needs: [running(engine)]")


@pytest.mark.parametrize(
    "body",
    [
        sheet(ON, LOOK, OFF),
        sheet("A helper cranks while you read the meter"),
        sheet(("First gear", "inside", "makes: [in_gear]"), ON, LOOK, OFF, ("Out", "inside", "ends: [in_gear]")),
    ],
    ids=["at the top", "cranked", "in gear"],
)
def test_the_engine_turns_and_nothing_holds_the_vehicle(codes, body):
    assert HELD in codes(body)


@pytest.mark.parametrize(
    "body",
    [
        sheet(ON, LOOK, OFF, start="parked, drivable, outdoors, brake_set, in_park_or_neutral"),
        sheet("Parking brake set, lever in neutral", ON, LOOK, OFF),
        sheet("Handbrake on, out of gear", "A helper cranks while you read the meter"),
        sheet(ON, ("Sit and wait", "inside", "needs: [running(engine)]"), OFF),
        sheet("Crankshaft sensor unplugged"),
    ],
    ids=["by facts", "in words", "cranked in neutral", "somebody sits in it", "no cranking"],
)
def test_the_engine_turns_and_the_vehicle_is_held(codes, body):
    assert HELD not in codes(body)


TURN = ("wheels may turn", "stop")
UP = "parked, drivable, outdoors, on_stands(front), chocked(rear), brake_set"
SPIN = ("Listen to the bearing", "inside", "needs: [running(engine)]")


@pytest.mark.parametrize(
    "body",
    [
        sheet(ON, SPIN, OFF, start=UP),
        sheet(ON, ("Put it in first gear and let them turn", "inside"), OFF, start=f"{UP}, in_park_or_neutral"),
    ],
    ids=["nobody says P", "in words"],
)
def test_somebody_at_the_wheel_with_driven_wheels_up(codes, body):
    assert TURN in codes(body, driven="front")
    assert TURN not in codes(body, driven="rear")


@pytest.mark.parametrize(
    "body",
    [
        sheet(ON, SPIN, OFF, start=f"{UP}, in_park_or_neutral"),
        sheet(("Foot on the brake", "inside", "makes: [brake_held]"), ON, SPIN, OFF, start=UP),
        sheet("Lever into neutral", ON, SPIN, OFF, start=UP),
        sheet(ON, SPIN, OFF, start="parked, drivable, outdoors, brake_set"),
    ],
    ids=["P", "the foot", "neutral in words", "on its wheels"],
)
def test_driven_wheels_that_cannot_turn(codes, body):
    assert TURN not in codes(body, driven="front")


AIR = ("torqued in the air", "caution")
BOLTS = 'fasteners: {{b: {{name: {name}, count: 5, torque: "110 N·m ± 10"}}}}\n'
RAISED = "parked, drivable, on_stands(front), chocked(rear)"
DOWN = ("Lower it", "around", "ends: [on_stands(front), raised(front)]")


@pytest.mark.parametrize("name", ["wheel bolts", "front wheel nuts", "lug nuts", "nuts of the wheel"])
def test_wheel_bolts_torqued_in_the_air(codes, name):
    head = BOLTS.format(name=name)
    tight = ("Bolts to their torque", "wheel", "tighten: [b]")
    assert AIR in codes(sheet(tight, DOWN, head=head, start=RAISED))
    assert AIR not in codes(sheet(DOWN, tight, head=head, start=RAISED))
    assert AIR not in codes(sheet(tight, DOWN, tight, head=head, start=RAISED))


@pytest.mark.parametrize("name", ["flywheel bolts", "wheel bearing bolts", "rear wheel nuts", "sump bolts"])
def test_other_bolts_in_the_air(codes, name):
    tight = ("Bolts to their torque", "wheel", "tighten: [b]")
    assert AIR not in codes(sheet(tight, DOWN, head=BOLTS.format(name=name), start=RAISED))


SHAKEN = ("stands not shaken", "caution")
LIFT = ("Up with it", "around", "makes: [raised(front)]")
SET = ("Two stands under it", "around", "makes: [on_stands(front)]")
WORK = ("Have a look", "under")


@pytest.mark.parametrize(
    ("steps", "found"),
    [
        ((LIFT, SET, WORK), True),
        ((LIFT, SET, ("Push hard from the side", "around"), WORK), False),
        ((LIFT, SET, ("Try it", "around", "makes: [shaken(front)]"), WORK), False),
        (
            (
                LIFT,
                ("Two stands under it, then rock it: nothing may move", "around", "makes: [on_stands(front)]"),
                WORK,
            ),
            False,
        ),
        ((LIFT, SET, ("Have a look", "top")), False),
        ((WORK,), False),
    ],
    ids=["not tried", "in words", "by a fact", "in the same step", "nobody under it", "on its wheels"],
)
def test_stands_that_nobody_has_tried(codes, steps, found):
    assert (SHAKEN in codes(sheet(*steps, start="parked, drivable, chocked(rear)"))) is found


OLD = ("old part again", "caution")
WASHER = 'parts: {w: {name: "sealing washer", single_use: true}}\n'
WASHER += "fasteners: {p: {name: drain plug, torque: 25 N·m ± 3, single_use: w}}\n"


def test_a_part_for_single_use_that_nobody_fits(codes, told):
    out, in_ = ("Plug out", "under", "loosen: [p]"), ("Plug in", "under", "tighten: [p]")
    assert OLD in codes(sheet(out, in_, head=WASHER))
    assert OLD not in codes(sheet(out, ("Plug in", "under", "tighten: [p], fit: [w]"), head=WASHER))
    assert OLD not in codes(sheet(in_, head=WASHER))
    [(_, words)] = told(sheet(out, in_, head=WASHER), "old part again")
    assert words.startswith('small.yaml:9: step "s1": no step fits a new "sealing washer", which is for single use.')


def test_a_part_for_single_use_known_by_what_it_belongs_to(codes):
    head = 'parts: {g: {name: "rocker cover gasket", single_use: true}}\n'
    assert OLD in codes(sheet("Rocker cover off", "Rocker cover on", head=head))
    assert OLD not in codes(sheet("Rocker cover off", ("Rocker cover on", "top", "fit: [g]"), head=head))
    assert OLD not in codes(sheet("Oil filter off", head=head))
