"""The circuits of a sheet: what holds fluid, and what its level depends on."""

from enum import StrEnum

from pydantic import Field

from knowngood.sheet.fields import Density, FactText, Form, Freezing, Id, Length, OffBy, Volume, Window


class Fluid(StrEnum):
    """What a circuit holds; gear oil is a manual gearbox's, a differential's or a transfer case's."""

    COOLANT = "coolant"
    ENGINE_OIL = "engine oil"
    GEARBOX_OIL = "gearbox oil"
    GEAR_OIL = "gear oil"
    BRAKE_FLUID = "brake fluid"
    STEERING_FLUID = "steering fluid"
    FUEL = "fuel"
    REFRIGERANT = "refrigerant"


class LevelBy(StrEnum):
    """How a level is seen."""

    OVERFLOW_PLUG = "overflow_plug"
    DIPSTICK = "dipstick"
    SIGHT_GLASS = "sight_glass"


class Pan(Form):
    """What the free surface measures where the level is read."""

    length: Length = Field(description="along the vehicle, inside")
    width: Length = Field(description="across the vehicle, inside")


class PlugToMiddle(Form):
    """How far the plug, the dipstick or the mark stands from the middle of the free surface."""

    along: Length = Field(description="along the vehicle")
    across: Length = Field(description="across the vehicle")


class TiltRead(Form):
    """By which limits of the sheet the vehicle's tilt is read before the level counts."""

    along: Id | None = Field(default=None, description="the limit of its tilt along the vehicle")
    across: Id | None = Field(default=None, description="the limit of its tilt across the vehicle")


class Level(Form):
    """How a circuit's level is read, and what it depends on.

    Args:
        by: What the level is seen at.
        port: The overflow plug, as open() names it.
        window: Temperature of the fluid at which the level counts; None when it counts at any.
        tolerance: How far the level may be off either way; None when nobody says.
        pan: Size of the free surface; None when nobody measured it.
        plug_to_middle: Where on that surface the level is seen; None when nobody measured it.
        tilt: By which limits the vehicle's tilt is read; None when nobody reads it.
        depends: Facts that must hold while the level is read.
    """

    by: LevelBy
    port: str | None = None
    window: Window | None = None
    tolerance: OffBy | None = None
    pan: Pan | None = None
    plug_to_middle: PlugToMiddle | None = None
    tilt: TiltRead | None = None
    depends: tuple[FactText, ...] = ()


class Circuit(Form):
    """Something that holds fluid."""

    name: str
    fluid: Fluid
    holds: Volume
    refill: str = Field(description="port through which it is refilled, the object of open() and proven()")
    density: Density | None = Field(default=None, description="of the fluid at 15 °C, from its data sheet")
    freezes: Freezing | None = Field(default=None, description="coolant: down to where it must not freeze")
    left_in: dict[Id, Volume] = Field(
        default_factory=dict, description="what stays in a part that is taken off, by that part"
    )
    level: Level | None = None
