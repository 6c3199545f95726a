"""The best reading that an instrument can give of a true value, through the quantity's own model."""

import math
from collections.abc import Callable, Iterator, Mapping
from functools import lru_cache
from itertools import pairwise
from types import MappingProxyType

import numpy as np

from knowngood import units
from knowngood.checks.toolbox import ToolMeter
from knowngood.engine.judgement import Estimate
from knowngood.engine.measurement.electrical.resistance import LEADS_OHM, REFERENCE_C, THERMOMETER_HALF_K
from knowngood.engine.measurement.meters.instruments import Meter
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
    "thickness_variation": {"again": "again"}, "runout": {"bearing_play": "0 mm"},
    "cooling_pressure_drop": {"warmer": "0 ± 1 K", "held": "over"}, "tilt_water": {"distance": "2600 mm"},
})  # fmt: skip
# Between these readings the model of another kind than its limits goes one way. [unit inside of what is read]
SEARCHED: Mapping[str, tuple[float, float]] = MappingProxyType({
    "battery_charge": (11.9, 12.65), "thermistor_temperature": (10.0, 1e6), "pt100_temperature": (20.0, 4000.0),
    "tilt_level": (0.01, 50.0), "tilt_water": (0.5, 1200.0), "volume_out_weighed": (0.05, 60.0),
    "leak_down_gauges": (1.0, 2000.0),
})  # fmt: skip
# Several places, cylinders, moments or ends, around what such a thing usually measures. Ours. [unit inside]
PLACES_ROUND, DISC_MM, CYLINDERS_KPA, CAP_KPA, WATER_MM = 8, 22.0, 1200.0, 100.0, 400.0


def _round(middle: float, apart: float) -> tuple[float, ...]:
    """Evenly spaced once round, highest and lowest this far apart."""
    turns = (math.tau * place / PLACES_ROUND for place in range(PLACES_ROUND))
    return tuple(middle + 0.5 * apart * math.cos(turn) for turn in turns)


# The readings that a careful reader of a sound instrument has; of all others several alike.
MADE: Mapping[str, Callable[[float, Meter], tuple[float, ...]]] = MappingProxyType({
    "cylinder_spread": lambda percent, _: (CYLINDERS_KPA, 0.01 * percent * CYLINDERS_KPA, CYLINDERS_KPA, CYLINDERS_KPA),
    "thickness_variation": lambda apart, _: _round(DISC_MM, apart),
    "runout": lambda apart, _: _round(0.0, apart),
    "cooling_pressure_drop": lambda lost, _: (max(CAP_KPA, lost), max(CAP_KPA, lost) - lost),
    "tilt_water": lambda apart, _: (WATER_MM + apart, WATER_MM),
    # The blade that goes, and the next.
    "valve_clearance": lambda gap, meter: (gap - 0.5 * meter.step, gap + 0.5 * meter.step),
    # They are added up, so one is the best.
    "volume_out": lambda out, _: (out,),
    "volume_out_weighed": lambda out, _: (out,),
})  # fmt: skip
# Ours: how finely readings are looked through, and how often what was found is made better.
PLACES, TIMES, TRIES = 9, 4, 3


def readings_of(quantity: Quantity, reading: float, meter: Meter) -> tuple[float, ...]:
    """Return the readings that are taken where one alone would be this.

    Args:
        quantity: What is judged.
        reading: One reading, or what several are apart. [unit inside of what is read]
        meter: What they would be read with.
    """
    made = MADE.get(quantity.name)
    return made(reading, meter) if made else (reading,) * READINGS


def best_reading(tool: ToolMeter, quantity: Quantity, limit: Limit, value: float) -> Estimate | None:
    """Return what the best reading near a true value tells; None when there is no such reading.

    Args:
        tool: What it would be read with.
        quantity: What is judged.
        limit: States some of what the quantity asks.
        value: The true value. [unit inside of what is judged]
    """
    at = f"{limit.at.value:g}" if limit.at else f"{REFERENCE_C:g}"
    typed = {"at": at, "conductor": limit.conductor.value if limit.conductor else ""}
    stated = tuple(sorted({**FOUND_OUT.get(quantity.name, {}), **typed, **limit.given}.items()))
    return _near(tool, quantity, stated, value)


def _near(tool: ToolMeter, quantity: Quantity, stated: tuple[tuple[str, str], ...], value: float) -> Estimate | None:
    if quantity.name in SEARCHED:
        return _searched(tool, quantity, stated, value)
    reading, found, slope, step = value, None, 1.0, 0.0
    for _ in range(TRIES):  # leads, warmth, glow and the limit's own time shift it
        before = found
        found = _told(tool, quantity, stated, reading)
        if found is None:
            return before
        if abs(value - found.value) < 0.01 * found.standard_uncertainty:
            break
        if before is not None and found.value != before.value:
            slope = (found.value - before.value) / step
        step = (value - found.value) / slope
        reading += step
    return found


def _searched(
    tool: ToolMeter, quantity: Quantity, stated: tuple[tuple[str, str], ...], value: float
) -> Estimate | None:
    """Look through readings, then halve between the two that have the value between them."""
    pairs = pairwise(_looked_through(tool, quantity, stated))
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


def _looked_through(
    tool: ToolMeter, quantity: Quantity, stated: tuple[tuple[str, str], ...]
) -> list[tuple[float, Estimate]]:
    """Readings with what they tell; the last ones close to where no such reading can be any more."""
    known: list[tuple[float, Estimate]] = []
    beyond = None
    for reading in _spaced(quantity):
        one = _told(tool, quantity, stated, reading)
        if one:
            known.append((reading, one))
        elif known:
            beyond = reading
            break
    for _ in range(TIMES if beyond else 0):
        assert beyond is not None
        reading = (known[-1][0] * beyond) ** 0.5
        one = _told(tool, quantity, stated, reading)
        if one:
            known.append((reading, one))
        else:
            beyond = reading
    return known


def _spaced(quantity: Quantity) -> Iterator[float]:
    return (float(one) for one in np.geomspace(*SEARCHED[quantity.name], PLACES))


def _told(tool: ToolMeter, quantity: Quantity, stated: tuple[tuple[str, str], ...], reading: float) -> Estimate | None:
    """What the model makes of a reading; None when its range does not hold it, or no such reading can be."""
    values = readings_of(quantity, reading, tool.meter)
    if not tool.holds(values):
        return None
    return _estimated(tool.at(max(values, key=abs)), quantity, stated, reading)


@lru_cache(maxsize=1024)
def _estimated(
    meter: Meter, quantity: Quantity, stated: tuple[tuple[str, str], ...], reading: float
) -> Estimate | None:
    """Kept by what the meter is known to be, for pages ask anew each time they are drawn."""
    kind = quantity.reads
    stating = dict(stated)
    said = {name: _word(word, stating, reading, kind.unit, meter) for name, word in stated}
    asked = {ask.name: said.get(ask.name, "") for ask in quantity.asks}
    values = readings_of(quantity, reading, meter)
    given = Given(
        units.Readings(f"{reading:g}", kind, kind.unit, values, meter.step),
        meter,
        asked,
        "best",
        quantity=quantity.name,
    )
    try:
        return quantity.estimated(given)
    except (ValueError, Refused):
        return None


def _word(word: str, stated: Mapping[str, str], reading: float, unit: str, meter: Meter) -> str:
    if word == "at":
        return f"{stated['at']} ± {THERMOMETER_HALF_K:g} °C"
    if word == "over":  # it is held as long as the limit says
        return stated.get("over", "")
    if word == "again":
        once, next_to_it = f"{DISC_MM:.9g}", f"{DISC_MM + meter.step:.9g}"
        return f"{once} {next_to_it} {once} {next_to_it} {once} {unit}"
    return f"{-reading:.9g} {unit}" if word == "turned" else word
