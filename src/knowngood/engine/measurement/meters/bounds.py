"""How large a thing can be at all: what lies outside is a slip of the point or the unit, not a finding."""

from dataclasses import dataclass, replace

LOOK = "Check the number and its unit."
# Ours: so much further than anything can be may limits reach.
FURTHER = 1.1


@dataclass(frozen=True)
class Bound:
    """Between which two values a thing lies wherever it is measured.

    Args:
        what: Its name, in the mechanic's words, such as "a vacuum".
        least: Smallest that can be. [unit inside]
        most: Largest that can be. [unit inside]
        why: What makes it so.
        do: What to look at.
        signed: It leans either way: its size counts.
    """

    what: str
    least: float
    most: float
    why: str
    do: str = LOOK
    signed: bool = False

    def holds(self, value: float) -> bool:
        """Can a value be at all?

        Example:
            >>> READ["vacuum"].holds(-62.0), READ["vacuum"].holds(130.0)
            (True, False)
        """
        return self.least <= (abs(value) if self.signed else value) <= self.most

    def beyond(self, value: float) -> bool:
        """Is a value so large that it cannot be meant, as a number or as a limit?

        Example:
            >>> READ["disc_thickness"].beyond(21_985.0), READ["cylinder_compression"].beyond(1000.0)
            (True, False)
        """
        return abs(value) > FURTHER * self.most


_GAUGE = "Check the number and its unit, and look which scale of the gauge was read."
_METER = "Look at the display's unit and point, and read again."
_TIME = "Write a time such as 20 min or 10 h."
_WARMTH = "Check the temperature and its unit."
_CURRENT = Bound("a current", 0.0, 3000.0, "no starter draws more", _METER)
_SENSOR = Bound("a sensor", 1.0, 5e6, "no thermistor has less or more; it is shorted or open", _METER)
_CURVE_C = Bound("a temperature", -60.0, 250.0, "the sensor's curve does not reach further", _WARMTH)
_COMPRESSION = Bound("a compression", 10.0, 8000.0, "no cylinder reaches more, and less is none", _GAUGE)
_LEAKAGE = Bound("a leakage", 0.0, 100.0, "it lies between nothing and all of the air")
_CAP = Bound("a cooling system's pressure", 0.0, 300.0, "its cap opens long before", _GAUGE)
_WAIT = Bound("a wait", 0.0, 1440.0, "nobody holds a pressure for a day", _TIME)
_DISC = Bound("a disc", 1.0, 60.0, "no brake disc is thinner or thicker")
_SURFACE = Bound("a temperature", -60.0, 800.0, "thermometers of this kind do not reach further", _WARMTH)
_OUT = Bound("a volume", 0.0, 2000.0, "no vehicle holds more")
_LEAN = Bound("a tilt", 0.0, 90.0, "at that it stands upright", signed=True)
_BUBBLE = Bound(
    "a bubble's place", 0.0, 50.0, "no vial is longer; the bubble counts, not how far one end of the level is lifted",
    signed=True,
)  # fmt: skip
_ACID = Bound("an acid's density", 1.0, 1.4, "water has 1.00, no battery's acid reaches 1.4, and 1265 is written 1.265")

# What is read, by what it is judged as. All ours, and wide: nothing real is refused. Where zero or less cannot be, its
# engine says so in words of its own.
READ: dict[str, Bound] = {
    "voltage_drop": Bound("a voltage lost", 0.0, 32.0, "more than the vehicle's own supply cannot be lost", _METER),
    "charging_voltage": Bound(
        "a charging voltage", 4.0, 60.0, "no battery of 6 to 48 V is charged with less or more", _METER
    ),
    "parasitic_current": Bound(
        "a current while everything sleeps", 0.0, 20.0, "that is a load that runs, and blows a meter's fuse", _METER
    ),
    "thermistor_temperature": _SENSOR,
    "thermistor_resistance": _SENSOR,
    "pt100_resistance": Bound("a sensor", 10.0, 8000.0, "no Pt100 to Pt1000 has less or more; it is shorted or open",
                              _METER),
    "cylinder_compression": _COMPRESSION,
    "cylinder_spread": _COMPRESSION,
    "leak_down_gauges": Bound("a tester's pressure", 1.0, 1500.0, "no leakage tester is fed with more", _GAUGE),
    "oil_pressure": Bound("an oil pressure", 0.0, 1500.0, "the pump's relief valve opens long before", _GAUGE),
    "fuel_pressure": Bound(
        "a fuel pressure", 0.0, 1500.0, "more is the high-pressure side, whose jet goes through skin; keep it closed",
        "Check the unit, and leave that side to a workshop.",
    ),
    "cooling_pressure": _CAP,
    "cooling_pressure_drop": _CAP,
    # The air's pressure is 101.325 kPa; a high and the gauge's own error are let pass.
    "vacuum": Bound("a vacuum", 0.0, 105.0, "it is counted from the air's pressure down, and then nothing is left",
                    _GAUGE, signed=True),
    "disc_thickness": _DISC,
    "thickness_variation": _DISC,
    "pad_thickness": Bound("a lining", 0.0, 40.0, "no brake has a thicker one"),
    "tread_depth": Bound("a tread", 0.0, 30.0, "no road tyre has a deeper one"),
    "runout": Bound("a dial's reading", 0.0, 25.0, "no dial indicator reaches further", signed=True),
    "valve_clearance": Bound("a blade", 0.01, 5.0, "no set of feeler gauges has a thinner or a thicker one"),
    "free_play": Bound("a free play", 0.0, 500.0, "no lever or pedal goes that far"),
    "spring_length": Bound("a spring", 1.0, 2000.0, "no vehicle has a shorter or a longer one"),
    "belt_deflection": Bound("a deflection", 0.0, 200.0, "no run of a belt gives way that far"),
    "volume_out": Bound("a pour", 0.0, 200.0, "no vessel that is poured from holds more"),
    "volume_out_weighed": Bound("a weighing", 0.0, 300.0, "nobody hangs a heavier vessel on a scale"),
    "tilt": _LEAN,
    "tilt_level": _BUBBLE,
    "tilt_water": Bound("a height", 0.0, 4000.0, "a ruler measures it, from a point of the vehicle to the water"),
    "acid_density": _ACID,
}  # fmt: skip
# What is asked beside it, by the name of its field, with the quantity's before it where others ask by that name too.
ASKED: dict[str, Bound] = {
    "load_a": _CURRENT,
    "at_load": _CURRENT,
    "locked": Bound("a time since it was locked", 0.0, 527040.0, "a year is the most that counts", _TIME),
    "sleep": Bound("a time until everything sleeps", 0.0, 1440.0, "no module takes a day", _TIME),
    "burden": Bound("a voltage across the meter", 0.0, 2.0, "behind more the modules would start anew",
                    "Read it across the meter's own two sockets, or leave it empty."),
    "rested": Bound("a rest", 0.0, 527040.0, "a year is the most that counts", _TIME),
    "temperature": Bound("a battery's temperature", -40.0, 60.0, "no battery lives through it", _WARMTH),
    "acid_density.at": Bound("a temperature of limits", 0.0, 50.0, "no manual states an acid's density for it",
                             _WARMTH),
    "acid": Bound("an acid's temperature", -40.0, 60.0, "no battery lives through it", _WARMTH),
    "r25": Bound("a sensor", 1.0, 5e6, "no thermistor has less or more", "Copy it from the manual, such as 2.2 kΩ."),
    "r_at": _CURVE_C,
    "table_t": _CURVE_C,
    "beta": Bound("a beta", 500.0, 10_000.0, "no thermistor has it", "Copy it from the data sheet."),
    "tolerance": Bound("a tolerance", 0.0, 50.0, "a sensor that is further off is none", "Write it such as 3."),
    "supply": Bound("a supply", 50.0, 1500.0, "no leakage tester is fed with less or more", _GAUGE),
    "held": _WAIT,
    "over": _WAIT,
    "warmer": Bound("a change of temperature", 0.0, 100.0, "nothing changes so far meanwhile", _WARMTH,
                    signed=True),
    "zero_error": Bound("a zero of the gauge", 0.0, 10.0, "a gauge that is further off is broken", signed=True),
    "bearing_play": Bound("a play", 0.0, 10.0, "a wheel with more is about to come off"),
    "not": Bound("a blade", 0.01, 5.0, "no set of feeler gauges has a thinner or a thicker one"),
    "end": Bound("a doubt about the end", 0.0, 50.0, "with more nothing is found"),
    "marks": Bound("a distance of marks", 0.0, 50.0, "no vessel has wider ones"),
    "density": Bound("a density", 0.6, 2.0, "no fluid of a vehicle has it", "Write it in kg/L, such as 0.87."),
    "tare": Bound("an empty vessel", 0.0, 100.0, "nobody lifts more"),
    "emissivity_set": Bound("an emissivity setting", 0.1, 1.0, "no thermometer can be set to it",
                            "Look at the display or the manual; most are fixed at 0.95."),
    "surroundings": Bound("a temperature around it", -60.0, 800.0, "nobody reads anything there", _WARMTH),
    "tilt.turned": _LEAN,
    "tilt_level.turned": _BUBBLE,
    "sensitivity": Bound("a level's mm/m", 0.01, 300.0, "no level is finer or coarser",
                         "Write what stands on it for one division, such as 0.5."),
    "distance": Bound("a distance between the ends", 100.0, 30_000.0, "a hose along a vehicle has another"),
}  # fmt: skip
# What is judged, where it is of another kind than what is read, or its sign does not count. All ours.
JUDGED: dict[str, Bound] = {
    "battery_charge": Bound("a charge", 0.0, 100.0, "it lies between empty and full"),
    "thermistor_temperature": _CURVE_C,
    "pt100_temperature": Bound("a temperature", -200.0, 850.0, "the sensor's curve does not reach further", _WARMTH),
    "cylinder_spread": Bound("the lowest cylinder", 0.0, 100.0, "it is a share of the highest, which has 100 %"),
    "leak_down": _LEAKAGE,
    "leak_down_gauges": _LEAKAGE,
    "cooling_pressure_drop": Bound("a pressure lost", 0.0, 300.0, "no more can be lost than the cap holds"),
    "vacuum": Bound("a vacuum", 0.0, 105.0, "it is counted from the air's pressure down, without a sign"),
    "thickness_variation": Bound("a variation", 0.0, 5.0, "it has no sign, and a disc that varies more is scrap"),
    "runout": Bound("a runout", 0.0, 25.0, "it has no sign, and no dial indicator reaches further"),
    "surface_temperature": _SURFACE,
    "contact_temperature": _SURFACE,
    "volume_out": _OUT,
    "volume_out_weighed": _OUT,
    "tilt_level": replace(_LEAN, signed=False, why="it has no sign here, and at 90 deg it stands upright"),
    "tilt_water": replace(_LEAN, signed=False, why="it has no sign here, and at 90 deg it stands upright"),
}  # fmt: skip


def bound_asked(quantity: str, ask: str) -> Bound | None:
    """Return the bound of what a quantity asks; None where there is none."""
    return ASKED.get(f"{quantity}.{ask}") or ASKED.get(ask)


def bound_judged(quantity: str) -> Bound | None:
    """Return the bound of what limits of a quantity are about; None where there is none."""
    return JUDGED.get(quantity) or READ.get(quantity)
