"""Platinum sensors by the curve of IEC 60751, and what thermistors share with them."""

from collections.abc import Sequence
from typing import Any

import numpy as np

from knowngood.engine.judgement import Estimate, Input, Shape, propagate
from knowngood.engine.measurement.electrical.resistance import LEADS_HALF_OHM, LEADS_OHM, Part
from knowngood.engine.measurement.meters.instruments import Meter, gain_input, reading_inputs

# R = R0 (1 + A t + B t² + C (t - 100) t³), the last part below 0 °C only. Source: IEC_60751, read in a copy.
A_PER_C, B_PER_C2, C_PER_C4 = 3.9083e-3, -5.775e-7, -4.183e-12
COLDEST_C, HOTTEST_C = -200.0, 850.0
# What a class allows: first + second x |t|. [K, K/°C] Source: IEC_60751, reprints of its table.
CLASSES = {"AA": (0.1, 0.0017), "A": (0.15, 0.002), "B": (0.3, 0.005), "C": (0.6, 0.01), "none": (0.0, 0.0)}


def platinum_ratio(celsius: Any, *, below_zero: bool = False) -> Any:
    """Return a platinum sensor's resistance over that at 0 °C.

    Args:
        celsius: Temperature; float, complex or array. [°C]
        below_zero: Take the cold part of the curve; the two meet at 0 °C.

    Source:
        IEC_60751, the curve.

    Example:
        >>> round(100.0 * platinum_ratio(150.0), 3), round(100.0 * platinum_ratio(-40.0, below_zero=True), 3)
        (157.325, 84.271)
    """
    warm = 1.0 + A_PER_C * celsius + B_PER_C2 * celsius**2
    return warm + C_PER_C4 * (celsius - 100.0) * celsius**3 if below_zero else warm


def platinum_celsius(ratio: Any, *, below_zero: bool = False) -> Any:
    """Return the temperature at which a platinum sensor has this ratio.

    Args:
        ratio: Resistance over that at 0 °C; float, complex or array.
        below_zero: Take the cold part of the curve.

    Example:
        >>> round(float(platinum_celsius(1.38505)), 2), round(float(platinum_celsius(0.84271, below_zero=True)), 2)
        (100.0, -40.0)
    """
    celsius = (np.sqrt(A_PER_C**2 - 4.0 * B_PER_C2 * (1.0 - ratio)) - A_PER_C) / (2.0 * B_PER_C2)
    for _ in range(4 if below_zero else 0):  # Newton's steps: the warm curve is a near start for the cold one
        slope = A_PER_C + 2.0 * B_PER_C2 * celsius + C_PER_C4 * (4.0 * celsius - 300.0) * celsius**2
        celsius = celsius - (platinum_ratio(celsius, below_zero=True) - ratio) / slope
    return celsius


def platinum_temperature(
    read_ohm: Sequence[float],
    *,
    meter: Meter,
    zero_ohm: Sequence[float] | None = None,
    nominal_ohm: float = 100.0,
    tolerance_class: str = "B",
    class_assumed: bool = False,
    reading_id: str = "reading",
    seed: int = 0,
) -> Estimate:
    """Return the temperature that a platinum sensor's resistance stands for.

    One ohm is 2.6 °C at a Pt100, so the leads are taken off; at a Pt1000 they hardly matter.

    Args:
        read_ohm: Readings at the sensor, unplugged, through the leads. [ohm]
        meter: What they were read with.
        zero_ohm: Readings with the probes touching; None assumes leads. [ohm]
        nominal_ohm: Resistance at 0 °C. [ohm]
        tolerance_class: A key of CLASSES.
        class_assumed: Nobody stated the class.
        reading_id: Makes the keys of this reading's own errors.
        seed: Of the Monte Carlo draws.

    Raises:
        ValueError: A resistance that is not above zero or beyond the curve, leads that cannot be.

    Source:
        GUM, 5.1.2.
        IEC_60751, curve and classes.

    Example:
        >>> blue = Meter("blue", 0.3, 2, 0.1)
        >>> found = platinum_temperature([138.8], meter=blue, zero_ohm=[0.3])
        >>> round(found.value, 1), round(found.standard_uncertainty, 1)
        (100.0, 0.9)
    """
    refuse_resistance(read_ohm)
    leads = lead_inputs(read_ohm, zero_ohm, meter, reading_id)
    cold = _refuse_ratio(read_ohm, leads[0].value, nominal_ohm)
    inputs = through(read_ohm, leads, meter, reading_id)
    ratio = (inputs[0].value - leads[0].value) / nominal_ohm
    first, second = CLASSES[tolerance_class]
    half = first + second * abs(float(platinum_celsius(ratio, below_zero=cold)))
    own = Input(
        f"reading:{reading_id}/class", 0.0, Shape.RECTANGULAR, half,
        assumed=class_assumed, remedies=("class",), name=f"tolerance of the sensor, class {tolerance_class}",
    )  # fmt: skip

    def celsius(*given: Any) -> Any:
        *read, own_k = given
        return platinum_celsius(at_part(*read) / nominal_ohm, below_zero=cold) + own_k

    return propagate(celsius, [*inputs, own], unit="°C", seed=seed)


def platinum_resistance(
    read_ohm: Sequence[float],
    *,
    meter: Meter,
    reference_c: float,
    zero_ohm: Sequence[float] | None = None,
    part: Part | None = None,
    reading_id: str = "reading",
    seed: int = 0,
) -> Estimate:
    """Return a platinum sensor's resistance at the temperature that its limits are stated for.

    Args:
        read_ohm: Readings at the sensor, unplugged, through the leads. [ohm]
        meter: What they were read with.
        reference_c: Temperature that the limits are stated for. [°C]
        zero_ohm: Readings with the probes touching; None assumes leads. [ohm]
        part: Temperature of the sensor; None assumes one, wide.
        reading_id: Makes the keys of this reading's own errors.
        seed: Of the Monte Carlo draws.

    Raises:
        ValueError: A resistance that is not above zero, leads that cannot be, a temperature out of reach.

    Source:
        GUM, 5.1.2.
        IEC_60751, the curve.

    Example:
        >>> blue, warm = Meter("blue", 0.3, 2, 0.1), Part(25.0, 1.0, assumed=False)
        >>> found = platinum_resistance([110.0], meter=blue, reference_c=0.0, zero_ohm=[0.3], part=warm)
        >>> round(found.value, 1), round(found.standard_uncertainty, 1)
        (100.0, 0.3)
    """
    at = part or Part()
    refuse_resistance(read_ohm)
    refuse_temperatures(at, reference_c, COLDEST_C, HOTTEST_C)
    leads = lead_inputs(read_ohm, zero_ohm, meter, reading_id)
    inputs = [*through(read_ohm, leads, meter, reading_id), part_input(at, reading_id)]
    wanted, cold = platinum_ratio(reference_c, below_zero=reference_c < 0.0), at.celsius < 0.0

    def at_reference(*given: Any) -> Any:
        *read, part_c = given
        return at_part(*read) * wanted / platinum_ratio(part_c, below_zero=cold)

    return propagate(at_reference, inputs, unit="ohm", seed=seed)


def lead_inputs(
    read_ohm: Sequence[float], zero_ohm: Sequence[float] | None, meter: Meter, reading_id: str
) -> list[Input]:
    """Return the leads as read with the probes touching, or assumed. [ohm]

    Raises:
        ValueError: Leads below zero, or no less than the reading.
    """
    if zero_ohm is None:
        half = min(LEADS_HALF_OHM, 0.5 * min(read_ohm, default=1.0))
        middle = min(LEADS_OHM, 0.5 * min(read_ohm, default=1.0))
        return [
            Input(
                "leads",
                middle,
                Shape.RECTANGULAR,
                half,
                assumed=True,
                remedies=("zero",),
                name="test leads of 0.1 to 0.5 ohm",
            )
        ]
    if min(zero_ohm, default=0.0) < 0.0:
        raise ValueError(
            "the probes cannot read below zero when they touch. Write what the display showed, such as 0.3 ohm."
        )
    if max(zero_ohm, default=0.0) >= min(read_ohm, default=1.0):
        raise ValueError(
            f"the probes read {max(zero_ohm):g} ohm touching and {min(read_ohm):g} ohm at the sensor: nothing is left "
            "for it. Clean the probes, press them together and read the leads again."
        )
    return reading_inputs(zero_ohm, meter, key=f"reading:{reading_id}/leads", name="the leads")


def _refuse_ratio(read_ohm: Sequence[float], lead_ohm: float, nominal_ohm: float) -> bool:
    """Refuse what the curve does not reach; tell whether the sensor is below 0 °C."""
    least = nominal_ohm * platinum_ratio(COLDEST_C, below_zero=True)
    most = nominal_ohm * platinum_ratio(HOTTEST_C)
    outside = [ohm for ohm in read_ohm if not least <= ohm - lead_ohm <= most]
    if outside:
        raise ValueError(
            f"a reading of {outside[0]:g} ohm is not that of a Pt{nominal_ohm:g}, which has {least:.0f} to "
            f"{most:.0f} ohm from {COLDEST_C:g} to {HOTTEST_C:g} °C. Check which sensor it is; if it is this one, it "
            "is open or shorted."
        )
    return bool(read_ohm) and sum(read_ohm) / len(read_ohm) - lead_ohm < nominal_ohm


def part_input(part: Part, reading_id: str) -> Input:
    """Return the temperature of the sensor as an Input. [°C]"""
    around = f" at {part.celsius:g} ± {part.half_width_k:g} °C" if part.assumed else "'s temperature"
    return Input(
        f"reading:{reading_id}/part", part.celsius, Shape.RECTANGULAR, part.half_width_k,
        assumed=part.assumed, remedies=("part", "cool"), name=f"the part{around}",
    )  # fmt: skip


def through(read_ohm: Sequence[float], leads: Sequence[Input] | None, meter: Meter, reading_id: str) -> list[Input]:
    """Return what `at_part` takes: readings, digits, step, gain, and the leads when they matter. [ohm]"""
    read = reading_inputs(read_ohm, meter, key=f"reading:{reading_id}", name="the readings")
    return [*read, gain_input(meter), *(leads or ())]


def at_part(read: Any, digits: Any, step: Any, gain: Any, lead: Any = 0.0, *lead_errors: Any) -> Any:
    """Return the resistance behind the leads; the meter's gain error is that of both readings. [ohm]"""
    return (read - lead) * (1.0 + gain) + digits + step - sum(lead_errors)


def refuse_resistance(read_ohm: Sequence[float]) -> None:
    """Refuse resistances that no sensor has."""
    low = min(read_ohm, default=1.0)
    if low < 0.0:
        raise ValueError(
            f"a reading of {low:g} ohm is below zero: the sensor still gets a voltage. Unplug it and read again."
        )
    if low == 0.0:
        raise ValueError(
            "a reading of 0 ohm is below one step of the display: the sensor is shorted or the probes touch. "
            "Take a smaller range and read again."
        )


def refuse_temperatures(part: Part, reference_c: float, coldest_c: float, hottest_c: float) -> None:
    """Refuse temperatures that a sensor's curve does not reach."""
    if part.celsius - part.half_width_k < coldest_c or part.celsius + part.half_width_k > hottest_c:
        raise ValueError(
            f"a part at {part.celsius:g} ± {part.half_width_k:g} °C reaches outside {coldest_c:g} to {hottest_c:g} °C, "
            "where the sensor's curve holds. Check the temperature and its unit."
        )
    if not coldest_c <= reference_c <= hottest_c:
        raise ValueError(
            f"limits stated for {reference_c:g} °C; the sensor's curve holds from {coldest_c:g} to {hottest_c:g} °C. "
            "Check the temperature and its unit."
        )
