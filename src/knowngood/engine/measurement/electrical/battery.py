"""Charge of a rested lead-acid battery of 12 V from its voltage."""

from collections.abc import Sequence
from typing import Any

import numpy as np

from knowngood.engine.judgement import Estimate, Input, Shape, propagate
from knowngood.engine.measurement.electrical.wires import Stated, displayed, refuse_nothing, shown, up_to
from knowngood.engine.measurement.meters.instruments import Meter, gain_input
from knowngood.engine.measurement.readings.remedies import Way

# Rested lead-acid battery at 26.7 °C, volts and charge in percent. Source: LEAD_ACID_TABLE.
TABLE = ((11.89, 0.0), (12.06, 25.0), (12.24, 50.0), (12.45, 75.0), (12.65, 100.0))
TABLE_C = 26.7
# Published corrections run from 1.2 to 4.3 mV/K and do not agree: the larger is taken as a doubt. [V/K]
DISPUTED_V_PER_K = 0.0043
# Weather in which someone works outside. Ours. [°C, K]
OUTSIDE_C, OUTSIDE_HALF_K = 15.0, 15.0
# A stated temperature without a tolerance. Ours. [K]
THERMOMETER_HALF_K = 3.0
# How far other tables, for other kinds of battery, lie from this one: ours. [V]
TABLE_HALF_V = {"unknown": 0.1, "flooded": 0.03}
# Right after charging or driving a battery shows up to this too much, and nothing after a night. Ours; manuals ask
# for 6 to 24 hours. [V, h]
SURFACE_V, RESTED_H = 0.3, 8.0
# Ours. [°C]
COLDEST_C, HOTTEST_C = -40.0, 60.0
# What no rested battery of 12 V reaches: ours. [V]
LOWEST_V, CHARGING_V, TWO_BATTERIES_V = 10.5, 13.2, 16.0
# How much doubt a voltage beyond the table's ends gets, once it counts as full or as empty. Ours. [%]
BEYOND_PERCENT = 10.0
# The straight lines between the table's points meet in corners rounded over this width. Ours. [V]
CORNER_V = 0.02
BATTERY_WAYS = (
    Way("rest", "Let it rest overnight with everything switched off", 60.0 * RESTED_H, 0.0),
    Way("temperature", "Measure the battery's temperature", 5, 0.5),
    Way("table", "Look up the table of rested voltage for this battery", 10, 0.3),
)


def _corners(volts: Any) -> list[Any]:
    """Nothing below each inner point of the table, a straight rise above it, with a rounded corner."""
    away = [volts - point for point, _ in TABLE[1:-1]]
    return [0.5 * (one + np.sqrt(one * one + CORNER_V**2)) for one in away]


def _weights() -> list[float]:
    """Weights with which a line and its corners go through all points of the table."""
    rows = [[1.0, volts, *_corners(volts)] for volts, _ in TABLE]
    return [float(one) for one in np.linalg.solve(np.array(rows), np.array([percent for _, percent in TABLE]))]


WEIGHTS = _weights()


def charge_percent(volts: Any) -> Any:
    """Return the charge that belongs to a rested voltage: straight lines through the table, corners rounded.

    Rounded, for a sharp corner has no slope; the line goes on beyond the table's ends.

    Args:
        volts: Rested voltage of a battery of 12 V; float, complex or array. [V]

    Returns:
        State of charge. [%]

    Example:
        >>> round(float(charge_percent(12.24)), 6), round(float(charge_percent(12.55)), 1)
        (50.0, 87.5)
    """
    parts = zip(WEIGHTS, [1.0, volts, *_corners(volts)], strict=True)
    return sum(weight * part for weight, part in parts)


def battery_charge(
    read_v: Sequence[float],
    *,
    meter: Meter,
    battery_c: Stated | None = None,
    rested_h: float | None = None,
    battery: str = "unknown",
    reading_id: str = "reading",
    seed: int = 0,
) -> Estimate:
    """Return the charge of a rested lead-acid battery of 12 V from its voltage.

    The disputed correction for temperature is a doubt here, not a correction. A battery that did not rest long enough
    shows too much, never too little. A voltage beyond the table's ends counts as full or as empty.

    Args:
        read_v: Readings at the posts, everything switched off. [V]
        meter: What they were read with.
        battery_c: Its temperature, and how far off; None assumes mild weather. [°C]
        rested_h: Since it was last charged or driven; None: anything. [h]
        battery: A key of TABLE_HALF_V.
        reading_id: Makes the keys of this reading's own errors.
        seed: Of the Monte Carlo draws.

    Returns:
        State of charge. [%]

    Raises:
        ValueError: A voltage that no rested battery of 12 V has.

    Source:
        GUM, 5.1.2.
        LEAD_ACID_TABLE, all five points.

    Example:
        >>> blue = Meter("blue", 0.5, 2, 0.01)
        >>> rested = battery_charge([12.45], meter=blue, battery_c=(26.7, 1.0), rested_h=12, battery="flooded")
        >>> round(rested.value), round(rested.standard_uncertainty)
        (75, 5)
    """
    _refuse_conditions(battery_c, rested_h)
    _refuse_battery(read_v)
    surface = _surface(rested_h, reading_id)
    inputs = [
        *displayed(read_v, meter, reading_id),
        gain_input(meter),
        surface,
        *_table_inputs(battery_c, battery, reading_id),
    ]
    inputs.append(_beyond(charge_percent(inputs[0].value - surface.value), reading_id))

    def charge(read: Any, digits: Any, step: Any, gain: Any, surface_v: Any, *rest: Any) -> Any:
        temperature_v, table_v, beyond = rest
        return charge_percent(shown(read, digits, step, gain) - surface_v + temperature_v + table_v) - beyond

    return propagate(charge, inputs, unit="%", seed=seed)


def _surface(rested_h: float | None, reading_id: str) -> Input:
    """What charging leaves on the plates for some hours; it fades evenly. Ours."""
    left = 1.0 - min(1.0, (rested_h or 0.0) / RESTED_H)
    return up_to(
        f"reading:{reading_id}/surface", SURFACE_V * left, assumed=True, remedies=("rest",),
        name=f"charge on the surface of the plates, up to {SURFACE_V * left:.2g} V",
    )  # fmt: skip


def _table_inputs(battery_c: Stated | None, battery: str, reading_id: str) -> list[Input]:
    """How far the table may not fit: by temperature, and by the kind of battery."""
    middle, half = battery_c or (OUTSIDE_C, OUTSIDE_HALF_K)
    away = abs(middle - TABLE_C) + (THERMOMETER_HALF_K if half is None else half)
    return [
        Input(
            f"reading:{reading_id}/temperature", 0.0, Shape.RECTANGULAR, DISPUTED_V_PER_K * away,
            assumed=battery_c is None, remedies=() if battery_c else ("temperature",),
            name=f"the battery at {middle:g} ± {away - abs(middle - TABLE_C):g} °C",
        ),
        Input(
            f"reading:{reading_id}/table", 0.0, Shape.RECTANGULAR, TABLE_HALF_V[battery],
            assumed=battery == "unknown", remedies=("table",),
            name=f"which table fits this battery, ± {TABLE_HALF_V[battery]:g} V",
        ),
    ]  # fmt: skip


def _beyond(percent: float, reading_id: str) -> Input:
    """What a charge outside 0 to 100 % is taken back by, with some doubt, and said plainly."""
    beyond = float(percent - min(100.0, max(0.0, percent)))
    (empty_v, _), (full_v, _) = TABLE[0], TABLE[-1]
    ends = f"{full_v:g} V: counted as full" if beyond > 0.0 else f"{empty_v:g} V: counted as empty"
    return Input(
        f"reading:{reading_id}/beyond", beyond, Shape.RECTANGULAR, min(abs(beyond), BEYOND_PERCENT), assumed=True,
        name=f"the table ends at {ends}",
    )  # fmt: skip


def _refuse_conditions(battery_c: Stated | None, rested_h: float | None) -> None:
    """Refuse a rest and a temperature that cannot be."""
    if rested_h is not None and rested_h < 0.0:
        raise ValueError(f"rested {rested_h:g} h is below zero. Write the hours since it was charged or driven.")
    if battery_c is not None and not COLDEST_C <= battery_c[0] <= HOTTEST_C:
        raise ValueError(
            f"a battery at {battery_c[0]:g} °C is outside {COLDEST_C:g} to {HOTTEST_C:g} °C, where a battery lives. "
            "Check the temperature and its unit."
        )


def _refuse_battery(values: Sequence[float]) -> None:
    """Refuse voltages that no rested battery of 12 V has."""
    refuse_nothing(values, "V", "a battery that is connected shows more; look for the probes' contact")
    low, high = min(values, default=LOWEST_V), max(values, default=LOWEST_V)
    if high > TWO_BATTERIES_V:
        raise ValueError(
            f"{high:g} V is more than one battery of 12 V: a system of 24 V, or a charger alone. "
            "Read each battery of 12 V by itself, at its own posts."
        )
    if high > CHARGING_V:
        raise ValueError(
            f"{high:g} V is a battery being charged, or just charged, or one that is not lead and acid; a rested one "
            f"shows {CHARGING_V:g} V at most. Switch everything off, wait some hours and read again."
        )
    if low < LOWEST_V:
        raise ValueError(
            f"{low:g} V is too low for a rested battery of 12 V, which is empty at {TABLE[0][0]:g} V: a dead cell, "
            "a load that is still on, or a battery of 6 V. Switch everything off, charge it, let it rest, read again."
        )
