"""Temperature of a surface: by infrared, which sees the surroundings too, and by a probe, which the air cools."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from knowngood.engine.judgement import Estimate, Input, Shape, propagate
from knowngood.engine.measurement.meters.instruments import Meter, gain_input, reading_inputs

ZERO_C_K = 273.15  # by definition
# What infrared thermometers without a setting take a surface to be: common practice, no source.
EMISSIVITY_SET = 0.95


@dataclass(frozen=True)
class Surroundings:
    """Temperature of what is around: the air, and what a surface reflects.

    Args:
        celsius: A garage, ours. [°C]
        half_width_k: How far it may be off. [K]
        assumed: Nobody stated it.
    """

    celsius: float = 20.0
    half_width_k: float = 10.0
    assumed: bool = True


@dataclass(frozen=True)
class Surface:
    """How much of what a surface sends out is its own. [1]"""

    emissivity: float
    half_width: float
    assumed: bool = False


# Over all wavelengths: oil paints of all colours .92 to .96, iron from rusted red .61 to dull and oxidised .94, heavily
# oxidised aluminium .20 to .31. Source: MCADAMS_1954. At 8 to 14 µm rust from .5, aluminium roughened or oxidised .1
# to .4, tape .95: common practice, no source. Anything but bare metal: ours, over all of them.
SURFACES = {
    "coated": Surface(0.95, 0.03),
    "rusty": Surface(0.725, 0.225),
    "dull_aluminium": Surface(0.25, 0.15),
    "unknown": Surface(0.73, 0.25, assumed=True),
}
# Ours: the share of the way to the air that a probe's tip stays behind, most to least.
CONTACTS = {"held": (0.05, 0.05), "fixed": (0.01, 0.01), "immersed": (0.005, 0.005)}
BARE = "bare"
# Infrared thermometers of a workshop read from about -50 to 600 °C; wider is a slip of the unit.
COLDEST_C, HOTTEST_C = -60.0, 800.0


def shown_temperature(
    true_c: Any, *, emissivity: Any, emissivity_set: Any = EMISSIVITY_SET, surroundings_c: Any = 20.0
) -> Any:
    """Return what an infrared thermometer shows of a surface. [°C]

    Args:
        true_c: Of the surface; float, complex or array. [°C]
        emissivity: Of the surface. [1]
        emissivity_set: What the thermometer takes it to be. [1]
        surroundings_c: Of what the surface reflects. [°C]

    Example:
        >>> round(shown_temperature(80.0, emissivity=0.6), 2)
        61.52
    """
    return surface_from_shown(
        true_c, emissivity=emissivity_set, emissivity_set=emissivity, surroundings_c=surroundings_c
    )


def surface_from_shown(
    shown_c: Any, *, emissivity: Any, emissivity_set: Any = EMISSIVITY_SET, surroundings_c: Any = 20.0
) -> Any:
    """Return the temperature of a surface from what an infrared thermometer shows. [°C]

    Set emissivity times what lies between shown and surroundings, in kelvin to the fourth power, equals the surface's
    emissivity times what lies between true and surroundings.

    Args:
        shown_c: Float, complex or array. [°C]
        emissivity: Of the surface. [1]
        emissivity_set: What the thermometer takes it to be. [1]
        surroundings_c: Of what the surface reflects. [°C]

    Example:
        >>> round(surface_from_shown(61.52, emissivity=0.6), 1)
        80.0
    """
    around = (surroundings_c + ZERO_C_K) ** 4
    own = around + emissivity_set / emissivity * ((shown_c + ZERO_C_K) ** 4 - around)
    # The eighth root of the square: the wildest draws, where only two readings scatter, have no fourth root.
    return (own * own) ** 0.125 - ZERO_C_K


def infrared_temperature(
    shown_c: Sequence[float],
    *,
    meter: Meter,
    surface: str = "unknown",
    emissivity_set: float = EMISSIVITY_SET,
    surroundings: Surroundings | None = None,
    reading_id: str = "reading",
    seed: int = 0,
) -> Estimate:
    """Return a surface's temperature from infrared readings of one spot.

    Args:
        shown_c: Readings. [°C]
        meter: The thermometer.
        surface: A key of SURFACES, or "bare", which is refused.
        emissivity_set: What the thermometer is set to. [1]
        surroundings: What the surface reflects; None assumes a garage, wide.
        reading_id: Makes the keys of these readings' own errors.
        seed: Of the Monte Carlo draws.

    Raises:
        ValueError: Bare metal, an unknown surface, a setting or a temperature that cannot be.

    Source:
        GUM, 5.1.2, linear law.

    Example:
        >>> gun = Meter("gun", 0.0, 0, 0.1, offset=2.0)
        >>> found = infrared_temperature([80.4, 80.6], meter=gun, surface="coated")
        >>> round(found.value, 1), round(found.standard_uncertainty, 1)
        (80.5, 1.4)
    """
    around = surroundings or Surroundings()
    _refuse_surface(surface, emissivity_set)
    _refuse_celsius((*shown_c, around.celsius))
    kind = SURFACES[surface]
    _refuse_lost(min(shown_c, default=math.inf) - meter.absolute, kind, emissivity_set, around)
    inputs = [
        *reading_inputs(shown_c, meter, key=f"reading:{reading_id}", name="the readings"),
        gain_input(meter),
        Input(f"surface:{surface}", kind.emissivity, Shape.RECTANGULAR, kind.half_width, assumed=kind.assumed,
              remedies=("patch",), name="what the surface is like"),
        around_input(around, reading_id),
    ]  # fmt: skip

    def true(read: Any, digits: Any, step: Any, gain: Any, emissivity: Any, around_c: Any) -> Any:
        shown = read * (1.0 + gain) + digits + step
        return surface_from_shown(shown, emissivity=emissivity, emissivity_set=emissivity_set, surroundings_c=around_c)

    return propagate(true, inputs, unit="°C", seed=seed)


def contact_temperature(
    shown_c: Sequence[float],
    *,
    meter: Meter,
    contact: str = "held",
    air: Surroundings | None = None,
    reading_id: str = "reading",
    seed: int = 0,
) -> Estimate:
    """Return a surface's temperature from a probe that touches it; its tip stays behind, towards the air.

    Args:
        shown_c: Readings. [°C]
        meter: The thermometer.
        contact: A key of CONTACTS.
        air: Around the probe; None assumes a garage, wide.
        reading_id: Makes the keys of these readings' own errors.
        seed: Of the Monte Carlo draws.

    Raises:
        ValueError: An unknown contact, or a temperature that cannot be.

    Source:
        GUM, 5.1.2, linear law.

    Example:
        >>> found = contact_temperature([60.0], meter=Meter("probe", 0.0, 0, 0.1, offset=1.0), contact="immersed")
        >>> round(found.value, 1), round(found.standard_uncertainty, 1)
        (60.2, 0.6)
    """
    around = air or Surroundings()
    if contact not in CONTACTS:
        raise ValueError(f'"{contact}" is no way to hold a probe known here. Take one of {", ".join(CONTACTS)}.')
    _refuse_celsius((*shown_c, around.celsius))
    behind, half = CONTACTS[contact]
    inputs = [
        *reading_inputs(shown_c, meter, key=f"reading:{reading_id}", name="the readings"),
        gain_input(meter),
        Input(f"reading:{reading_id}/contact", behind, Shape.RECTANGULAR, half, assumed=True, remedies=("contact",),
              name="how well the probe touches"),
        around_input(around, reading_id),
    ]  # fmt: skip

    def true(read: Any, digits: Any, step: Any, gain: Any, behind: Any, air_c: Any) -> Any:
        shown = read * (1.0 + gain) + digits + step
        return shown + behind * (shown - air_c)

    return propagate(true, inputs, unit="°C", seed=seed)


def around_input(around: Surroundings, reading_id: str) -> Input:
    """The surroundings' temperature. [°C]"""
    return Input(f"reading:{reading_id}/surroundings", around.celsius, Shape.RECTANGULAR, around.half_width_k,
                 assumed=around.assumed, remedies=("surroundings",), name="temperature around it")  # fmt: skip


def _refuse_surface(surface: str, emissivity_set: float) -> None:
    if surface == BARE:
        raise ValueError(
            "bare metal cannot be read by infrared: it mirrors what is around it. "
            "Stick a patch of tape or paint on it, wait a minute, and read the patch."
        )
    if surface not in SURFACES:
        raise ValueError(f'"{surface}" is no surface known here. Take one of {", ".join(SURFACES)}.')
    if not 0.1 <= emissivity_set <= 1.0:
        raise ValueError(
            f"an emissivity setting of {emissivity_set:g}; thermometers are set from 0.1 to 1. "
            "Look at the display or the manual; most are fixed at 0.95."
        )


def _refuse_celsius(temperatures_c: Sequence[float]) -> None:
    for celsius in temperatures_c:
        if not COLDEST_C <= celsius <= HOTTEST_C:
            raise ValueError(
                f"a temperature of {celsius:g} °C is outside {COLDEST_C:g} to {HOTTEST_C:g} °C. "
                "Check the number and its unit."
            )


def _refuse_lost(lowest_c: float, kind: Surface, emissivity_set: float, around: Surroundings) -> None:
    """Far colder than what it mirrors, a surface that mirrors much has no temperature that would show this."""
    mirrored = (around.celsius + around.half_width_k + ZERO_C_K) ** 4
    least = kind.emissivity - kind.half_width
    if mirrored + emissivity_set / least * ((lowest_c + ZERO_C_K) ** 4 - mirrored) < (COLDEST_C + ZERO_C_K) ** 4:
        raise ValueError(
            "a surface that mirrors this much is too near the temperature around it to be read. "
            "Stick a patch of tape or paint on it, wait a minute, and read the patch."
        )
