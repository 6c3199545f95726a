"""Density of a battery's acid by a hydrometer, brought to the temperature that its limits hold at."""

from collections.abc import Sequence
from typing import Any

from knowngood.engine.judgement import Estimate, Input, Shape, propagate
from knowngood.engine.measurement.electrical.wires import Stated
from knowngood.engine.measurement.meters.instruments import Meter, gain_input
from knowngood.engine.measurement.readings.remedies import Way
from knowngood.engine.measurement.readings.single import offset_input, shown_input

# 4 points of the third place for 10 °F. Source: TM_BATTERIES. Others take 0.0007 for 1 °C: common practice, no source;
# the doubt covers it. [kg/L/K]
PER_K, PER_HALF_K = 0.00072, 0.00003
# Limits hold at 26.7 °C. Source: TM_BATTERIES. Or at 20 or 25 °C: common practice, no source. The middle of all, when
# nobody says which. [°C, K]
LIMITS_C, LIMITS_HALF_K = 23.35, 3.35
# Weather in which someone works outside, and a stated temperature without a tolerance. Ours. [°C, K]
OUTSIDE_C, OUTSIDE_HALF_K, THERMOMETER_HALF_K = 15.0, 15.0, 3.0
# Scales in kg/L, and scales that compare with water of 4 to 27 °C, are used alike. Ours. [kg/L]
SCALE_HALF = 0.002
ACID_WAYS = (
    Way("acid", "Take the acid's temperature with a glass thermometer, or the case's after a night", 5, 0.2),
    Way("limits", "Look up at which temperature the limits hold", 5, 0.0),
)


def acid_density(
    cells_kg_per_l: Sequence[float],
    *,
    meter: Meter,
    acid_c: Stated | None = None,
    limits_c: float | None = None,
    reading_id: str = "reading",
    seed: int = 0,
) -> Estimate:
    """Return the density of the acid in the lowest cell, at the temperature that limits hold at.

    Acid that is warmer than that reads too low; the lowest cell is the one that fails first.

    Args:
        cells_kg_per_l: One reading for each cell; what a scale without a unit shows counts as kg/L. [kg/L]
        meter: The hydrometer, one that does not correct itself.
        acid_c: The acid's temperature, and how far off; None assumes mild weather. [°C]
        limits_c: None assumes 20 to 26.7 °C. [°C]
        reading_id: Makes the keys of these readings' own errors.
        seed: Of the Monte Carlo draws.

    Returns:
        Density. [kg/L]

    Raises:
        ValueError: No reading, or one that is not above zero.

    Source:
        GUM, 5.1.2.
        TM_BATTERIES, 0.004 for 10 °F.

    Example:
        >>> found = acid_density([1.250, 1.265], meter=Meter("float", 0, 0.5, 0.005), acid_c=(-6.7, 1.0), limits_c=26.7)
        >>> round(found.value, 3), round(found.standard_uncertainty, 3)
        (1.226, 0.002)
    """
    if not cells_kg_per_l:
        raise ValueError("there is no reading. Give one number for each cell, in their order.")
    low = min(cells_kg_per_l)
    if not low > 0.0:
        raise ValueError(
            f"a density of {low:g} kg/L is not above zero. Draw acid until the float swims free, and read at eye level."
        )
    at = cells_kg_per_l.index(low)
    inputs = [
        shown_input(low, meter, key=f"reading:{reading_id}/{at + 1}", name=f"cell {at + 1}"),
        gain_input(meter),
        offset_input(meter),
        *_warmth(acid_c, limits_c, reading_id),
        Input(f"{meter.key}/scale", 0.0, Shape.RECTANGULAR, SCALE_HALF, name="which water the scale compares with"),
    ]

    def density(read: Any, gain: Any, offset: Any, acid: Any, limits: Any, per_k: Any, scale: Any) -> Any:
        return read * (1.0 + gain) + offset + scale + per_k * (acid - limits)

    return propagate(density, inputs, unit="kg/L", seed=seed)


def _warmth(acid_c: Stated | None, limits_c: float | None, reading_id: str) -> list[Input]:
    """The acid's temperature, that of the limits, and what a degree of difference makes."""
    middle, half = acid_c or (OUTSIDE_C, OUTSIDE_HALF_K)
    stated = limits_c is not None
    return [
        Input(
            f"reading:{reading_id}/acid", middle, Shape.RECTANGULAR, THERMOMETER_HALF_K if half is None else half,
            assumed=acid_c is None or half is None, remedies=("acid",), name="temperature of the acid",
        ),
        Input(
            f"reading:{reading_id}/limits", LIMITS_C if limits_c is None else limits_c, Shape.RECTANGULAR,
            0.0 if stated else LIMITS_HALF_K, assumed=not stated, remedies=("limits",),
            name="temperature that the limits hold at, 20 to 26.7 °C",
        ),
        Input("acid/per degree", PER_K, Shape.RECTANGULAR, PER_HALF_K, name="what a degree makes of the density"),
    ]  # fmt: skip
