"""Tilt by an inclinometer, by the bubble of a spirit level, or by water in a clear hose.

A tilt is judged as a size unless its sign counts. The size is the root of the square, which needs no branch, and near
level the draws fold over as they should.
"""

import math
from collections.abc import Sequence
from typing import Any

import numpy as np

from knowngood.engine.judgement import Estimate, Input, Shape, propagate
from knowngood.engine.measurement.meters.instruments import Meter, gain_input, reading_inputs

# Ours, unless a source stands beside it.
# The zero of an inclinometer or a phone that nobody described. [deg]
INCLINOMETER_HALF_DEG = 1.0
# From one graduation of a vial to the next: makers of levels state sensitivity for 2 mm. [mm]
DIVISION_MM = 2.0
# A builder's level that nobody described: sensitivity for one division, and its zero. [mm/m]
SENSITIVITY_MM_M, SENSITIVITY_HALF_MM_M, LEVEL_ZERO_HALF_MM_M = 9.0, 6.0, 1.0
# What stands on a level is kept to a tenth. [1]
SENSITIVITY_SHARE = 0.1
# The bubble's ends against the graduations, by eye. [mm]
EYE_HALF_MM = 0.5
# The ends of a hose stand about a car's wheelbase apart when nobody says; a tape is good to a hundredth. [mm], [1]
DISTANCE_MM, DISTANCE_HALF_MM, TAPE_SHARE = 2600.0, 500.0, 0.01
# Each column of water: its curved edge, a bubble, not yet at rest. [mm]
WATER_HALF_MM = 2.0
# Upright.
STEEPEST_DEG = 90.0
# Ours: what stands, stands less steeply than one up for two along. [1]
STEEPEST_RISE = 0.5
DEG = 180.0 / math.pi


def inclinometer(
    read_deg: Sequence[float],
    *,
    meter: Meter,
    turned_deg: Sequence[float] | None = None,
    signed: bool = False,
    reading_id: str = "reading",
    seed: int = 0,
) -> Estimate:
    """Return the tilt that an inclinometer shows; with it turned end for end as well, its zero error cancels.

    Turned, the tilt changes its sign and the zero does not: half the difference is the tilt. What the instrument may
    be off, beside its percent, counts as its zero.

    Args:
        read_deg: Readings, with their sign. [deg]
        meter: What they were read with; the zero of one that nobody described lies within ± 1 deg.
        turned_deg: Readings at the same place, the instrument turned by 180 deg, with their sign. [deg]
        signed: The sign counts, as for camber; else the size comes back.
        reading_id: Makes the keys of this reading's own errors.
        seed: Of the Monte Carlo draws.

    Raises:
        ValueError: No reading, or one beyond 90 deg.

    Source:
        GUM, 5.1.2.

    Example:
        >>> cube = Meter("cube", 0, 2, 0.1)
        >>> found = inclinometer([0.7], meter=cube, turned_deg=[-0.3])
        >>> round(found.value, 3), round(found.standard_uncertainty, 4)
        (0.5, 0.0204)
    """
    for one in (*read_deg, *(turned_deg or ())):
        if abs(one) > STEEPEST_DEG:
            raise ValueError(
                f"a tilt of {one:g} deg is more than {STEEPEST_DEG:g} deg, which stands upright. "
                "Check the point and the unit."
            )
    half = max(INCLINOMETER_HALF_DEG, meter.step) if meter.unknown else meter.absolute
    inputs = [
        *_both_ways(read_deg, turned_deg, meter, f"reading:{reading_id}"),
        _zero(meter, half, turned=turned_deg is not None, assumed=meter.unknown),
        gain_input(meter),
    ]
    share, sized = _share(turned_deg), _as_read if signed else _size

    def tilt(read: Any, step: Any, back: Any, back_step: Any, zero: Any, gain: Any) -> Any:
        return sized(share * ((read - back) * (1.0 + gain) + step - back_step) + zero)

    return propagate(tilt, inputs, unit="deg", seed=seed)


def spirit_level(
    bubble_mm: Sequence[float],
    *,
    meter: Meter,
    turned_mm: Sequence[float] | None = None,
    sensitivity_mm_m: float | None = None,
    reading_id: str = "reading",
    seed: int = 0,
) -> Estimate:
    """Return the size of a tilt from how far a spirit level's bubble stands off its middle.

    Args:
        bubble_mm: Off the middle; towards one marked end of the level counts as above zero. [mm]
        meter: The level; its name counts, its step when that is coarser than the eye, and what is left of its zero
            once a check has shown that.
        turned_mm: At the same place with the level turned end for end, counted towards the same marked end. [mm]
        sensitivity_mm_m: Of the vial, for one division of 2 mm; None assumes a builder's level, 3 to 15. [mm/m]
        reading_id: Makes the keys of this reading's own errors.
        seed: Of the Monte Carlo draws.

    Raises:
        ValueError: No reading, or a sensitivity that is not above zero.

    Source:
        GUM, 5.1.2.

    Example:
        >>> found = spirit_level([2.0], meter=Meter("level", 0, 0, 0.5), sensitivity_mm_m=87.0)
        >>> round(found.value, 1)
        5.0
    """
    if sensitivity_mm_m is not None and not sensitivity_mm_m > 0.0:
        raise ValueError(
            f"a level of {sensitivity_mm_m:g} mm/m is not above zero. Write what stands on it for one division, "
            "such as 0.5."
        )
    unknown = sensitivity_mm_m is None
    per = SENSITIVITY_MM_M if sensitivity_mm_m is None else sensitivity_mm_m
    there = _both_ways(bubble_mm, turned_mm, meter, f"reading:{reading_id}")
    half = SENSITIVITY_HALF_MM_M if unknown else SENSITIVITY_SHARE * per
    inputs = [
        there[0],
        there[2],
        _rectangle(f"reading:{reading_id}/eye", 0.0, max(EYE_HALF_MM, 0.5 * meter.step), "the bubble by eye", "eye"),
        _rectangle(f"{meter.key}/sensitivity", per, half, "mm/m of the level", "sensitivity", assumed=unknown),
        _zero(meter, _level_zero(meter, per), turned=turned_mm is not None, assumed=not meter.known),
    ]
    share = _share(turned_mm)

    def tilt(read: Any, back: Any, eye: Any, sensitivity: Any, zero: Any) -> Any:
        rise = (share * (read - back) + eye) / DIVISION_MM * sensitivity + zero
        return DEG * np.arctan(_size(rise) / 1000.0)

    return propagate(tilt, inputs, unit="deg", seed=seed)


def water_tube(
    heights_mm: Sequence[float],
    *,
    meter: Meter,
    distance_mm: float | None = None,
    reading_id: str = "reading",
    seed: int = 0,
) -> Estimate:
    """Return the size of a tilt from the heights at which water stands in the two ends of a clear hose.

    Both heights are measured from the thing whose tilt is asked, with one ruler: its zero cancels.

    Args:
        heights_mm: At one end and at the other. [mm]
        meter: The ruler; its percent and its step count.
        distance_mm: From end to end, along the ground; None assumes 2100 to 3100. [mm]
        reading_id: Makes the keys of this reading's own errors.
        seed: Of the Monte Carlo draws.

    Raises:
        ValueError: Not two heights, one below zero, more apart than half of the distance, or a distance that is not
            above zero.

    Source:
        GUM, 5.1.2.

    Example:
        >>> found = water_tube([412.0, 389.0], meter=Meter("ruler", 0, 0, 1.0), distance_mm=2600.0)
        >>> round(found.value, 2), round(found.standard_uncertainty, 2)
        (0.51, 0.04)
    """
    if len(heights_mm) != 2:
        raise ValueError(
            f"two heights belong here, one at each end of the hose; found: {len(heights_mm)}. "
            'Write both, such as "412 389 mm".'
        )
    if distance_mm is not None and not distance_mm > 0.0:
        raise ValueError(
            f"a distance of {distance_mm:g} mm is not above zero. Measure along the ground from one end of the hose to "
            "the other."
        )
    unknown = distance_mm is None
    away = DISTANCE_MM if distance_mm is None else distance_mm
    _refuse_heights(heights_mm, away)
    half = DISTANCE_HALF_MM if unknown else TAPE_SHARE * away
    inputs = [
        *_column(heights_mm[0], meter, f"reading:{reading_id}/one"),
        *_column(heights_mm[1], meter, f"reading:{reading_id}/other"),
        gain_input(meter),
        _rectangle(f"reading:{reading_id}/distance", away, half, "distance of the ends", "distance", assumed=unknown),
    ]

    def tilt(one: Any, step: Any, other: Any, other_step: Any, gain: Any, distance: Any) -> Any:
        return DEG * np.arctan(_size((one - other) * (1.0 + gain) + step - other_step) / distance)

    return propagate(tilt, inputs, unit="deg", seed=seed)


def _refuse_heights(heights_mm: Sequence[float], away_mm: float) -> None:
    if min(heights_mm) < 0.0:
        raise ValueError(
            f"a height of {min(heights_mm):g} mm is below zero. Measure from a point of the vehicle to the water, at "
            "both ends to the same side, and write both without a sign."
        )
    apart = max(heights_mm) - min(heights_mm)
    if apart > STEEPEST_RISE * away_mm:
        raise ValueError(
            f"heights {apart:g} mm apart over {away_mm:g} mm: nothing stands that steep. Check both units, and write "
            "the heights at which the water stands, not the length of the hose."
        )


def _both_ways(read: Sequence[float], turned: Sequence[float] | None, meter: Meter, key: str) -> list[Input]:
    """Mean and step of the readings, then of the readings turned round; nothing for those when there are none."""
    there = reading_inputs(read, meter, key=key, name="the readings")
    if turned is None:
        nothing = [_rectangle(f"{key}/turned/{part}", 0.0, 0.0, "turned round", "turn") for part in ("scatter", "step")]
        return [there[0], there[2], *nothing]
    back = reading_inputs(turned, meter, key=f"{key}/turned", name="the readings turned round")
    return [there[0], there[2], back[0], back[2]]


def _level_zero(meter: Meter, per_mm_m: float) -> float:
    """How far a level's zero may be off: as its bubble was read in a check, or as nobody looked. [mm/m]"""
    seen = meter.absolute / DIVISION_MM * per_mm_m
    return min(seen, LEVEL_ZERO_HALF_MM_M) if meter.known else LEVEL_ZERO_HALF_MM_M


def _share(turned: Sequence[float] | None) -> float:
    return 1.0 if turned is None else 0.5


def _zero(meter: Meter, half: float, *, turned: bool, assumed: bool) -> Input:
    """The instrument's zero, which cancels when it was turned round."""
    width = 0.0 if turned else half
    return _rectangle(f"{meter.key}/zero", 0.0, width, "zero of the instrument", "turn", assumed=assumed)


def _column(height_mm: float, meter: Meter, key: str) -> list[Input]:
    water = _rectangle(f"{key}/water", height_mm, WATER_HALF_MM, "the edge of the water", "settle")
    return [water, _rectangle(f"{key}/step", 0.0, 0.5 * meter.step, "step of the ruler", "meter", assumed=False)]


def _rectangle(key: str, value: float, half: float, name: str, remedy: str, *, assumed: bool = True) -> Input:
    return Input(key, value, Shape.RECTANGULAR, half, assumed=assumed, remedies=(remedy,), name=name)


def _size(signed: Any) -> Any:
    return np.sqrt(signed * signed)


def _as_read(signed: Any) -> Any:
    return signed
