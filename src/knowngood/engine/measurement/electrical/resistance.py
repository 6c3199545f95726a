"""Resistance of a winding or a heater wire, read warm and through test leads, brought to reference conditions."""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

from knowngood.engine.judgement import Estimate, Input, Shape, propagate
from knowngood.engine.measurement.meters.instruments import Meter, gain_input, reading_inputs

# Copper, and the temperature that it is stated for. Source: GOST_22483, whose 234.5 °C give 1 / 254.5. [1/°C, °C]
COPPER_PER_C = 0.00393
REFERENCE_C = 20.0
# Where the straight line of a conductor is used. Source: GOST_22483, which adopts IEC 60228.
COLDEST_C, HOTTEST_C = -60.0, 250.0


@dataclass(frozen=True)
class Conductor:
    """Fractional rise of resistance per °C from 20 °C, and how well it is known. [1/°C]"""

    per_c: float
    half_width: float
    assumed: bool = False


# Copper and aluminium. Source: GOST_22483 (234.5 and 228 °C below zero). Half-widths are ours.
# Alloy: no correction; constantan lies within 0.00004, nichrome near 0.00017 (from memory), so this covers both.
# Unknown: anything from an alloy to copper, our honest wide default.
CONDUCTORS = {
    "copper": Conductor(COPPER_PER_C, 0.00004),
    "aluminium": Conductor(1.0 / (228.0 + 20.0), 0.00006),
    "alloy": Conductor(0.0, 0.0002),
    "unknown": Conductor(0.5 * COPPER_PER_C, 0.5 * COPPER_PER_C, assumed=True),
}
# Test leads: 0.1 to 0.5 ohm, common practice, no source.
LEADS_OHM, LEADS_HALF_OHM = 0.3, 0.2
# A part under a bonnet lies anywhere between a cool day's air and warm coolant. Ours.
PART_C, PART_HALF_K = 50.0, 40.0
# A stated temperature without a tolerance, by a cheap thermometer. Ours.
THERMOMETER_HALF_K = 3.0


@dataclass(frozen=True)
class Part:
    """Temperature of the part that is measured.

    Args:
        celsius: Of the winding, not of the air. [°C]
        half_width_k: How far it may be off. [K]
        assumed: Nobody stated how far off.
    """

    celsius: float = PART_C
    half_width_k: float = PART_HALF_K
    assumed: bool = True


def resistance_at_reference(
    measured_ohm: Any, part_c: Any, *, per_c: Any = COPPER_PER_C, reference_c: float = 20.0
) -> Any:
    """Return what a conductor measured at another temperature would read at the reference.

    Args:
        measured_ohm: Reading, test-lead resistance already subtracted; float, complex or array. [ohm]
        part_c: Temperature of the winding, not of the air. [°C]
        per_c: Fractional rise per °C from 20 °C; copper unless told otherwise. [1/°C]
        reference_c: Temperature that the limit is stated for. [°C]

    Returns:
        Resistance at the reference. [ohm]

    Source:
        GOST_22483, which adopts IEC 60228. Not for below -20 °C or above 100 °C without care.

    Example:
        >>> round(resistance_at_reference(100.0, 30.0), 2)
        96.22
    """
    return measured_ohm * (1.0 + per_c * (reference_c - 20.0)) / (1.0 + per_c * (part_c - 20.0))


def winding_resistance(
    measured_ohm: Sequence[float],
    *,
    meter: Meter,
    zero_ohm: Sequence[float] | None = None,
    part: Part | None = None,
    conductor: str = "copper",
    reference_c: float = REFERENCE_C,
    reading_id: str = "reading",
    seed: int = 0,
) -> Estimate:
    """Return a resistance at the reference temperature, leads taken off, with all that could be wrong with it.

    The meter's gain is shared by part and leads. Whether the display's digits cancel in the difference is not known
    of most meters, so each has its own row unless the meter says so: the wider choice.

    Args:
        measured_ohm: Readings at the part, through the leads. [ohm]
        meter: What they were read with.
        zero_ohm: Readings with the probes touching; None assumes leads. [ohm]
        part: Temperature of the part; None assumes one, wide.
        conductor: A key of CONDUCTORS.
        reference_c: Temperature that the limit is stated for. [°C]
        reading_id: Makes the keys of this reading's own errors.
        seed: Of the Monte Carlo draws.

    Raises:
        ValueError: Readings not above zero or not above the leads, an unknown conductor, a temperature out of reach.

    Source:
        GUM, 5.1.2, linear law.
        GOST_22483, temperature factor.

    Example:
        >>> blue, warm = Meter("blue", 0.8, 3, 0.1), Part(35, 3, assumed=False)
        >>> read = [14.9, 15.0, 14.9, 15.0, 14.9]
        >>> coil = winding_resistance(read, meter=blue, zero_ohm=[0.3, 0.3, 0.4], part=warm)
        >>> round(coil.value, 4), round(coil.standard_uncertainty, 4)
        (13.7935, 0.2588)
    """
    at = part or Part()
    _refuse(measured_ohm, zero_ohm, conductor)
    _refuse_temperatures(at, reference_c)
    wire = CONDUCTORS[conductor]
    read = reading_inputs(measured_ohm, meter, key=f"reading:{reading_id}", name="the readings")
    leads = _lead_inputs(measured_ohm, zero_ohm, meter, reading_id)
    if meter.digits_cancel and zero_ohm is not None:
        leads[1] = replace(leads[1], key=read[1].key)
    inputs = [
        *read,
        *leads,
        gain_input(meter),
        Input(
            f"reading:{reading_id}/part", at.celsius, Shape.RECTANGULAR, at.half_width_k,
            assumed=at.assumed, remedies=("part", "cool"), name="temperature of the part",
        ),
        Input(
            f"conductor:{conductor}", wire.per_c, Shape.RECTANGULAR, wire.half_width,
            assumed=wire.assumed, remedies=("conductor",), name="what it is wound of",
        ),
    ]  # fmt: skip

    def at_reference(read: Any, digits: Any, step: Any, lead: Any, lead_digits: Any, lead_step: Any, *rest: Any) -> Any:
        gain, part_c, per_c = rest
        through = (read - lead) * (1.0 + gain) + digits + step - lead_digits - lead_step
        return resistance_at_reference(through, part_c, per_c=per_c, reference_c=reference_c)

    return propagate(at_reference, inputs, unit="ohm", seed=seed)


def _lead_inputs(
    measured_ohm: Sequence[float], zero_ohm: Sequence[float] | None, meter: Meter, reading_id: str
) -> list[Input]:
    """The leads as read with the probes touching, or assumed: no more than the whole reading."""
    if zero_ohm is not None:
        return reading_inputs(zero_ohm, meter, key=f"reading:{reading_id}/leads", name="the leads")
    nothing = [Input(f"leads/{name}", 0.0, Shape.RECTANGULAR, 0.0, name="leads") for name in ("digits", "step")]
    most = min(LEADS_OHM + LEADS_HALF_OHM, *measured_ohm)
    least = LEADS_OHM - LEADS_HALF_OHM if most > LEADS_OHM else 0.0
    middle, half = 0.5 * (most + least), 0.5 * (most - least)
    leads = Input("leads", middle, Shape.RECTANGULAR, half, assumed=True, remedies=("zero",), name="test leads")
    return [leads, *nothing]


def _refuse(measured_ohm: Sequence[float], zero_ohm: Sequence[float] | None, conductor: str) -> None:
    """Refuse what has no meaning, in the mechanic's words."""
    if conductor not in CONDUCTORS:
        known = ", ".join(CONDUCTORS)
        raise ValueError(f'"{conductor}" is not a conductor known here. Take one of {known}.')
    low = min(measured_ohm, default=math.inf)
    if low <= 0.0:
        raise ValueError(
            f"a reading of {low:g} ohm is not above zero. Read again, and write the leads down apart from it."
        )
    lead = max(zero_ohm, default=0.0) if zero_ohm is not None else 0.0
    if zero_ohm is not None and min(zero_ohm, default=0.0) < 0.0:
        raise ValueError(
            "the probes cannot read below zero when they touch. Write what the display showed, such as 0.3 ohm."
        )
    if lead >= low:
        raise ValueError(
            f"the probes read {lead:g} ohm touching and {low:g} ohm at the part: nothing is left for the part. "
            "Clean the probes, press them together and read the leads again."
        )


def _refuse_temperatures(part: Part, reference_c: float) -> None:
    """The straight line of a conductor reaches neither deep cold nor glowing heat."""
    ends = (part.celsius - part.half_width_k, part.celsius + part.half_width_k)
    if ends[0] < COLDEST_C or ends[1] > HOTTEST_C:
        raise ValueError(
            f"a part at {part.celsius:g} ± {part.half_width_k:g} °C reaches outside {COLDEST_C:g} to {HOTTEST_C:g} °C, "
            "where this correction holds. Check the temperature and its unit."
        )
    if not COLDEST_C <= reference_c <= HOTTEST_C:
        raise ValueError(
            f"limits stated for {reference_c:g} °C; this correction holds from {COLDEST_C:g} to {HOTTEST_C:g} °C. "
            "Check the temperature and its unit."
        )
