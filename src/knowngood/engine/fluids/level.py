"""How far off a level check is: by temperature, by tilt, by the eye; and what to level to before it counts."""

import math
from dataclasses import dataclass
from typing import Any

import numpy as np

from knowngood.engine.fluids.carried import carried, stated
from knowngood.engine.fluids.expansion import Liquid
from knowngood.engine.fluids.pan import MM3_PER_L, Pan, Where
from knowngood.engine.judgement import Band, Estimate, Input, Shape, combine

RAD_PER_DEG = math.pi / 180.0  # by definition
# Ours: how far the edge of a trickle, of oil on a stick, or of a surface behind glass is from where it is taken to be.
# A stick is read to half its step, a glass to a quarter of its window. [mm]
TRICKLE_HALF_MM, STICK_STEP_MM, WINDOW_MM = 1.0, 3.0, 12.0
# Ours: a driveway that nobody put a level on. [deg]
DRIVEWAY_HALF_DEG = 2.0


def unlevelled(direction: str) -> Estimate:
    """Return the tilt of a driveway that nobody put a level on: level ± 2 deg, marked assumed. [deg]

    Args:
        direction: "along" or "across", for its key.
    """
    return stated(f"tilt/{direction}", 0.0, DRIVEWAY_HALF_DEG, unit="deg", assumed=True,
                  name=f"tilt {direction} the vehicle", remedy="level")  # fmt: skip


def either_side(size: Estimate, direction: str) -> Estimate:
    """Return a tilt of which only the size is known, not which end is low: level, give or take that size. [deg]

    Args:
        size: Of the tilt. [deg]
        direction: "along" or "across", for its key.

    Example:
        >>> from knowngood.engine.judgement import Row
        >>> round(either_side(Estimate(0.5, "deg", (Row("phone", 0.1),)), "along").standard_uncertainty, 2)
        0.51
    """
    off = Input(f"tilt/{direction}/side", 0.0, standard_uncertainty=math.hypot(size.value, size.standard_uncertainty),
                remedies=("level",), name=f"which end is low, {direction}")  # fmt: skip
    return carried(lambda side: side, [off], unit="deg")


@dataclass(frozen=True)
class LevelError:
    """What is wrong with the amount inside when the level was found right.

    Args:
        litre: Too much above zero, too little below. [L]
        mm: The same at the place where it is read, on level ground. [mm]
        temperature_l: The part of it from temperature. [L]
        tilt_l: The part from tilt. [L]
        reading_l: The part from the eye. [L]
    """

    litre: Estimate
    mm: Estimate
    temperature_l: Estimate
    tilt_l: Estimate
    reading_l: Estimate


@dataclass(frozen=True)
class Check:
    """One check of a level.

    Args:
        volume_l: What the circuit holds when it is right. [L]
        liquid: What it holds.
        fluid_c: Its temperature at the check. [°C]
        right_c: The temperature that the level is for: the middle of the manual's window. [°C]
        along: Tilt along the vehicle, above zero where the fluid stands higher at the place that is read. [deg]
        across: The same across it. [deg]
        where: How it is read.
        fineness_mm: Step of a stick, height of a glass; None assumes 3 and 12 mm. [mm]
    """

    volume_l: Estimate
    liquid: Liquid
    fluid_c: Estimate
    right_c: float
    along: Estimate
    across: Estimate
    where: Where = Where.OVERFLOW
    fineness_mm: float | None = None


def level_error(check: Check, where: Pan) -> LevelError:
    """Return how far off the amount is when a level check finds it right.

    Colder than the level is for overfills, hotter underfills; a tilt that raises the fluid where it is read underfills.

    Args:
        check: What was found and how.
        where: The pan.

    Raises:
        ValueError: A temperature off the liquid's curve, a volume or a fineness that is not above zero.

    Source:
        GUM, 5.1.2. The surface of a fluid is level: it rises by the distance times the tangent of the tilt.

    Example:
        >>> from knowngood.engine.fluids.expansion import oil
        >>> from knowngood.engine.fluids.pan import pan
        >>> flat = [stated(f"tilt/{one}", 0.0, 0.5, unit="deg") for one in ("along", "across")]
        >>> cold = stated("fluid", 30.0, 2.0, unit="°C")
        >>> one = Check(stated("total", 8.0, 0.4, unit="L"), oil(0.85), cold, 40.0, *flat)
        >>> found = level_error(one, pan(length_mm=350.0, width_mm=200.0, along_mm=0.0, across_mm=100.0))
        >>> round(found.litre.value, 3), round(found.temperature_l.value, 3), round(found.litre.standard_uncertainty, 3)
        (0.061, 0.061, 0.046)
    """
    if not check.volume_l.value > 0.0:
        raise ValueError(f"a circuit of {check.volume_l.value:.3g} L; take it from the manual, above zero.")
    for celsius in (check.fluid_c.value, check.right_c):
        check.liquid.check(celsius)
    area = where.area_mm2
    temperature = _by_temperature(check)
    tilt = carried(_by_tilt, [check.along, check.across, where.along, where.across, area], unit="L")
    eye = Input("level/eye", 0.0, Shape.RECTANGULAR, _eye_half_mm(check), assumed=True, remedies=("read again",),
                name=f"reading the {check.where.value}")  # fmt: skip
    reading = carried(lambda mm, mm2: mm * mm2 / MM3_PER_L, [eye, area], unit="L")
    litre = combine([(1.0, temperature), (1.0, tilt), (1.0, reading)])
    height = carried(lambda litres, mm2: litres * MM3_PER_L / mm2, [litre, area], unit="mm")
    return LevelError(litre, height, temperature, tilt, reading)


@dataclass(frozen=True)
class Outweighs:
    """One degree of tilt beside the whole temperature window.

    Args:
        degree_mm: What 1 deg does where it is read. [mm]
        window_mm: What the window does, from its cold to its hot end. [mm]
        times: The first over the second: above 1, level the vehicle first.
    """

    degree_mm: Estimate
    window_mm: Estimate
    times: Estimate


def tilt_against_window(volume_l: Estimate, liquid: Liquid, window: Band, where: Pan) -> Outweighs:
    """Return what one degree of tilt does, beside the whole temperature window of the manual.

    Args:
        volume_l: What the circuit holds. [L]
        liquid: What it holds.
        window: Temperatures at which the level counts. [°C]
        where: The pan.

    Raises:
        ValueError: A window with one end.

    Example:
        >>> from knowngood.engine.fluids.expansion import oil
        >>> from knowngood.engine.fluids.pan import pan
        >>> flat = pan(length_mm=300.0, width_mm=200.0, along_mm=0.0, across_mm=100.0, free_share=1.0)
        >>> found = tilt_against_window(stated("total", 8.0, 0.4, unit="L"), oil(0.85), Band(35.0, 45.0, "°C"), flat)
        >>> [round(one.value, 2) for one in (found.degree_mm, found.window_mm, found.times)]
        [1.75, 1.02, 1.72]
    """
    if window.lower is None or window.upper is None:
        raise ValueError("a temperature window with one end; write both, such as 35 to 45 °C.")
    low, high = window.lower, window.upper
    for celsius in (low, high):
        liquid.check(celsius)

    def grown(litre: Any, of: Any, off: Any, mm2: Any) -> Any:
        return litre * (liquid.relative(high, of, off) / liquid.relative(low, of, off) - 1.0) * MM3_PER_L / mm2

    degree = carried(lambda mm: mm * math.tan(RAD_PER_DEG), [where.distance_mm], unit="mm")
    window_mm = carried(grown, [volume_l, *liquid.inputs, where.area_mm2], unit="mm")
    return Outweighs(degree, window_mm, carried(lambda a, b: a / b, [degree, window_mm], unit="1"))


@dataclass(frozen=True)
class LevelTo:
    """The largest tilt that still counts as level.

    Args:
        deg: Along the line from the surface's middle to where it is read. [deg]
        mm_per_m: The same, as the lift of one end of a metre. [mm]
    """

    deg: float
    mm_per_m: float


def level_to(tolerance: Band, where: Pan, *, others: Estimate | None = None) -> LevelTo:
    """Return how level the vehicle must stand for a level check to stay within its tolerance.

    Args:
        tolerance: How much too little or too much is allowed, about 0. [L or mm]
        where: The pan; the doubt of its distance counts 19 times out of 20.
        others: The error from all but tilt, which takes its part first; None takes none. [unit of the tolerance]

    Raises:
        ValueError: A tolerance without zero in it, or one that the other errors use up.

    Example:
        >>> from knowngood.engine.fluids.pan import pan
        >>> flat = pan(length_mm=300.0, width_mm=200.0, along_mm=0.0, across_mm=100.0, free_share=1.0)
        >>> found = level_to(Band(-3.0, 3.0, "mm"), flat)
        >>> round(found.deg, 1), round(found.mm_per_m)
        (1.6, 27)
    """
    ends = [abs(end) for end in (tolerance.lower, tolerance.upper) if end is not None]
    if (tolerance.lower or -1.0) > 0.0 or (tolerance.upper or 1.0) < 0.0:
        raise ValueError("a tolerance that does not hold 0; write how much too little and too much is allowed.")
    spent = 0.0 if others is None else max(abs(end) for end in others.interval(0.9))
    room = min(ends) - spent
    if not room > 0.0:
        raise ValueError(
            f"temperature and reading alone may be off by {spent:.2g} {tolerance.unit}, and {min(ends):.2g} is "
            "allowed: nothing is left for tilt. Check nearer to the middle of the window, or read more finely."
        )
    room_mm = room if tolerance.unit == "mm" else room * MM3_PER_L / where.area_mm2.quantile(0.95)
    rise = room_mm / where.distance_mm.quantile(0.95)
    return LevelTo(math.atan(rise) / RAD_PER_DEG, 1000.0 * rise)


def _by_temperature(check: Check) -> Estimate:
    """Found right at fluid_c; brought to right_c, what is inside takes more or less room than it should."""

    def too_much(litre: Any, celsius: Any, of: Any, off: Any) -> Any:
        return litre * (check.liquid.relative(check.right_c, of, off) / check.liquid.relative(celsius, of, off) - 1.0)

    return carried(too_much, [check.volume_l, check.fluid_c, *check.liquid.inputs], unit="L")


def _by_tilt(along_deg: Any, across_deg: Any, along_mm: Any, across_mm: Any, mm2: Any) -> Any:
    rise = along_mm * np.tan(along_deg * RAD_PER_DEG) + across_mm * np.tan(across_deg * RAD_PER_DEG)
    return -rise * mm2 / MM3_PER_L


def _eye_half_mm(check: Check) -> float:
    if check.fineness_mm is not None and not check.fineness_mm > 0.0:
        raise ValueError(f"a {check.where.value} of {check.fineness_mm:g} mm; measure it, above zero.")
    match check.where:
        case Where.OVERFLOW:
            return TRICKLE_HALF_MM
        case Where.DIPSTICK:
            return 0.5 * (check.fineness_mm or STICK_STEP_MM)
        case Where.SIGHT_GLASS:
            return 0.25 * (check.fineness_mm or WINDOW_MM)
