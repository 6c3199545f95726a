"""Thermistors, by beta or by Steinhart and Hart; and a sensor taken for a coil."""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Any

import numpy as np

from knowngood.engine.judgement import Estimate, Input, Shape, propagate
from knowngood.engine.measurement.electrical.platinum import (
    at_part,
    part_input,
    refuse_resistance,
    refuse_temperatures,
    through,
)
from knowngood.engine.measurement.electrical.resistance import Part
from knowngood.engine.measurement.meters.instruments import Meter

KELVIN = 273.15  # by definition
# Where a thermistor of a vehicle works, and where beta is believed. Ours. [°C]
COLDEST_C, HOTTEST_C = -60.0, 250.0
# Beta of sensors that nobody described: 3000 to 4400 K, from memory. [K]
BETA_K, BETA_HALF_K = 3700.0, 700.0
# How well one beta follows a real thermistor: stated, or from two lines of a table. Ours. [share]
STATED_BETA_SHARE, PAIR_BETA_SHARE = 0.01, 0.02
# Three lines follow it better. Ours. [share]
TRIPLE_SHARE = 0.003
# A thermistor's resistance, when nobody says how far it may be off. From memory: 1 to 10 % are sold. [share]
SENSOR_SHARE = 0.05
# One that is further off is none. Ours. [share]
MOST_OFF_SHARE = 0.5
# A coil of some ohms that reads this many times its upper limit is another part, or a connector beside it. Ours.
ANOTHER_PART_TIMES = 100.0


@dataclass(frozen=True)
class Thermistor:
    """A curve 1/T = a + b ln R + c (ln R)³, and how far the sensor may lie from it.

    Args:
        a: Constant. [1/K]
        b: Of ln R; 1/beta for a curve by beta. [1/K]
        c: Of its cube; zero for a curve by beta. [1/K]
        middle_c: Where the curve is best. [°C]
        slope_share: How far its slope may be off, from the middle on. [share]
        sensor_share: How far the sensor's resistance may be off. [share]
        assumed: Nobody stated the slope.
        sensor_assumed: Nobody stated how far the sensor may be off.
    """

    a: float
    b: float
    c: float = 0.0
    middle_c: float = 25.0
    slope_share: float = STATED_BETA_SHARE
    sensor_share: float = SENSOR_SHARE
    assumed: bool = False
    sensor_assumed: bool = True

    def inverse_k(self, resistance_ohm: Any) -> Any:
        """Return one over the absolute temperature. [1/K]"""
        log = np.log(resistance_ohm)
        return self.a + self.b * log + self.c * log**3

    def celsius(self, resistance_ohm: Any, slope_off: Any = 0.0) -> Any:
        """Return the temperature that belongs to a resistance. [°C]

        Source:
            GUM, 5.1.2, the slope's error turns the curve about its middle.
        """
        middle = 1.0 / (self.middle_c + KELVIN)
        return 1.0 / (middle + (self.inverse_k(resistance_ohm) - middle) * (1.0 + slope_off)) - KELVIN


def beta_thermistor(
    reference_ohm: float, beta_k: float | None = None, *, reference_c: float = 25.0, sensor_share: float | None = None
) -> Thermistor:
    """Return the curve of a thermistor from one resistance and beta.

    Args:
        reference_ohm: Resistance at the reference. [ohm]
        beta_k: From the data sheet; None assumes one, wide. [K]
        reference_c: Nearly always 25 °C; some makers of vehicles state 20 °C. [°C]
        sensor_share: How far its resistance may be off; None assumes it. [share]

    Raises:
        ValueError: A resistance or a beta that is not above zero, or a sensor that may be off by more than half.

    Example:
        >>> sensor = beta_thermistor(10_000.0, 3435.0)
        >>> round(float(sensor.celsius(1662.4)), 2), round(float(sensor.celsius(28704.0)), 2)
        (80.0, 0.0)
    """
    if reference_ohm <= 0.0:
        do = "Copy it from the manual, such as 2.2 kΩ."
        raise ValueError(f"a sensor of {reference_ohm:g} ohm is not above zero. {do}")
    if sensor_share is not None and sensor_share > MOST_OFF_SHARE:
        off, most = 100.0 * sensor_share, 100.0 * MOST_OFF_SHARE
        words = f"that may be off by {off:.0f} % tells nothing; up to {most:.0f} % is taken"
        raise ValueError(f"a sensor of {reference_ohm:g} ohm {words}. Copy what stands after ± from its data sheet.")
    if beta_k is not None and not 500.0 <= beta_k <= 10_000.0:
        do = "Copy it from the data sheet, such as 3435."
        raise ValueError(f"a beta of {beta_k:g} K is outside 500 to 10000 K. {do}")
    beta = BETA_K if beta_k is None else beta_k
    at = 1.0 / (reference_c + KELVIN) - math.log(reference_ohm) / beta
    share = BETA_HALF_K / BETA_K if beta_k is None else STATED_BETA_SHARE
    curve = Thermistor(at, 1.0 / beta, 0.0, reference_c, share, assumed=beta_k is None)
    return _with_own(curve, sensor_share)


def _with_own(curve: Thermistor, sensor_share: float | None) -> Thermistor:
    return curve if sensor_share is None else replace(curve, sensor_share=sensor_share, sensor_assumed=False)


def table_thermistor(lines: Sequence[tuple[float, float]], *, sensor_share: float | None = None) -> Thermistor:
    """Return the curve through two or three lines of a manual's table: by beta, or by Steinhart and Hart.

    Args:
        lines: Pairs of resistance and temperature. [ohm, °C]
        sensor_share: How far its resistance may be off; None assumes it. [share]

    Raises:
        ValueError: Not two or three lines, equal or rising ones, a resistance not above zero.

    Example:
        >>> sensor = table_thermistor([(32128.0, 0.0), (9814.0, 25.0), (3542.0, 50.0)])
        >>> [f"{one:.6e}" for one in (sensor.a, sensor.b, sensor.c)]
        ['1.104159e-03', '2.389179e-04', '6.931627e-08']
    """
    ordered = sorted(lines, key=lambda line: line[1])
    _refuse_lines(ordered)
    logs = np.log([ohm for ohm, _ in ordered])
    inverse = [1.0 / (celsius + KELVIN) for _, celsius in ordered]
    # 1/T = a + b ln R + c (ln R)³. Source: STEINHART_HART.
    powers = [np.ones_like(logs), logs, logs**3][: len(ordered)]
    found = [float(one) for one in np.linalg.solve(np.stack(powers, axis=1), np.array(inverse))]
    share = TRIPLE_SHARE if len(ordered) == 3 else PAIR_BETA_SHARE
    middle_c = 0.5 * (ordered[0][1] + ordered[-1][1])
    return _with_own(Thermistor(found[0], found[1], sum(found[2:]), middle_c, share), sensor_share)


def _refuse_lines(ordered: Sequence[tuple[float, float]]) -> None:
    """Lines from which no falling curve follows."""
    if len(ordered) not in (2, 3):
        do = "Copy two, or better three."
        raise ValueError(f"the table has {len(ordered)} lines here; two or three are needed. {do}")
    if any(ohm <= 0.0 or celsius <= -KELVIN for ohm, celsius in ordered):
        raise ValueError("the table holds a resistance or a temperature that cannot be. Copy its lines again.")
    pairs = list(pairwise(ordered))
    if any(colder[1] == warmer[1] or colder[0] <= warmer[0] for colder, warmer in pairs):
        raise ValueError(
            "the table does not fall: each warmer line needs less resistance, as with every sensor of this kind. "
            "Copy resistances and temperatures in the same order."
        )


def beta_between(curve: Thermistor, one_c: float, other_c: float) -> float:
    """Return the beta that joins two temperatures on a curve. [K]

    Example:
        >>> round(beta_between(beta_thermistor(2200.0, 3435.0), 20.0, 80.0), 6)
        3435.0
    """
    inverse = [1.0 / (celsius + KELVIN) for celsius in (one_c, other_c)]
    if inverse[0] == inverse[1]:
        inverse[1] *= 1.0 + 1e-6
    logs = [_log_ohm(curve, one) for one in inverse]
    return (logs[0] - logs[1]) / (inverse[0] - inverse[1])


def _log_ohm(curve: Thermistor, inverse_k: float) -> float:
    """ln R on the curve, by Newton's steps from the straight part; the cube is small beside it."""
    log = (inverse_k - curve.a) / curve.b
    for _ in range(50):
        log -= (curve.a + curve.b * log + curve.c * log**3 - inverse_k) / (curve.b + 3.0 * curve.c * log**2)
    return log


def thermistor_temperature(
    read_ohm: Sequence[float], *, meter: Meter, sensor: Thermistor, reading_id: str = "reading", seed: int = 0
) -> Estimate:
    """Return the temperature that a thermistor's resistance stands for. Test leads do not matter beside its ohms.

    Args:
        read_ohm: Readings at the sensor, unplugged. [ohm]
        meter: What they were read with.
        sensor: Its curve.
        reading_id: Makes the keys of this reading's own errors.
        seed: Of the Monte Carlo draws.

    Raises:
        ValueError: A resistance that is not above zero or stands for a temperature out of reach.

    Source:
        GUM, 5.1.2.

    Example:
        >>> blue, sensor = Meter("blue", 0.8, 3, 1.0), beta_thermistor(10_000.0, 3435.0)
        >>> found = thermistor_temperature([1662.0], meter=blue, sensor=sensor)
        >>> round(found.value, 1), round(found.standard_uncertainty, 1)
        (80.0, 1.1)
    """
    refuse_resistance(read_ohm)
    outside = [one for one in read_ohm if not COLDEST_C <= float(sensor.celsius(one)) <= HOTTEST_C]
    if outside:
        raise ValueError(
            f"{outside[0]:g} ohm stands for a temperature outside {COLDEST_C:g} to {HOTTEST_C:g} °C by this "
            "sensor's table. Check the display's kΩ and the table; a sensor like that is open or shorted."
        )
    inputs = [*through(read_ohm, None, meter, reading_id), *_sensor_inputs(sensor, reading_id)]

    def celsius(*given: Any) -> Any:
        *read, own, slope = given
        return sensor.celsius(at_part(*read) * (1.0 + own), slope)

    return propagate(celsius, inputs, unit="°C", seed=seed)


def thermistor_resistance(
    read_ohm: Sequence[float],
    *,
    meter: Meter,
    sensor: Thermistor,
    reference_c: float,
    part: Part | None = None,
    reading_id: str = "reading",
    seed: int = 0,
) -> Estimate:
    """Return a thermistor's resistance at the temperature that its limits are stated for.

    Args:
        read_ohm: Readings at the sensor, unplugged. [ohm]
        meter: What they were read with.
        sensor: Its curve; only how steep it is counts here.
        reference_c: Temperature that the limits are stated for. [°C]
        part: Temperature of the sensor; None assumes one, very wide.
        reading_id: Makes the keys of this reading's own errors.
        seed: Of the Monte Carlo draws.

    Raises:
        ValueError: A resistance that is not above zero, a temperature out of reach.

    Source:
        GUM, 5.1.2.

    Example:
        >>> blue, cool = Meter("blue", 0.8, 3, 1.0), Part(15.0, 1.0, assumed=False)
        >>> sensor = beta_thermistor(2200.0, 3435.0)
        >>> found = thermistor_resistance([3284.0], meter=blue, sensor=sensor, reference_c=25.0, part=cool)
        >>> round(found.value), round(found.standard_uncertainty)
        (2202, 54)
    """
    at = part or Part()
    refuse_resistance(read_ohm)
    refuse_temperatures(at, reference_c, COLDEST_C, HOTTEST_C)
    beta = beta_between(sensor, at.celsius, reference_c)
    slope = Input(
        f"reading:{reading_id}/slope", beta, Shape.RECTANGULAR, sensor.slope_share * beta,
        assumed=sensor.assumed, remedies=("table",), name=_steepness(sensor),
    )  # fmt: skip
    inputs = [*through(read_ohm, None, meter, reading_id), part_input(at, reading_id), slope]

    def at_reference(*given: Any) -> Any:
        *read, part_c, beta_k = given
        return at_part(*read) * np.exp(beta_k * (1.0 / (reference_c + KELVIN) - 1.0 / (part_c + KELVIN)))

    return propagate(at_reference, inputs, unit="ohm", seed=seed)


def _steepness(sensor: Thermistor) -> str:
    least, most = BETA_K - BETA_HALF_K, BETA_K + BETA_HALF_K
    return f"how steep the sensor is, beta {least:g} to {most:g} K" if sensor.assumed else "how steep the sensor is"


def _sensor_inputs(sensor: Thermistor, reading_id: str) -> list[Input]:
    """How far this sensor may lie from its curve: all of it, and turned about the middle."""
    return [
        Input(
            f"reading:{reading_id}/own", 0.0, Shape.RECTANGULAR, sensor.sensor_share,
            assumed=sensor.sensor_assumed, remedies=("table",),
            name=f"tolerance of the sensor, ± {100.0 * sensor.sensor_share:g} %",
        ),
        Input(
            f"reading:{reading_id}/slope", 0.0, Shape.RECTANGULAR, sensor.slope_share,
            assumed=sensor.assumed, remedies=("table",), name=_steepness(sensor),
        ),
    ]  # fmt: skip


def refuse_another_part(read_ohm: Sequence[float], upper_ohm: float | None) -> None:
    """Refuse the reading of a sensor, or of an open plug, where a coil's limits are meant.

    Args:
        read_ohm: Readings. [ohm]
        upper_ohm: Most that is allowed; None: nothing to compare with. [ohm]

    Raises:
        ValueError: Every reading is a hundred times what is allowed, or more.
    """
    if upper_ohm is None or not read_ohm or min(read_ohm) < ANOTHER_PART_TIMES * upper_ohm:
        return
    raise ValueError(
        f"a reading of {min(read_ohm):g} ohm where {upper_ohm:g} ohm is the most allowed is not this part: it looks "
        "like a temperature sensor, a plug beside it, or a display in kΩ. Check the pins and the unit; if it is the "
        "right part, it is open."
    )
