"""Instruments by class: percent of reading, digits of the display, an absolute part. Limits are rectangles."""

import math
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from statistics import fmean, stdev

from knowngood.engine.judgement import Input, Shape

# Ends the keys of what repeated readings differ by.
SCATTER = "/scatter"
# What is assumed of a single reading.
USUAL = "how far such readings usually scatter"


@dataclass(frozen=True)
class Repeat:
    """How far readings of one kind usually scatter, known before any of this one was made.

    Args:
        share: Of the reading. [1]
        size: Whatever the reading. [unit of the reading]
        steps: Of the display or the scale. [1]
        degrees_of_freedom: What that knowledge is worth, in readings that have shown it.

    Example:
        >>> round(Repeat(share=0.001, steps=0.5).standard_deviation(100.0, step=0.1), 3)
        0.112
    """

    share: float = 0.0
    size: float = 0.0
    steps: float = 0.0
    degrees_of_freedom: float = 2.0

    def standard_deviation(self, value: float, *, step: float) -> float:
        """Return the usual standard deviation of one reading at this value. [unit of the reading]"""
        return math.hypot(self.share * value, self.size, self.steps * step)

    def pooled(self, values: Sequence[float], *, step: float) -> tuple[float, float]:
        """Return the standard deviation of one reading and its degrees of freedom, from what is usual and what showed.

        With n readings of standard deviation s, and a usual s0 worth n0 degrees of freedom, it is
        sqrt((n0 s0^2 + (n - 1) s^2) / (n0 + n - 1)), with n0 + n - 1 degrees of freedom.

        Source:
            GUM, 4.2.4, a pooled estimate of variance for repeated readings that are few.

        Example:
            >>> usual = Repeat(size=0.1)
            >>> [(round(s, 3), dof) for s, dof in (usual.pooled(read, step=0.0) for read in ([5.0], [5.0, 5.3]))]
            [(0.1, 2.0), (0.147, 3.0)]
        """
        known, shown = self.degrees_of_freedom, len(values) - 1
        usual = self.standard_deviation(fmean(values), step=step)
        seen = stdev(values) if shown else 0.0
        return math.sqrt((known * usual**2 + shown * seen**2) / (known + shown)), known + shown


@dataclass(frozen=True)
class Meter:
    """What an instrument's data sheet allows it to be off.

    Args:
        name: What its owner calls it; two readings by one name share its gain error.
        percent: Of the reading. [%]
        digits: Counts of the last place.
        step: One count of the display. [unit of the reading]
        offset: Absolute part. [unit of the reading]
        assumed: Nobody described it: a wide typical one.
        digits_cancel: The digits are one fixed offset, the same for part and leads, so that it cancels between them.
        greater: The data sheet allows the greater of percent and offset; both count until `resolved` drops one.
        known: A check has shown how far off it is; that is taken off before its readings come here, and what may be
            left of it is one error of all that it reads.
        repeat: How far such readings usually scatter; None where only what they have shown counts.

    Raises:
        ValueError: A part that is below zero.
    """

    name: str
    percent: float
    digits: float
    step: float
    offset: float = 0.0
    assumed: bool = False
    digits_cancel: bool = field(default=False, repr=False)
    greater: bool = field(default=False, repr=False)
    known: bool = field(default=False, repr=False)
    repeat: Repeat | None = field(default=None, repr=False)

    def __post_init__(self) -> None:
        if not all(0.0 <= part < math.inf for part in (self.percent, self.digits, self.step, self.offset)):
            raise ValueError(
                f"{self.name}: ± ({self.percent:g} % + {self.digits:g} digits of {self.step:g} + {self.offset:g}); "
                "each part must be zero or more. Copy the line from the meter's data sheet."
            )

    @property
    def key(self) -> str:
        """Begins the keys of its errors."""
        return f"meter:{self.name}"

    @property
    def unknown(self) -> bool:
        """Nobody described or checked it, so that what is usual for such a reading counts before its figures."""
        return self.assumed and not self.known

    @property
    def absolute(self) -> float:
        """Half-width of what does not grow with the reading. [unit of the reading]"""
        return self.digits * self.step + self.offset


# Percent, digits and offset of a wide typical instrument, by unit inside; the step is that of the display.
# ohm: 0.8 % + 5 digits, common practice of low-cost meters, no source. mm: a caliper of 0.05 mm. °C: an infrared
# thermometer, from memory. The others are ours: as wide as cheap gauges are sold. Source: DIN_862.
TYPICAL = {
    "ohm": (0.8, 5.0, 0.0),
    "V": (0.8, 5.0, 0.0),
    "A": (1.5, 5.0, 0.0),
    "°C": (0.0, 0.0, 3.0),
    "mm": (0.0, 0.0, 0.05),
    "kPa": (2.5, 1.0, 0.0),
    "N·m": (6.0, 1.0, 0.0),
    "L": (5.0, 0.5, 0.0),
    "kg": (1.0, 1.0, 0.0),
    "kg/L": (0.0, 0.5, 0.01),
}
OTHERWISE = (3.0, 1.0, 0.0)


def typical(unit: str, step: float) -> Meter:
    """Return a wide typical instrument for readings in this unit.

    Args:
        unit: Unit inside.
        step: Last place of what was read. [unit]
    """
    percent, digits, offset = TYPICAL.get(unit, OTHERWISE)
    return Meter("not described", percent, digits, step, offset, assumed=True)


def reading_inputs(values: Sequence[float], meter: Meter, *, key: str, name: str) -> list[Input]:
    """Return the mean of some readings as an Input, and Inputs for the display, to be added to it.

    The display's Inputs are about zero. Of an instrument without digits whose error is known from a check, what is left
    of that error is the same for all readings, so its key is the instrument's.

    The digits of the data sheet contain the display's step, and so does a scatter that shows, so the step gets no row
    of its own, unless none shows: the scatter of one reading, or of several equal ones, hides within one step.

    Where it is known how far such readings usually scatter, that is pooled with what these have shown, so that one,
    two and three readings follow on from each other; of a single one it is all that is known, and assumed.

    Args:
        values: Readings. [unit]
        meter: What they were read with.
        key: Begins the keys, such as "reading:7".
        name: What was read, in the mechanic's words.

    Returns:
        Mean, digits, step, in that order; to be added up. [unit]

    Raises:
        ValueError: No reading, or one that is no number.

    Source:
        GUM, 4.2, scatter of repeated readings; 4.2.4 where they are few.
        WILLINK_2007, why equal readings on a coarse display are not certain.
    """
    if not values or not all(math.isfinite(value) for value in values):
        raise ValueError(f"{name}: there is no reading. Give one or more numbers, as the display showed them.")
    count, shown = len(values), stdev(values) if len(values) > 1 else 0.0
    scatter, dof = _scatter(values, meter)
    usual = meter.repeat is not None and count == 1
    mean = Input(
        f"{key}{SCATTER}",
        fmean(values),
        Shape.STUDENT_T if math.isfinite(dof) else Shape.NORMAL,
        standard_uncertainty=scatter / math.sqrt(count),
        degrees_of_freedom=dof,
        assumed=usual,
        remedies=("repeat",),
        name=USUAL if usual else f"scatter of {name}",
    )
    whose = meter.key if meter.known and not meter.digits else key
    digits = _rectangle(f"{whose}/digits", meter.absolute, meter, f"display, {name}")
    return [mean, digits, _step(key, meter, name, hidden=shown == 0.0, dof=dof if count > 1 else math.inf)]


def _scatter(values: Sequence[float], meter: Meter) -> tuple[float, float]:
    """Standard deviation of one reading, and its degrees of freedom."""
    if meter.repeat:
        return meter.repeat.pooled(values, step=meter.step)
    return (stdev(values), len(values) - 1) if len(values) > 1 else (0.0, math.inf)


def _step(key: str, meter: Meter, name: str, *, hidden: bool, dof: float) -> Input:
    step = _rectangle(f"{key}/step", 0.5 * meter.step if hidden else 0.0, meter, f"step of the display, {name}")
    return replace(step, assumed=False, remedies=("meter",), degrees_of_freedom=dof)


def gain_input(meter: Meter) -> Input:
    """What the meter's gain corrects, relative: one error for all it reads."""
    return _rectangle(f"{meter.key}/gain", meter.percent / 100.0, meter, "percent of the meter")


def _rectangle(key: str, half_width: float, meter: Meter, name: str) -> Input:
    remedies = ("meter", "data_sheet") if meter.assumed else ("meter",)
    return Input(key, 0.0, Shape.RECTANGULAR, half_width, assumed=meter.assumed, remedies=remedies, name=name)


def finer(meter: Meter) -> Meter:
    """Return the instrument worth borrowing: a quarter of the percent and a display ten times finer. Ours."""
    return replace(
        meter, percent=0.25 * meter.percent, step=0.1 * meter.step, offset=0.25 * meter.offset, assumed=False
    )
