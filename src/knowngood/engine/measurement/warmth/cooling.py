"""Cooling down: how many minutes until a part is at the temperature that is wanted."""

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

import numpy as np

from knowngood.engine.judgement import Estimate, Input, Shape, propagate
from knowngood.engine.measurement.meters.instruments import Meter, gain_input
from knowngood.engine.measurement.readings.single import offset_input, shown_input
from knowngood.engine.measurement.warmth.infrared import Surroundings, around_input

# Minutes in which the distance to the air falls to 37 %, least and most. Ours: wide, for still air and a closed bonnet
# are at one end, wind and an open one at the other.
TIME_CONSTANTS_MIN = {"engine": (40.0, 120.0), "gearbox": (30.0, 100.0), "brake": (10.0, 40.0), "small": (5.0, 20.0)}
# Ours: a vehicle that was driven until now, when nobody has read a temperature.
WARM_C, WARM_HALF_K = 90.0, 15.0
# Ours: heat flows from inner to outer parts and the air moves, so the law holds to this share of the time.
LAW = 0.15
Moment = tuple[float, float]


@dataclass(frozen=True)
class Line:
    """A straight line through points. [units of the points]"""

    slope: Any
    intercept: Any


def fitted(minutes: Sequence[float], heights: Sequence[Any]) -> Line:
    """Return the line of least squares; heights may be floats, complex numbers or arrays.

    Args:
        minutes: Of the points; not all alike. [min]
        heights: Of the points. [any]

    Example:
        >>> fitted([0, 1, 2], [1.0, 3.0, 5.0])
        Line(slope=2.0, intercept=1.0)
    """
    middle = sum(minutes) / len(minutes)
    away = [minute - middle for minute in minutes]
    slope = sum(a * y for a, y in zip(away, heights, strict=True)) / sum(a * a for a in away)
    return Line(slope, sum(heights) / len(heights) - slope * middle)


def typical_minutes(away_k: float, left_k: float, *, body: str) -> float:
    """Return how long such a part usually takes to cool, by Newton's law and the middle of its time constants.

    Args:
        away_k: Its distance to the air now. [K]
        left_k: Distance that is near enough. [K]
        body: A key of TIME_CONSTANTS_MIN.

    Returns:
        Minutes; none when it is near enough already. [min]

    Example:
        >>> round(typical_minutes(30.0, 1.5, body="small"))
        30
    """
    return math.sqrt(math.prod(TIME_CONSTANTS_MIN[body])) * math.log(max(away_k / left_k, 1.0))


def minutes_to_reach(
    target_c: float,
    readings: Sequence[Moment] = (),
    *,
    meter: Meter,
    air: Surroundings | None = None,
    body: str = "engine",
    reading_id: str = "cooling",
    seed: int = 0,
) -> Estimate:
    """Return the minutes from the last reading until a part has cooled to a temperature, by Newton's law of cooling.

    Two readings or more show how fast it cools; one, or none, leaves a typical range for such a part.

    Args:
        target_c: Temperature that is wanted. [°C]
        readings: Minute and temperature of each, in order of time. [min, °C]
        meter: The thermometer.
        air: Around the part; None assumes a garage, wide.
        body: A key of TIME_CONSTANTS_MIN; only used with fewer than two readings.
        reading_id: Makes the keys of these readings' own errors.
        seed: Of the Monte Carlo draws.

    Raises:
        ValueError: Already there, a target or a reading in reach of the air, readings that do not show cooling.

    Source:
        GUM, 5.1.2, linear law.

    Example:
        >>> still = Surroundings(22.2, 0.0, assumed=False)
        >>> probe = Meter("probe", 0.0, 0, 0.1)
        >>> found = minutes_to_reach(48.9, [(0, 190.6), (15, 101.7)], meter=probe, air=still)
        >>> round(found.value, 1), round(found.standard_uncertainty, 1)
        (21.8, 1.9)
    """
    around = air or Surroundings()
    law = Input("cooling/law", 0.0, Shape.RECTANGULAR, LAW, assumed=True, name="how it cools")
    if len(readings) >= 2:
        _refuse(target_c, readings[-1][1], 0.0, around)
        return _by_readings(
            lambda air_c: target_c - air_c, readings, meter=meter, around=around, law=law, reading_id=reading_id,
            seed=seed,
        )  # fmt: skip
    if body not in TIME_CONSTANTS_MIN:
        raise ValueError(f'"{body}" is no part known here. Take one of {", ".join(TIME_CONSTANTS_MIN)}.')
    key = f"reading:{reading_id}/1"
    now = Input(f"{key}/start", WARM_C, Shape.RECTANGULAR, WARM_HALF_K, assumed=True, remedies=("temperature",),
                name="temperature to begin with")  # fmt: skip
    reach = WARM_HALF_K
    if readings:
        now, reach = shown_input(readings[0][1], meter, key=key, name="temperature"), _off(readings[0][1], meter)
    _refuse(target_c, now.value, reach, around)
    least, most = TIME_CONSTANTS_MIN[body]
    inputs = [
        now, gain_input(meter), offset_input(meter), around_input(around, reading_id), law,
        Input(f"cooling/{body}", 0.5 * (least + most), Shape.RECTANGULAR, 0.5 * (most - least), assumed=True,
              remedies=("temperature",), name="how fast such a part cools"),
    ]  # fmt: skip

    def minutes(now: Any, gain: Any, offset: Any, air_c: Any, law: Any, constant: Any) -> Any:
        hot = now * (1.0 + gain) + offset - air_c
        return constant * (1.0 + law) * np.log(hot / (target_c - air_c))

    if not readings:
        inputs[1:3] = [Input(one.key, 0.0, Shape.RECTANGULAR, 0.0) for one in inputs[1:3]]
    return propagate(minutes, inputs, unit="min", seed=seed)


def minutes_to_air(
    near_k: float,
    readings: Sequence[Moment],
    *,
    meter: Meter,
    air: Surroundings | None = None,
    reading_id: str = "cooling",
    seed: int = 0,
) -> Estimate:
    """Return the minutes from the last reading until a part is this near to the air, by Newton's law of cooling.

    A distance that is wanted needs no air that is known to within it, unlike a temperature that is wanted.

    Args:
        near_k: Distance to the air that is near enough. [K]
        readings: Two or more: minute and temperature of each, in order of time. [min, °C]
        meter: The thermometer.
        air: Around the part; None assumes a garage, wide.
        reading_id: Makes the keys of these readings' own errors.
        seed: Of the Monte Carlo draws.

    Raises:
        ValueError: Fewer than two readings, one in reach of the air, so near already, or no cooling that shows.

    Source:
        GUM, 5.1.2, linear law.

    Example:
        >>> still, probe = Surroundings(20.0, 0.0, assumed=False), Meter("probe", 0.0, 0, 0.1)
        >>> round(minutes_to_air(5.0, [(0, 60.0), (10, 40.0)], meter=probe, air=still).value, 1)
        20.0
    """
    if len(readings) < 2:
        raise ValueError("one temperature does not show how fast it cools. Read again in ten minutes, and write both.")
    around = air or Surroundings()
    if readings[-1][1] - around.celsius <= near_k:
        raise ValueError(
            f"it reads {readings[-1][1]:g} °C and the air is at {around.celsius:g} °C: there is nothing to wait for."
        )
    law = Input("cooling/law", 0.0, Shape.RECTANGULAR, LAW, assumed=True, name="how it cools")
    return _by_readings(
        lambda _: near_k, readings, meter=meter, around=around, law=law, reading_id=reading_id, seed=seed
    )


def _by_readings(
    left_k: Callable[[Any], Any], readings: Sequence[Moment], *, meter: Meter, around: Surroundings, law: Input,
    reading_id: str, seed: int,
) -> Estimate:  # fmt: skip
    """Minutes until the distance to the air, at an air's temperature, is no more than `left_k` of it."""
    moments, temperatures = [minute for minute, _ in readings], [celsius for _, celsius in readings]
    _refuse_moments(moments)
    own = shown_input(0.0, meter, key="", name="").half_width or 0.0
    lowest = min(temperatures)
    if lowest - _off(lowest, meter) <= around.celsius + around.half_width_k:
        raise _in_reach(lowest, around)
    scatter = _scatter(moments, temperatures, around.celsius)
    half = own + math.sqrt(3.0) * scatter
    _refuse_unclear(moments, temperatures, half, around)
    dof = max(1, len(readings) - 2) if scatter > own else math.inf
    shown = [
        Input(f"reading:{reading_id}/{at}/digits", celsius, Shape.RECTANGULAR, half, degrees_of_freedom=dof,
              assumed=meter.assumed, remedies=("temperature",), name=f"reading {at}",
              group=f"reading:{reading_id}/scatter")
        for at, celsius in enumerate(temperatures, start=1)
    ]  # fmt: skip
    inputs = [gain_input(meter), offset_input(meter), around_input(around, reading_id), law, *shown]

    def minutes(gain: Any, offset: Any, air_c: Any, law: Any, *shown: Any) -> Any:
        logs = [np.log(one * (1.0 + gain) + offset - air_c) for one in shown]
        line = fitted(moments, logs)
        left = (np.log(left_k(air_c)) - line.intercept) / line.slope - moments[-1]
        return left * (1.0 + law)

    return propagate(minutes, inputs, unit="min", seed=seed)


def _scatter(moments: Sequence[float], temperatures: Sequence[float], air_c: float) -> float:
    """Deviation of the readings from the fitted law; none can show with two. [K]"""
    if len(moments) < 3:
        return 0.0
    line = fitted(moments, [math.log(celsius - air_c) for celsius in temperatures])
    laws = [air_c + math.exp(line.intercept + line.slope * minute) for minute in moments]
    squares = sum((celsius - law) ** 2 for celsius, law in zip(temperatures, laws, strict=True))
    return math.sqrt(squares / (len(moments) - 2))


def _off(celsius: float, meter: Meter) -> float:
    """The most that a thermometer may be off. [K]"""
    half = max(meter.digits, 0.5) * meter.step
    return half + meter.offset + abs(celsius) * meter.percent / 100.0


def _refuse(target_c: float, now_c: float, reach_k: float, around: Surroundings) -> None:
    if now_c <= target_c:
        raise ValueError(f"it reads {now_c:g} °C and {target_c:g} °C is wanted: there is nothing to wait for.")
    if target_c <= around.celsius + around.half_width_k:
        raise ValueError(
            f"{target_c:g} °C is wanted and the air is at {around.celsius:g} ± {around.half_width_k:g} °C: "
            "it may never cool that far. Measure the air, or allow a warmer part."
        )
    if now_c - reach_k <= around.celsius + around.half_width_k:
        raise _in_reach(now_c, around)


def _in_reach(celsius: float, around: Surroundings) -> ValueError:
    return ValueError(
        f"{celsius:g} °C cannot be told from the air at {around.celsius:g} ± {around.half_width_k:g} °C. "
        "Measure the air with the same thermometer."
    )


def _refuse_moments(moments: Sequence[float]) -> None:
    if any(later <= earlier for earlier, later in pairwise(moments)):
        raise ValueError("the readings are not in order of time. Write minute and temperature, the earliest first.")


def _refuse_unclear(
    moments: Sequence[float], temperatures: Sequence[float], half_k: float, around: Surroundings
) -> None:
    """The slope must fall even with every reading off by its most; otherwise no time follows from it."""
    worst = around.celsius
    middle = sum(moments) / len(moments)
    tilted = [
        math.log(max(celsius + (half_k if minute > middle else -half_k) - worst, 1e-9))
        for minute, celsius in zip(moments, temperatures, strict=True)
    ]
    if fitted(moments, tilted).slope >= 0.0:
        raise ValueError(
            f"from {temperatures[0]:g} to {temperatures[-1]:g} °C is too little to show how fast it cools. "
            "Read again in ten minutes."
        )
