"""Dangers that a person's own sheet can have, each in several wordings, beside twins that hold none."""

import pytest
from tests.small_sheets import sheet

BOLTS = 'fasteners: {f: {name: "%s", torque: "20 N·m ± 2"}}\n'
ON = ("Fire it up", "inside", "makes: [running(engine)]")
OFF = ("Shut it down", "inside", "ends: [running(engine)]")
WASHER = 'parts: {w: {name: "copper ring", single_use: true}}\n'
WASHER += "fasteners: {f: {name: sump plug, torque: 30 N·m ± 3, single_use: w}}\n"
UP = "parked, drivable, outdoors, on_stands(front), chocked(rear), brake_set"
TWINS = {
    "pedal not pumped": (
        [
            sheet(
                "Rear shoes and drum come off",
                "New shoes and springs in, drum on, wheel on",
                "Back it out of the garage",
            ),
            sheet(
                "Retract the caliper piston with the wind-back tool",
                "Fit the rear pads",
                "Refit the wheel and lower the car",
            ),
            sheet(
                "Compress the caliper with a C-clamp",
                "Slip fresh pads in and bolt the calliper up",
                "Take it for a spin",
            ),
            sheet(
                "Unbolt both calipers and hang them up",
                "Replace the wheel bearing",
                "Calipers go back on with new bolts",
            ),
            sheet(("Squeeze it", "wheel", "fit: [p]"), head='parts: {p: {name: "set of front disc pads", count: 4}}\n'),
        ],
        [
            sheet(
                "Compress the caliper piston",
                "Slip fresh pads in, caliper up",
                "Stroke the pedal till it comes up hard",
            ),
            sheet("New rear shoes in, drum on", "Tread the brake pedal half a dozen times until it stays up"),
            sheet("Look at the shoes through the hole in the drum"),
            sheet("New pads in, caliper on", "Work the brake pedal up until it's hard"),
            sheet("New pads in, caliper on", "Press down on the brake pedal until it feels firm"),
        ],
    ),
    "brakes never bled": (
        [
            sheet("Swap the rear flexi for a new one", "Top up the reservoir, pump the pedal until firm"),
            sheet("Crack the brake union at the caliper, swap the caliper", "Pump the pedal until firm"),
            sheet(
                "Suck the old brake fluid out of the reservoir and let the rest run out at the nipples",
                "Fill with fresh fluid",
            ),
            sheet("Disconnect the brake line from the wheel cylinder", "Line back on; pump the pedal until firm"),
            sheet(
                ("Hose undone", "wheel", "loosen: [f]"),
                ("Hose done up", "wheel", "tighten: [f]"),
                head=BOLTS % "brake hose banjo bolt",
            ),
        ],
        [
            sheet(
                "Swap the rear flexi for a new one",
                "Pump and hold, open the nipple, until clean fluid without bubbles comes; bleed all four",
            ),
            sheet("Brake hose off its bracket clip", "Clip back on"),
            sheet("Suck some brake fluid out of the reservoir so that it does not run over", "Top up to MAX"),
            sheet("Unbolt the caliper, leave the brake hose on it"),
        ],
    ),
    "plus cable live": (
        [
            sheet("Undo the nut on the starter's big post and pull the cable"),
            sheet("Take the red cable off the battery"),
            sheet("Unbolt the starter and lower it out"),
            sheet("B+ nut off the alternator, alternator off its bracket"),
            sheet("Positive clamp off, then negative"),
            sheet("Remove the generator"),
            sheet(
                ("Off", "top", "loosen: [f]"), ("On", "top", "tighten: [f]"), head=BOLTS % "battery positive clamp bolt"
            ),
        ],
        [
            sheet("Earth lead off the battery", "Undo the nut on the starter's big post"),
            sheet("Black cable off the battery first, then the red cable off"),
            sheet("Negative clamp off, then positive"),
            sheet("Unplug the small plug of the alternator"),
            sheet("Pull the starter relay out of the fuse box"),
            sheet("Disconnect the battery", "Remove the generator"),
        ],
    ),
    "fuel opened": (
        [
            sheet("Squeeze the quick connector and pull the fuel hose off the rail"),
            sheet("Unscrew the injector rail and lift it out with the injectors"),
            sheet("Change the in-line petrol filter", start="parked, drivable"),
            sheet("Relieve the fuel pressure", "Fuel pipe off the carburettor", start="parked, drivable"),
            sheet("Hoses of the fuel filter off"),
            sheet("Gas line off the throttle body"),
            sheet("Take the fuel sender's ring off and lift it from the tank"),
        ],
        [
            sheet("Bleed the fuel pressure off at the rail's valve", "Fuel hose off the rail"),
            sheet("Pull the fuel pump fuse and run it dry until it stalls", "Change the petrol filter"),
            sheet("Tuck the fuel hose behind the bracket"),
            sheet("Fuel pump relay out, new one in"),
            sheet("Unclip the fuel line from its bracket to make room"),
            sheet("Open the fuel flap and fill up"),
        ],
    ),
    "engine on, nothing holds it": (
        [
            sheet(ON, ("Dab at the belt", "top", "needs: [running(engine)]"), OFF),
            sheet("Have a mate crank it over while you watch the spark"),
            sheet("Turn it over on the starter while a helper looks at the tester"),
            sheet("Start the engine and lean over the wing with a stethoscope"),
            sheet("Let it idle and spray along the intake hose"),
        ],
        [
            sheet("Handbrake on, in neutral", ON, ("Dab at the belt", "top", "needs: [running(engine)]"), OFF),
            sheet("In Park with the parking brake set", "Have a mate crank it over while you watch the spark"),
            sheet(
                "Pull the handbrake, gear lever in neutral",
                "Start the engine and lean over the wing with a stethoscope",
            ),
            sheet("Turn the engine over by hand with a spanner on the crank bolt"),
            sheet("Handbrake up, gear lever to N", "Let it idle and spray along the intake hose"),
        ],
    ),
    "wheels may turn": (
        [
            sheet(ON, ("Listen at the hub", "inside", "needs: [running(engine)]"), OFF, start=UP),
            sheet(
                ON, ("Select drive and let the wheels turn slowly", "inside"), OFF, start=UP + ", in_park_or_neutral"
            ),
            sheet(
                ON, ("Clutch up in second, look at the speedometer", "inside"), OFF, start=UP + ", in_park_or_neutral"
            ),
        ],
        [
            sheet(("Lever in P", "inside"), ON, ("Listen", "inside", "needs: [running(engine)]"), OFF, start=UP),
            sheet(
                ("Foot hard on the brake", "inside", "makes: [brake_held]"),
                ON,
                ("Listen", "inside", "needs: [running(engine)]"),
                OFF,
                start=UP,
            ),
        ],
    ),
    "torqued in the air": (
        [
            sheet(
                ("Tight", "wheel", "tighten: [f]"),
                ("Down", "around", "ends: [on_stands(front), raised(front)]"),
                head=BOLTS % "road wheel nuts",
                start=UP,
            ),
            sheet(
                ("Tight", "wheel", "tighten: [f]"),
                ("Down", "around", "ends: [on_stands(front), raised(front)]"),
                head=BOLTS % "lugs",
                start=UP,
            ),
            sheet(
                ("Tight", "wheel", "tighten: [f]"),
                ("Down", "around", "ends: [on_stands(front), raised(front)]"),
                head=BOLTS % "locking wheel bolts",
                start=UP,
            ),
            sheet(
                ("Tight", "wheel", "tighten: [f]"),
                ("Down", "around", "ends: [on_stands(front), raised(front)]"),
                head=BOLTS % "wheel studs' nuts",
                start=UP,
            ),
        ],
        [
            sheet(
                ("Tight", "wheel", "tighten: [f]"),
                ("Down", "around", "ends: [on_stands(front), raised(front)]"),
                head=BOLTS % "hub carrier bolts",
                start=UP,
            ),
            sheet(
                ("Tight", "wheel", "tighten: [f]"),
                ("Down", "around", "ends: [on_stands(front), raised(front)]"),
                head=BOLTS % "wheel liner screws",
                start=UP,
            ),
            sheet(
                ("Down", "around", "ends: [on_stands(front), raised(front)]"),
                ("Tight", "wheel", "tighten: [f]"),
                head=BOLTS % "road wheel nuts",
                start=UP,
            ),
        ],
    ),
    "stands not shaken": (
        [
            sheet(
                ("Up", "around", "makes: [raised(front)]"),
                ("Axle stands in", "around", "makes: [on_stands(front)]"),
                ("Crawl under", "under"),
                start="parked, drivable, chocked(rear)",
            ),
            sheet(
                ("Up on stands", "around", "makes: [on_stands(rear)]"),
                ("Wheels off", "wheel"),
                start="parked, drivable, chocked(front)",
            ),
            sheet(
                ("Up on stands; shake out the blanket", "around", "makes: [on_stands(rear)]"),
                ("Wheels off", "wheel"),
                start="parked, drivable, chocked(front)",
            ),
        ],
        [
            sheet(
                ("Up", "around", "makes: [raised(front)]"),
                ("Axle stands in, wobble it to see that they sit", "around", "makes: [on_stands(front)]"),
                ("Crawl under", "under"),
                start="parked, drivable, chocked(rear)",
            ),
            sheet(
                ("Up on stands", "around", "makes: [on_stands(rear)]"),
                ("Lean on the boot with all your weight: the car must not move", "around"),
                ("Wheels off", "wheel"),
                start="parked, drivable, chocked(front)",
            ),
            sheet(
                ("Up on stands", "around", "makes: [on_stands(rear)]"),
                ("Give the car a good shove", "around"),
                ("Wheels off", "wheel"),
                start="parked, drivable, chocked(front)",
            ),
        ],
    ),
    "old part again": (
        [
            sheet(
                ("Out", "under", "loosen: [f]"),
                ("In", "under", "tighten: [f]"),
                head=WASHER,
            ),
            sheet(
                "Thermostat housing off", "Housing on", head='parts: {g: {name: "thermostat seal", single_use: true}}\n'
            ),
            sheet("Valve cover off", "Cover on", head='parts: {g: {name: "valve cover gasket", single_use: true}}\n'),
        ],
        [
            sheet(
                ("Out", "under", "loosen: [f]"),
                ("In", "under", "tighten: [f], fit: [w]"),
                head=WASHER,
            ),
        ],
    ),
    "safety part undeclared": (
        [
            'suspects: ["Rear shoes down to the rivets", "Loose bulb"]\n' + sheet("Look"),
            'suspects: ["Hub bearing growls", "Loose bulb"]\n' + sheet("Look"),
            'suspects: ["Rotors warped", "Loose bulb"]\n' + sheet("Look"),
            'suspects: ["Bearing front left", "Loose bulb"]\n' + sheet("Look"),
            'suspects: ["Wheelbearing", "Loose bulb"]\n' + sheet("Look"),
            'suspects: ["Piston sticks in its bore after braking", "Loose bulb"]\n' + sheet("Look"),
            'suspects: ["Track-rod ball", "Loose bulb"]\n' + sheet("Look"),
        ],
        [
            'suspects: ["Alternator bearing growls", "Loose bulb"]\n' + sheet("Look"),
            'suspects: ["Idler bearing front of the engine", "Clutch disc worn"]\n' + sheet("Look"),
        ],
    ),
}


def codes(problems, body):
    return {one.code for driven in (None, "front") for one in problems(body, driven=driven)}


@pytest.mark.parametrize(("code", "body"), [(code, body) for code, (bad, _) in TWINS.items() for body in bad])
def test_a_danger_is_seen_in_other_words(problems, code, body):
    assert code in codes(problems, body)


@pytest.mark.parametrize(("code", "body"), [(code, body) for code, (_, good) in TWINS.items() for body in good])
def test_its_twin_holds_none(problems, code, body):
    assert code not in codes(problems, body)
