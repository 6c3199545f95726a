"""Which system a name speaks of: also in words that the table does not have, and never by what only sounds like one."""

import pytest

from knowngood.engine.tables import table
from knowngood.engine.troubleshooting.model.safety import SafetyKind
from knowngood.gate import declared_kind, hits, kind_of, sounds_like
from knowngood.sources import SOURCES

ARE = {
    SafetyKind.RESTRAINTS: [
        "driver airbag igniter",
        "pretensioner",
        "belt pre-tensioner",
        "Belt pretensioners",
        "SRS plug",
        "Airbag clock spring",
        "clock spring",
        "yellow plug under the seat",
        "side curtain inflator",
        "steering wheel squib",
        "Seat belt buckle switch",
        "tensioner of the driver's seat belt",
        "occupant sensor mat",
        "pyro fuse",
        "Seat-belt's tensioner",
        "air bag connector",
        "steering wheel trim",
        "seat rail with plug",
        "belt tensioner",
        "plug under the passenger seat",
        "curtain air-bag",
    ],
    SafetyKind.HIGH_VOLTAGE: [
        "High-voltage battery",
        "Battery contactor of the hybrid",
        "HV interlock",
        "orange lead to the inverter",
        "Orange cables",
        "traction battery",
        "inverter",
        "hybrid drive motor",
        "electric drive",
        "charge port",
        "DC/DC converter",
        "service plug",
    ],
    SafetyKind.REFRIGERANT: [
        "Refrigerant line",
        "Hose of the air conditioning",
        "A/C pipe",
        "A/C hose",
        "AC compressor",
        "air-con line",
        "R-134a port",
        "condenser",
        "evaporator",
        "low side port of the A/C",
        "expansion valve",
        "air conditioning compressor",
    ],
    SafetyKind.BRAKES: [
        "Brake flex hose",
        "brakehose",
        "calliper",
        "Front brake hose swollen",
        "rear wheel cylinder damp",
        "Brake callipers seized",
        "Pads worn down",
        "Discs worn",
        "Slide pin stuck",
        "flexible brake pipe",
        "master cylinder",
        "ABS unit",
        "wheel-speed sensor",
        "hose to the caliper",
        "brake linings",
        "Brakes",
    ],
    SafetyKind.STEERING: [
        "drop arm",
        "Tie-rod end",
        "track rod ends",
        "tie rod has play",
        "steering rack",
        "power steering hose",
        "Steering column joint",
        "idler arm",
        "pitman arms",
    ],
    SafetyKind.SUSPENSION: [
        "strut top nut",
        "coil spring",
        "Rear springs",
        "ball joint",
        "lower control arm",
        "wheel bearing",
        "Front left bearing",
        "shock absorbers",
        "anti-roll bar link",
        "road spring",
        "front strut",
        "coilspring",
    ],
    SafetyKind.WHEELS: [
        "wheel nuts",
        "lug nut",
        "tyres",
        "tires",
        "spare wheel",
    ],
    SafetyKind.FUEL: [
        "fuel feed pipe",
        "petrol tank",
        "gas tank",
        "diesel line",
        "LPG vaporiser",
        "fuel injector",
        "fuel filter",
        "Fuel hoses",
        "carburetor",
        "carb float bowl",
        "fuel tank sender",
        "petrol hose",
        "fuelline",
    ],
}
ARE_NOT = [
    "drive belt tensioner",
    "Timing belt tensioner",
    "ribbed-belt tensioner",
    "valve spring",
    "coil spring of the throttle",
    "fuel gauge",
    "fuel pump relay",
    "brake lamp switch",
    "brake light bulb",
    "ignition coil",
    "HT lead",
    "AC voltage of the alternator",
    "air-con belt",
    "tailgate strut",
    "clutch master cylinder",
    "vernier caliper",
    "brake cleaner",
    "steering lock",
    "hub cap",
    "spring clip",
    "spring washer",
    "hose clamp",
    "wheel arch liner",
    "wheel chock",
    "washer fluid",
    "clutch slave cylinder",
    "automatic's brake band",
    "flywheel bolts",
    "cabin filter",
    "alternator gives 15.3 V",
    "fuel cap",
    "Relay does not pull",
    "Thermostat",
    "coolant hose",
    "Air in the system",
    "Charging cable",
    "wiper motor",
    "headlamp bulb",
    "washer hose",
    "radiator hose",
    "torque converter",
    "catalytic converter",
    "DPF",
    "alternator bearing",
    "oil filter",
    "sump plug",
    "expansion tank",
    "ignition condenser",
    "gas strut of the boot",
    "Charging voltage too high",
    "Clutch or band worn: new fluid does not mend it",
    "Gear linkage ball joint",
    "A/C belt",
    "AC fan relay",
    "AC ripple",
    "steering pump belt",
    "fuel flap",
    "fuse box",
    "timing chain tensioner",
    "Clutch disc",
    "Wiring, plug or sensor of the gearbox",
    "throttle return spring",
    "brake-light switch",
    "high beam",
    "belt",
    "Battery",
    "exhaust gas recirculation valve",
    "EGR pipe",
    "tyre gauge",
    "tyre inflator",
    "wheel brace",
    "horn relay coil",
    "fan motor",
    "stop lamp",
    "third brake light",
    "seat heater",
    "hybrid wiper blades",
    "wheel trim",
    "oil pressure switch",
]


@pytest.mark.parametrize(("kind", "name"), [(kind, name) for kind, rows in ARE.items() for name in rows])
def test_a_part_is_known_by_its_name(kind, name):
    assert sounds_like(name) == kind
    assert sounds_like(name.upper()) == sounds_like(f"  {name.replace(' ', '-')} ") == kind


@pytest.mark.parametrize("name", ARE_NOT)
def test_what_only_sounds_like_one_is_none(name):
    assert sounds_like(name) is None


def test_a_sure_word_beats_one_that_only_asks_back():
    assert sounds_like("Spring of the airbag lid") == SafetyKind.RESTRAINTS
    assert [one.weak for one in hits("Igniter")] == [True]


def test_what_was_declared_counts_before_the_name():
    assert kind_of("Brake of the winch", "none") is None
    assert kind_of("Hose", SafetyKind.BRAKES) is SafetyKind.BRAKES


@pytest.mark.parametrize("kind", SafetyKind)
def test_a_sheet_may_declare_each_kind_by_its_own_name(kind):
    assert declared_kind(kind.value.upper()) == kind


@pytest.mark.parametrize(
    ("word", "kind"),
    [
        ("brake  hoses", SafetyKind.BRAKES),
        ("tie rod", SafetyKind.STEERING),
        ("fuel line", SafetyKind.FUEL),
        ("spring", SafetyKind.SUSPENSION),
        ("wheel", SafetyKind.WHEELS),
        ("abs", SafetyKind.BRAKES),
        ("none", "none"),
        ("coolant hose", None),
        ("not a brake", None),
        ("brake light switch cover", None),
        ("", None),
    ],
)
def test_a_sheet_declares_by_a_word_that_stands_alone(word, kind):
    assert declared_kind(word) == kind


def test_every_group_names_a_kind_and_its_source():
    words = table("safety_words")
    assert {SafetyKind(row["kind"]) for row in words["parts"]} == set(SafetyKind)
    for row in words["parts"]:
        named = row["source"].split(":")[0].split(";")[0]
        assert named in SOURCES or row["source"].startswith(("ours", "from memory")), row["source"]


def test_no_phrase_stands_under_two_kinds():
    phrases = [phrase for row in table("safety_words")["parts"] for phrase in row["phrases"]]
    assert len(phrases) == len(set(phrases))
