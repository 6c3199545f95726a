"""What the checks know of a toolbox: its torque wrenches and its meters."""

from dataclasses import dataclass

from knowngood.engine.fasteners.wrenches import Wrench
from knowngood.engine.measurement.instruments import Meter


@dataclass(frozen=True)
class ToolMeter:
    """A meter and the unit inside that its display is described in."""

    meter: Meter
    unit: str


@dataclass(frozen=True)
class Toolbox:
    """Torque wrenches and meters."""

    wrenches: tuple[Wrench, ...] = ()
    meters: tuple[ToolMeter, ...] = ()
