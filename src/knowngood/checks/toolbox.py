"""What the checks know of a toolbox: its torque wrenches and its meters."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from knowngood.engine.fasteners.wrenches import Wrench
from knowngood.engine.measurement.meters.checking import resolved
from knowngood.engine.measurement.meters.instruments import Meter


@dataclass(frozen=True)
class ToolMeter:
    """One line of an instrument.

    Args:
        meter: As it was described.
        unit: Unit inside that its display is described in.
        lower: Lowest reading of its range; None when it has none. [unit]
        upper: Highest reading of its range; None when it has one range only. [unit]
        checked: The meter at a reading, as its checks have shown it; None when nobody checked it.
    """

    meter: Meter
    unit: str
    lower: float | None = None
    upper: float | None = None
    checked: Callable[[float], Meter] | None = None

    def at(self, reading: float) -> Meter:
        """The meter as far as it is known at this reading. [unit]"""
        return self.checked(reading) if self.checked else resolved(self.meter, reading)

    def holds(self, readings: Sequence[float]) -> bool:
        """Does its range hold all these readings? One that begins at zero holds those below zero too. [unit]"""
        if self.upper is None:
            return True
        lower = self.lower or -self.upper
        return all(lower <= one <= self.upper for one in readings)


@dataclass(frozen=True)
class Toolbox:
    """Torque wrenches, and a row for each line of the meters."""

    wrenches: tuple[Wrench, ...] = ()
    meters: tuple[ToolMeter, ...] = ()
