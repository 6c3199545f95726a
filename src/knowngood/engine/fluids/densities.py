"""Density curves: lubricating oil, ethylene glycol and water, plain water; floats, complex numbers and arrays alike."""

from functools import cache
from typing import Any

import numpy as np

from knowngood.engine.fluids.between import Array, on_grid
from knowngood.engine.tables import table

BASE_C = 15.0  # by definition of the formula below
# Source: API_MPMS_11_1, lubricating oils: 0.6278 over the density at 15 °C in kg/m³, for about 800 to 1160 kg/m³.
LUBRICATING, LIGHTEST_OIL, HEAVIEST_OIL = 6.278e-4, 0.80, 1.16
KG_M3_PER_LB_FT3 = 16.018463  # by the definitions of pound and foot
MOST_GLYCOL_PERCENT = 60.0  # ours: no vehicle needs more, and above it the freezing point rises again


def oil_factor(celsius: Any, kg_per_l: Any) -> Any:
    """Return the density of a lubricating oil over its density at 15 °C.

    Args:
        celsius: Its temperature. [°C]
        kg_per_l: Density at 15 °C. [kg/L]

    Source:
        API_MPMS_11_1, lubricating oils, temperature part alone: exp(-a dT (1 + 0.8 a dT)) with a = 0.6278 over the
        density in kg/m³.

    Example:
        >>> round(float(oil_factor(60.0, 0.85)), 5)
        0.96646
    """
    warmer = LUBRICATING / kg_per_l * (celsius - BASE_C)
    return np.exp(-warmer * (1.0 + 0.8 * warmer))


def coolant_density(celsius: Any, percent: Any) -> Any:
    """Return the density of ethylene glycol and water, straight between the printed rows. [kg/L]

    Args:
        celsius: Its temperature. [°C]
        percent: Glycol by volume, 0 to 60. [%]

    Source:
        ASHRAE_GLYCOL.

    Example:
        >>> round(float(coolant_density(60.0, 50.0)), 3)
        1.053
    """
    return on_grid(celsius, percent, *_glycol())


def water_density(celsius: Any) -> Any:
    """Return the density of water without air, 0 to 150 °C. [kg/L]

    Source:
        KELL_1975, as reprinted on two pages, one of which transposes two digits. Its temperature scale is that of
        1968, which differs by less than 0.03 °C.

    Example:
        >>> round(water_density(20.0), 4)
        0.9982
    """
    t = celsius
    above = 999.83952 + t * (
        16.945176 + t * (-7.9870401e-3 + t * (-46.170461e-6 + t * (105.56302e-9 - 280.54253e-12 * t)))
    )
    return above / (1.0 + 16.879850e-3 * t) / 1000.0


@cache
def _glycol() -> tuple[Array, Array, Array]:
    """Rows in °C, columns in % by volume, and density in kg/L.

    A blank of the table, frozen or boiling, is filled by going on straight in its column: draws at random may step in.
    """
    printed = table("glycol_density")
    celsius = np.array([(row["f"] - 32.0) / 1.8 for row in printed["rows"]])
    percents = np.array(printed["share_percent"], dtype=float)
    density = np.full((len(celsius), len(percents)), np.nan)
    for at, row in enumerate(printed["rows"]):
        density[at, len(percents) - len(row["lb_ft3"]) :] = row["lb_ft3"]
    for column in density.T:
        there = np.flatnonzero(np.isfinite(column))
        for end, step in ((there[0], 1), (there[-1], -1)):
            slope = (column[end] - column[end + step]) / (celsius[end] - celsius[end + step])
            beyond = np.arange(end)[::1] if step == 1 else np.arange(end + 1, len(column))
            column[beyond] = column[end] + slope * (celsius[beyond] - celsius[end])
    return celsius, percents, density * KG_M3_PER_LB_FT3 / 1000.0
