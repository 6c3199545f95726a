"""How fluids grow with heat: oils by their density, coolant by its mix, water by itself, the rest by a wide slope."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from knowngood.engine.fluids.densities import (
    HEAVIEST_OIL,
    LIGHTEST_OIL,
    MOST_GLYCOL_PERCENT,
    coolant_density,
    oil_factor,
    water_density,
)
from knowngood.engine.judgement import Estimate, Input, Shape, linear

# Ours: volumes are kept as they are at this temperature, which jugs and cylinders are made for.
REFERENCE_C = 20.0
# Ours: how well these curves fit the fluid of a vehicle, as a share of the growth: synthetic oils and additives differ.
FITS, COOLANT_FITS, WATER_FITS = 0.05, 0.05, 0.01


@dataclass(frozen=True)
class Liquid:
    """A fluid, what its growth depends on, and how well that is known.

    Args:
        name: What the mechanic calls it.
        depends_on: The word for `of`, such as "density at 15 °C".
        of: That value. [kg/L, % by volume or 1/K, as depends_on says]
        half_width: How far off it may be.
        curve: Density at a temperature, given `of`, up to a constant factor.
        coldest_c: From here on the curve holds. [°C]
        hottest_c: Up to here. [°C]
        fits: How far the growth may be off the curve, as a share of the growth.
        assumed: Nobody stated `of`.
    """

    name: str
    depends_on: str
    of: float
    half_width: float
    curve: Callable[[Any, Any], Any]
    coldest_c: float
    hottest_c: float
    fits: float
    assumed: bool = False

    def relative(self, celsius: Any, of: Any = None, off: Any = 0.0) -> Any:
        """Return the volume at a temperature over the volume at 20 °C.

        Args:
            celsius: A float, a complex number or an array. [°C]
            of: In place of the liquid's own value, as one of many draws; None takes its own.
            off: How far the growth is off the curve, as a share of it.

        Example:
            >>> round(float(oil(0.85).relative(80.0)), 4)
            1.0472
        """
        mine = self.of if of is None else of
        return 1.0 + (self.curve(REFERENCE_C, mine) / self.curve(celsius, mine) - 1.0) * (1.0 + off)

    @property
    def inputs(self) -> list[Input]:
        """The errors of the growth: what it depends on, then how well the curve fits."""
        return [
            Input(
                f"liquid:{self.name}/of", self.of, Shape.RECTANGULAR, self.half_width, assumed=self.assumed,
                remedies=("data sheet",), name=f"{self.depends_on}, {self.name}",
            ),
            Input(
                f"liquid:{self.name}/curve", 0.0, Shape.RECTANGULAR, self.fits, assumed=True,
                name=f"how well the printed curve fits this {self.name}",
            ),
        ]  # fmt: skip

    def check(self, celsius: float) -> None:
        """Refuse a temperature that the curve does not reach.

        Raises:
            ValueError: Colder or hotter than it holds.
        """
        if not self.coldest_c <= celsius <= self.hottest_c:
            raise ValueError(
                f"{self.name} at {celsius:g} °C: how it grows is known from {self.coldest_c:g} to {self.hottest_c:g} "
                "°C. Check the reading and its unit."
            )


def volume_at(litre: Any, from_c: Any, to_c: Any, *, liquid: Liquid, of: Any = None, off: Any = 0.0) -> Any:
    """Return what a volume becomes when it is brought to another temperature.

    Args:
        litre: Its volume at from_c. [L]
        from_c: Where it was read. [°C]
        to_c: Where it is wanted. [°C]
        liquid: What it is.
        of: In place of the liquid's own value, as one of many draws.
        off: How far the growth is off the curve, as a share of it.

    Returns:
        Volume at to_c; floats, complex numbers and arrays alike. [L]

    Example:
        >>> round(float(volume_at(5.0, 60.0, 20.0, liquid=oil(0.85))), 3)
        4.85
    """
    return litre * liquid.relative(to_c, of, off) / liquid.relative(from_c, of, off)


def volume_between(litre: float, from_c: float, to_c: float, *, liquid: Liquid) -> Estimate:
    """Return `volume_at` with the doubt about the liquid; volume and temperatures count as exact.

    Raises:
        ValueError: A volume that is not above zero, a temperature that the liquid's curve does not reach.

    Example:
        >>> found = volume_between(5.0, 60.0, 20.0, liquid=LIQUIDS["engine oil"])
        >>> round(found.value, 3), round(found.standard_uncertainty, 3)
        (4.852, 0.005)
    """
    if not litre > 0.0:
        raise ValueError(f"a volume of {litre:g} L; write what was read, above zero.")
    for celsius in (from_c, to_c):
        liquid.check(celsius)
    return linear(
        lambda of, off: volume_at(litre, from_c, to_c, liquid=liquid, of=of, off=off), liquid.inputs, unit="L"
    )


def oil(kg_per_l: float, *, half_width: float = 0.005, name: str = "oil", assumed: bool = False) -> Liquid:
    """Return a lubricating oil by its density at 15 °C, as its data sheet prints it.

    Args:
        kg_per_l: Density at 15 °C. [kg/L]
        half_width: How far off it may be; ours for a printed one. [kg/L]
        name: What the mechanic calls it.
        assumed: Nobody stated it.

    Raises:
        ValueError: A density that no lubricating oil has.

    Source:
        API_MPMS_11_1, lubricating oils, temperature part alone.
    """
    if not LIGHTEST_OIL <= kg_per_l <= HEAVIEST_OIL:
        raise ValueError(
            f"an oil of {kg_per_l:g} kg/L; the curve for lubricating oils holds from {LIGHTEST_OIL:g} to "
            f"{HEAVIEST_OIL:g} kg/L. Take the density at 15 °C from the data sheet; fuel has a curve of its own."
        )
    return Liquid(name, "density at 15 °C", kg_per_l, half_width, oil_factor, -50.0, 150.0, FITS, assumed)


def coolant(percent: float | None = None, *, half_width: float = 5.0, name: str = "coolant") -> Liquid:
    """Return ethylene glycol and water.

    Args:
        percent: Glycol by volume; None assumes 45 ± 15. [%]
        half_width: How far off it may be. [%]
        name: What the mechanic calls it.

    Raises:
        ValueError: Less than nothing, or more than 60 % glycol.

    Source:
        ASHRAE_GLYCOL, density by volume share and temperature.
    """
    if percent is None:
        return Liquid(name, "share of glycol", 45.0, 15.0, coolant_density, -25.0, 120.0, COOLANT_FITS, assumed=True)
    check_share(percent)
    return Liquid(name, "share of glycol", percent, half_width, coolant_density, -25.0, 120.0, COOLANT_FITS)


def check_share(percent: float) -> None:
    """Refuse a mixture that a cooling circuit must not hold.

    Raises:
        ValueError: Not from 0 to 60 %.
    """
    if not 0.0 <= percent <= MOST_GLYCOL_PERCENT + 1e-9:  # the sum of a mixture rounds
        raise ValueError(
            f"{percent:g} % glycol by volume; our table goes from 0 to {MOST_GLYCOL_PERCENT:g} %, and above that a "
            "mixture cools worse and freezes sooner again. Check the figure; thin it with water."
        )


def water(name: str = "water") -> Liquid:
    """Return plain water, from ice to boiling."""
    return Liquid(name, "nothing else", 0.0, 0.0, _water, 0.0, 100.0, WATER_FITS)


def plain(name: str, per_k: float, half_width: float) -> Liquid:
    """Return a fluid of which only a wide slope near 20 °C is known. [1/K]"""
    return Liquid(name, "growth per °C", per_k, half_width, _plain, -40.0, 150.0, 0.0, assumed=True)


def _water(celsius: Any, of: Any) -> Any:
    return water_density(celsius) + 0.0 * of


def _plain(celsius: Any, per_k: Any) -> Any:
    return 1.0 / (1.0 + per_k * (celsius - REFERENCE_C))


# Densities at 15 °C from memory, widths ours. Plain slopes: petrol and diesel 8.3e-4 to 9.5e-4 and glycol ethers 7e-4
# to 1.0e-3 from memory, with widths of ours; unknown is wide enough for all of them.
LIQUIDS = {
    one.name: one
    for one in (
        oil(0.860, half_width=0.025, name="engine oil", assumed=True),
        oil(0.850, half_width=0.025, name="gearbox oil", assumed=True),
        oil(0.885, half_width=0.030, name="gear oil", assumed=True),
        oil(0.855, half_width=0.030, name="steering fluid", assumed=True),
        coolant(),
        water(),
        plain("brake fluid", 8.5e-4, 2.0e-4),
        plain("fuel", 9.0e-4, 1.5e-4),
        plain("unknown", 7.0e-4, 4.0e-4),
    )
}
