"""The best reading that an instrument can give of a true value, through the quantity's own model."""

from collections.abc import Iterator, Mapping
from functools import lru_cache
from itertools import pairwise
from types import MappingProxyType

import numpy as np

from knowngood import units
from knowngood.checks.toolbox import ToolMeter
from knowngood.engine.judgement import Estimate
from knowngood.engine.measurement.instruments import Meter
from knowngood.engine.measurement.resistance import LEADS_OHM, REFERENCE_C, THERMOMETER_HALF_K
from knowngood.quantities.model import Given, Quantity
from knowngood.refusal import Refused
from knowngood.sheet.model import Limit

# Ours: five readings, leads read three times, the part as warm as the limits say and its temperature taken.
READINGS, LEAD_READINGS = 5, 3
LEADS = " ".join([f"{LEADS_OHM:g}"] * LEAD_READINGS) + " ohm"
# What a careful reader finds out meanwhile; "at" is the limits' temperature, "turned" the reading turned round. Ours.
FOUND_OUT: Mapping[str, Mapping[str, str]] = MappingProxyType({
    "winding_resistance": {"zero": LEADS, "part": "at"}, "thermistor_resistance": {"part": "at"},
    "pt100_resistance": {"zero": LEADS, "part": "at"}, "pt100_temperature": {"zero": LEADS},
    "parasitic_current": {"locked": "600 min", "burden": "0 V"},
    "battery_charge": {"rested": "24 h", "temperature": "20 ± 1 °C"},
    "acid_density": {"acid": "at"},
    "disc_thickness": {"zero_error": "0 mm"}, "pad_thickness": {"zero_error": "0 mm"},
    "tread_depth": {"zero_error": "0 mm"}, "free_play": {"end": "0.1 mm"}, "spring_length": {"end": "0.1 mm"},
    "belt_deflection": {"pushed": "scale"}, "tilt": {"turned": "turned"}, "tilt_level": {"turned": "turned"},
})  # fmt: skip
# Between these readings the model of another kind than its limits goes one way. [unit inside of what is read]
SEARCHED: Mapping[str, tuple[float, float]] = MappingProxyType({
    "battery_charge": (11.9, 12.65), "thermistor_temperature": (10.0, 1e6), "pt100_temperature": (20.0, 4000.0),
    "tilt_level": (0.01, 100.0), "volume_out_weighed": (0.05, 60.0), "leak_down_gauges": (1.0, 2000.0),
})  # fmt: skip
# No one reading stands for a value of these: each is a difference between places, cylinders, heights or times.
LEFT_OUT = ("cylinder_spread", "thickness_variation", "runout", "cooling_pressure_drop", "tilt_water")
# Several readings of these are added up, so one is the best.
ADDED_UP = ("volume_out", "volume_out_weighed")
# Ours: how finely readings are looked through, and how often what was found is made better.
PLACES, TIMES = 9, 4


def best_reading(tool: ToolMeter, quantity: Quantity, limit: Limit, value: float) -> Estimate | None:
    """Return what the best reading near a true value tells; None when no reading stands for it.

    Args:
        tool: What it would be read with.
        quantity: What is judged.
        limit: States some of what the quantity asks.
        value: The true value. [unit inside of what is judged]
    """
    if quantity.name in LEFT_OUT:
        return None
    at = f"{limit.at.value:g}" if limit.at else f"{REFERENCE_C:g}"
    typed = {"at": at, "conductor": limit.conductor.value if limit.conductor else ""}
    stated = tuple(sorted({**FOUND_OUT.get(quantity.name, {}), **typed, **limit.given}.items()))
    return _near(tool, quantity, stated, value)


def _near(tool: ToolMeter, quantity: Quantity, stated: tuple[tuple[str, str], ...], value: float) -> Estimate | None:
    if quantity.name in SEARCHED:
        return _searched(tool, quantity, stated, value)
    reading, found = value, None
    for _ in range(3):  # leads, warmth and glow shift it a little
        found = _told(tool, quantity, stated, reading)
        if found is None:
            return None
        if abs(value - found.value) < 0.01 * found.standard_uncertainty:
            break
        reading += value - found.value
    return found


def _searched(
    tool: ToolMeter, quantity: Quantity, stated: tuple[tuple[str, str], ...], value: float
) -> Estimate | None:
    """Look through readings, then halve between the two that have the value between them."""
    known = [(reading, one) for reading in _spaced(quantity) if (one := _told(tool, quantity, stated, reading))]
    pairs = pairwise(known)
    between = [pair for pair in pairs if (pair[0][1].value - value) * (pair[1][1].value - value) <= 0.0]
    if not between:
        return None
    low, high = between[0]
    for _ in range(TIMES):
        middle = (low[0] * high[0]) ** 0.5
        one = _told(tool, quantity, stated, middle)
        if one is None:
            break
        low, high = ((middle, one), high) if (low[1].value - value) * (one.value - value) > 0 else (low, (middle, one))
    return min(low[1], high[1], key=lambda one: abs(one.value - value))


def _spaced(quantity: Quantity) -> Iterator[float]:
    return (float(one) for one in np.geomspace(*SEARCHED[quantity.name], PLACES))


def _told(tool: ToolMeter, quantity: Quantity, stated: tuple[tuple[str, str], ...], reading: float) -> Estimate | None:
    """What the model makes of a reading; None when its range does not hold it, or no such reading can be."""
    return _estimated(tool.at(reading), quantity, stated, reading) if tool.holds([reading]) else None


@lru_cache(maxsize=1024)
def _estimated(
    meter: Meter, quantity: Quantity, stated: tuple[tuple[str, str], ...], reading: float
) -> Estimate | None:
    """Kept by what the meter is known to be, for pages ask anew each time they are drawn."""
    kind = quantity.reads
    said = {name: _word(word, dict(stated)["at"], reading, kind.unit) for name, word in stated}
    asked = {ask.name: said.get(ask.name, "") for ask in quantity.asks}
    values = (reading,) * (1 if quantity.name in ADDED_UP else READINGS)
    if quantity.name == "valve_clearance":  # the blade that goes, and the next
        values = (reading - 0.5 * meter.step, reading + 0.5 * meter.step)
    given = Given(units.Readings(f"{reading:g}", kind, kind.unit, values, meter.step), meter, asked, "best")
    try:
        return quantity.estimate(given)
    except (ValueError, Refused):
        return None


def _word(word: str, at: str, reading: float, unit: str) -> str:
    if word == "at":
        return f"{at} ± {THERMOMETER_HALF_K:g} °C"
    return f"{-reading:.9g} {unit}" if word == "turned" else word
