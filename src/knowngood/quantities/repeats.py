"""How far readings of each kind usually scatter when they are made anew: what a single reading cannot show.

All of it is our estimate, for which no readings were collected. So it is taken a little wide, and is worth two degrees
of freedom only: where the true scatter is as usual, the 95 % range covers at least that; where it is three times that,
from 84 % at two readings to 91 % at six.
"""

from collections.abc import Mapping

from knowngood.engine.measurement.meters.instruments import Repeat

# Ours: a display that moves by its last place, or a scale read by eye to half a mark, is in all of them.
HALF_A_STEP = 0.5

# By the unit inside of what is read. Ours.
BY_UNIT: Mapping[str, Repeat] = {
    "ohm": Repeat(share=0.001, steps=HALF_A_STEP),  # the probes' contact
    "V": Repeat(share=0.0005, steps=HALF_A_STEP),
    "A": Repeat(share=0.005, steps=HALF_A_STEP),
    "kPa": Repeat(share=0.005, steps=HALF_A_STEP),  # a needle that trembles
    "mm": Repeat(size=0.01, steps=HALF_A_STEP),
    "°C": Repeat(size=0.3, steps=HALF_A_STEP),
    "deg": Repeat(size=0.03, steps=HALF_A_STEP),  # the spot it is laid on
    "%": Repeat(size=0.5, steps=HALF_A_STEP),
    "kg": Repeat(share=0.002, steps=HALF_A_STEP),
    "kg/L": Repeat(steps=HALF_A_STEP),
    "L": Repeat(share=0.01, steps=HALF_A_STEP),
    "N·m": Repeat(share=0.02, steps=HALF_A_STEP),
}
OTHERWISE = Repeat(share=0.01, steps=HALF_A_STEP)
# What is steadier or less steady than its unit says. Ours.
BY_QUANTITY: Mapping[str, Repeat] = {
    "charging_voltage": Repeat(share=0.001, steps=HALF_A_STEP),  # the load comes and goes at idle
    "voltage_drop": Repeat(share=0.02, steps=HALF_A_STEP),  # so does the current through a contact
    "parasitic_current": Repeat(share=0.02, steps=HALF_A_STEP),
    "free_play": Repeat(size=0.5, steps=HALF_A_STEP),  # where the hand feels it begin
    "belt_deflection": Repeat(size=0.5, steps=HALF_A_STEP),  # how hard it is pushed
    "spring_length": Repeat(size=0.05, steps=HALF_A_STEP),
    "tilt_level": Repeat(size=0.1, steps=HALF_A_STEP),
    "surface_temperature": Repeat(size=0.5, steps=HALF_A_STEP),  # where it is aimed
}
# Where several readings are no repeats of one, so that they show no scatter: what they are instead. Their engines say
# in rows of their own what a hand, a cranking or an eye does to one of them.
APART: Mapping[str, str] = {
    "acid_density": "one of each cell",
    "cylinder_compression": "one of each cylinder",
    "cylinder_spread": "one of each cylinder",
    "leak_down": "one of each cylinder",
    "leak_down_gauges": "one of each cylinder",
    "cooling_pressure_drop": "the start and the end of a wait",
    "disc_thickness": "one at each place",
    "thickness_variation": "one at each place",
    "pad_thickness": "one at each place",
    "tread_depth": "one at each place",
    "runout": "the needle round a turn, or totals whose scatter is the feel of the hand",
    "valve_clearance": "the blade that goes and the one that does not",
    "volume_out": "pours, which are added up",
    "volume_out_weighed": "fillings, which are added up",
    "tilt_water": "one at each end of the hose",
}


def usual_scatter(quantity: str, unit: str) -> Repeat:
    """Return how far such readings usually scatter.

    Args:
        quantity: Its name.
        unit: Unit inside of what is read.
    """
    return BY_QUANTITY.get(quantity) or BY_UNIT.get(unit, OTHERWISE)
