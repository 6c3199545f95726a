"""How thick an oil is at a temperature, its index and grade, and the film that stays behind after a wait."""

import math
from dataclasses import dataclass
from typing import Any

import numpy as np

from knowngood.engine.fluids.carried import carried
from knowngood.engine.judgement import Estimate, Input, Shape, linear

KELVIN = 273.15  # by definition
# Source: ASTM_D341, the simple form of the chart's equation, for 2 mm²/s and more.
ADDED, THINNEST = 0.7, 2.0
# Ours: colder than this, oils of many grades turn waxy and no line holds; hotter is no vehicle's oil.
COLDEST_C, HOTTEST_C = -40.0, 150.0
GRAVITY_MM_S2 = 9806.65
# Ours: a print of two digits, and that some oils with polymers bend off the line.
FITS = 0.10
# Ours: inner surface that was wetted, of a pan, housing or block; how far a plain plate is from that, and how far off
# its law is for the film at one temperature beside another.
WETTED_M2, WETTED_HALF_M2, PLATE_HALF, LAW_HALF = 0.30, 0.20, 0.60, 0.25
PLATE_HEIGHT_MM = 200.0


@dataclass(frozen=True)
class Viscosity:
    """A line through two points of a data sheet: log log (nu + 0.7) = a - b log T, T in kelvin.

    Source:
        ASTM_D341.
    """

    a: float
    b: float

    def at(self, celsius: Any) -> Any:
        """Return the kinematic viscosity; floats, complex numbers and arrays. [mm²/s]

        Example:
            >>> round(float(through((40.0, 32.0), (100.0, 5.4)).at(80.0)), 1)
            8.5
        """
        return 10.0 ** (10.0 ** (self.a - self.b * np.log10(celsius + KELVIN))) - ADDED

    def where(self, mm2_s: float) -> float:
        """Return the temperature at which it is this thick. [°C]

        Args:
            mm2_s: Kinematic viscosity. [mm²/s]

        Raises:
            ValueError: Thinner than the line holds for.
        """
        _refuse_thin(mm2_s)
        return float(10.0 ** ((self.a - math.log10(math.log10(mm2_s + ADDED))) / self.b)) - KELVIN


def through(first: tuple[float, float], second: tuple[float, float]) -> Viscosity:
    """Return the line through two points of a data sheet.

    Args:
        first: Temperature and kinematic viscosity. [°C, mm²/s]
        second: The same at another temperature. [°C, mm²/s]

    Raises:
        ValueError: Thinner than 2 mm²/s, one temperature twice, or thicker when hot.

    Source:
        ASTM_D341.

    Example:
        >>> round(float(through((40.0, 36.0), (100.0, 7.2)).at(20.0)), 1)
        84.2
    """
    (cold_c, thick), (hot_c, thin) = sorted((first, second))
    for mm2_s in (thick, thin):
        _refuse_thin(mm2_s)
    if not (cold_c < hot_c and thick > thin):
        raise ValueError(
            f"{thick:g} mm²/s at {cold_c:g} °C and {thin:g} mm²/s at {hot_c:g} °C; an oil is thinner when it is "
            "hotter. Take the viscosities at 40 and at 100 °C from the data sheet."
        )
    low, high = (math.log10(math.log10(mm2_s + ADDED)) for mm2_s in (thin, thick))
    b = (high - low) / (math.log10(hot_c + KELVIN) - math.log10(cold_c + KELVIN))
    return Viscosity(high + b * math.log10(cold_c + KELVIN), b)


def viscosity_at(viscosity: Viscosity, celsius: float) -> Estimate:
    """Return how thick an oil is at a temperature, ± 10 % for print and bend, ours. [mm²/s]

    Args:
        viscosity: The line of its data sheet.
        celsius: Where. [°C]

    Raises:
        ValueError: A temperature off the line, or thinner than 2 mm²/s there.

    Example:
        >>> found = viscosity_at(through((40.0, 36.0), (100.0, 7.2)), 60.0)
        >>> round(found.value, 1), round(found.standard_uncertainty, 1)
        (18.6, 1.1)
    """
    _refuse_temperature(celsius)
    nu = float(viscosity.at(celsius))
    _refuse_thin(nu)
    fits = Input(f"viscosity/{celsius:g} °C", 0.0, Shape.RECTANGULAR, FITS, assumed=True,
                 name=f"print and bend of the oil's line at {celsius:g} °C")  # fmt: skip
    return linear(lambda off: nu * (1.0 + off), [fits], unit="mm²/s")


def film_mm(mm2_s: Any, below_mm: Any, minutes: Any) -> Any:
    """Return how thick a film is on an upright wall after a wait. [mm]

    Args:
        mm2_s: Kinematic viscosity. [mm²/s]
        below_mm: Depth below the upper edge. [mm]
        minutes: Since it began to drain. [min]

    Source:
        JEFFREYS_1930, sqrt(nu x / (g t)).

    Example:
        >>> round(float(film_mm(84.2, 200.0, 10.0)), 3)
        0.053
    """
    return np.sqrt(mm2_s * below_mm / (GRAVITY_MM_S2 * 60.0 * minutes))


def film_left(viscosity: Viscosity, celsius: float, minutes: float) -> Estimate:
    """Return what stays behind as film and drip after a wait; very wide, and ours but for the film's law. [L]

    Its mean over a wall is two thirds of the film at the lower edge. The wall is 0.30 ± 0.20 m² of plain plate.

    Args:
        viscosity: The line of the oil's data sheet.
        celsius: Of the oil and the wall while it drains. [°C]
        minutes: Wait. [min]

    Raises:
        ValueError: No wait, or a temperature off the line.

    Source:
        JEFFREYS_1930.

    Example:
        >>> found = film_left(through((40.0, 36.0), (100.0, 7.2)), 20.0, 10.0)
        >>> round(found.value, 4), round(found.standard_uncertainty, 4)
        (0.0107, 0.0055)
    """
    if not minutes > 0.0:
        raise ValueError(f"a wait of {minutes:g} min; write how long it drains, such as 10 min.")
    thin = film_mm(viscosity_at(viscosity, celsius).value, PLATE_HEIGHT_MM, minutes) * 2.0 / 3.0
    inputs = [
        Input("film/wetted", WETTED_M2, Shape.RECTANGULAR, WETTED_HALF_M2, assumed=True, name="wetted surface inside"),
        Input("film/plate", 0.0, Shape.RECTANGULAR, PLATE_HALF, assumed=True, name="a housing is no plain wall"),
    ]
    return linear(lambda m2, plate: thin * m2 * (1.0 + plate), inputs, unit="L")


@dataclass(frozen=True)
class Beside:
    """Draining at one temperature beside another; wide, and ours but for the film's law.

    Args:
        film: How many times the other's film stays behind after the same wait.
        wait: How many times the other's wait leaves the same film.
    """

    film: Estimate
    wait: Estimate


def beside(viscosity: Viscosity, celsius: float, other_c: float) -> Beside:
    """Return what draining at one temperature does, beside draining at another.

    Args:
        viscosity: The line of the oil's data sheet.
        celsius: The one. [°C]
        other_c: The other. [°C]

    Raises:
        ValueError: A temperature off the line.

    Source:
        JEFFREYS_1930: the film goes with the root of the viscosity, the wait with the viscosity itself.

    Example:
        >>> found = beside(through((40.0, 36.0), (100.0, 7.2)), 20.0, 60.0)
        >>> round(found.film.value, 1), round(found.film.standard_uncertainty, 1), round(found.wait.value, 1)
        (2.1, 0.3, 4.5)
    """
    both = [viscosity_at(viscosity, one) for one in (celsius, other_c)]
    law = Input("film/law", 0.0, Shape.RECTANGULAR, LAW_HALF, assumed=True, name="a housing drains unlike a plain wall")
    return Beside(
        carried(lambda one, other, off: np.sqrt(one / other) * (1.0 + off), [*both, law], unit="1"),
        carried(lambda one, other, off: one / other * (1.0 + off) ** 2, [*both, law], unit="1"),
    )


def _refuse_thin(mm2_s: float) -> None:
    if not THINNEST <= mm2_s < math.inf:
        raise ValueError(
            f"{mm2_s:.3g} mm²/s; the line between two points holds from {THINNEST:g} mm²/s up. "
            "Check the viscosity and its unit: 1 cSt is 1 mm²/s."
        )


def _refuse_temperature(celsius: float) -> None:
    if not COLDEST_C <= celsius <= HOTTEST_C:
        raise ValueError(
            f"oil at {celsius:g} °C; its viscosity is followed from {COLDEST_C:g} to {HOTTEST_C:g} °C. "
            "Check the temperature and its unit."
        )
