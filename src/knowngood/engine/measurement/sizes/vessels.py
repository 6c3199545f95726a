"""Volume that came out: by a graduated vessel, poured several times, and by weighing."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from knowngood.engine.judgement import Estimate, Input, Shape, propagate
from knowngood.engine.measurement.meters.instruments import Meter, gain_input
from knowngood.engine.measurement.readings.single import offset_input, shown_input

# Ours: a bucket, a jug or a cut-open bottle with marks, and half of the distance between two of them.
JUG_PERCENT, MARKS_APART_L = 5.0, 0.1


@dataclass(frozen=True)
class Density:
    """Of a fluid, and how well it is known. [kg/L]"""

    kg_per_l: float
    half_width: float
    assumed: bool = False


# At 20 °C, from memory; the widths are ours and hold some 20 °C of warmth.
DENSITIES = {
    "oil": Density(0.865, 0.025),
    "gear_oil": Density(0.88, 0.03),
    "coolant": Density(1.07, 0.03),
    "brake_fluid": Density(1.05, 0.04),
    "water": Density(0.995, 0.005),
    "fuel": Density(0.78, 0.06),
    "unknown": Density(0.97, 0.13, assumed=True),
}
# Ours: a density that someone wrote down without how far off.
DENSITY_HALF = 0.01
LIGHTEST, HEAVIEST = 0.6, 2.0


def jug(name: str, *, marks_l: float | None = None, step_l: float = 0.0) -> Meter:
    """Return a graduated vessel nobody calibrated: ± 5 % and half the distance between its marks.

    Args:
        name: What its owner calls it.
        marks_l: Distance between two marks; None assumes 0.1 L, or what was read if that is coarser. [L]
        step_l: Last place of what was read. [L]

    Raises:
        ValueError: Marks that are not above zero.

    Example:
        >>> jug("bucket", marks_l=0.5)
        Meter(name='bucket', percent=5.0, digits=0.5, step=0.5, offset=0.0, assumed=True)
    """
    if marks_l is not None and not marks_l > 0.0:
        raise ValueError(f"marks {marks_l:g} L apart; write how far one mark is from the next, such as 0.1 L.")
    return Meter(name, JUG_PERCENT, 0.5, max(step_l, MARKS_APART_L) if marks_l is None else marks_l, assumed=True)


def poured_volume(pours_l: Sequence[float], *, meter: Meter, reading_id: str = "reading", seed: int = 0) -> Estimate:
    """Return the volume of some pours, added up; one vessel is off alike with all of them.

    Args:
        pours_l: What stood in the vessel each time. [L]
        meter: The vessel.
        reading_id: Makes the keys of these readings' own errors.
        seed: Of the Monte Carlo draws.

    Raises:
        ValueError: No pour, or one that is not above zero.

    Source:
        GUM, 5.1.2, linear law.

    Example:
        >>> found = poured_volume([1.0, 1.0, 0.6], meter=jug("jug", marks_l=0.1))
        >>> round(found.value, 3), round(found.standard_uncertainty, 3)
        (2.6, 0.09)
    """
    _refuse(pours_l, "L", "read at eye level")
    marks = [
        shown_input(pour, meter, key=f"reading:{reading_id}/{at}", name=f"pour {at}")
        for at, pour in enumerate(pours_l, start=1)
    ]

    def volume(gain: Any, offset: Any, *pours: Any) -> Any:
        return sum(pours) * (1.0 + gain) + len(pours) * offset

    return propagate(volume, [gain_input(meter), offset_input(meter), *marks], unit="L", seed=seed)


def weighed_volume(
    weights_kg: Sequence[float],
    *,
    meter: Meter,
    density: Density | None = None,
    tare_kg: float | None = None,
    reading_id: str = "reading",
    seed: int = 0,
) -> Estimate:
    """Return the volume of what was weighed, one vessel after another, added up.

    Args:
        weights_kg: What the scales showed each time. [kg]
        meter: The scales.
        density: Of the fluid; None assumes any fluid of a vehicle.
        tare_kg: The empty vessel on the same scales; None when they were set to zero with it. [kg]
        reading_id: Makes the keys of these readings' own errors.
        seed: Of the Monte Carlo draws.

    Raises:
        ValueError: No weight, one that is not above the empty vessel's, a density that no fluid has.

    Source:
        GUM, 5.1.2, linear law.

    Example:
        >>> scales = Meter("kitchen scales", 0.5, 1, 0.01)
        >>> found = weighed_volume([4.19], meter=scales, density=Density(0.87, 0.02), tare_kg=0.71)
        >>> round(found.value, 3), round(found.standard_uncertainty, 3)
        (4.0, 0.055)
    """
    fluid = density or DENSITIES["unknown"]
    _refuse(weights_kg, "kg", "put vessel and fluid on the scales together")
    _refuse_density(fluid)
    empty = tare_kg or 0.0
    if empty < 0.0:
        raise ValueError(
            f"the empty vessel weighs {empty:g} kg, which is below zero. Weigh it on the same scales, or leave it "
            "empty when they were set to zero with it."
        )
    if min(weights_kg) <= empty:
        raise ValueError(
            f"the empty vessel weighs {empty:g} kg and the full one {min(weights_kg):g} kg: nothing is left for the "
            "fluid. Write the weight of vessel and fluid together, and the empty vessel apart from it."
        )
    vessel = shown_input(empty, meter, key=f"reading:{reading_id}/tare", name="empty vessel")
    if tare_kg is None:
        vessel = Input(vessel.key, 0.0, Shape.RECTANGULAR, 0.0)
    inputs = [
        gain_input(meter), vessel,
        Input(f"reading:{reading_id}/density", fluid.kg_per_l, Shape.RECTANGULAR, fluid.half_width,
              assumed=fluid.assumed, remedies=("density",), name="density of the fluid"),
        *(shown_input(weight, meter, key=f"reading:{reading_id}/{at}", name=f"weighing {at}")
          for at, weight in enumerate(weights_kg, start=1)),
    ]  # fmt: skip
    if tare_kg is None:
        inputs.append(offset_input(meter))

    def volume(gain: Any, tare: Any, density: Any, *rest: Any) -> Any:
        full, offset = (rest, 0.0) if tare_kg is not None else (rest[:-1], rest[-1])
        net = sum(full) - len(full) * tare
        return (net * (1.0 + gain) + len(full) * offset) / density

    return propagate(volume, inputs, unit="L", seed=seed)


def _refuse(values: Sequence[float], unit: str, do: str) -> None:
    if not values:
        raise ValueError("there is no reading. Give one number for each time that the vessel was filled.")
    for value in values:
        if not value > 0.0:
            raise ValueError(f"a reading of {value:g} {unit} is not above zero. Leave out what was empty, and {do}.")


def _refuse_density(fluid: Density) -> None:
    if not LIGHTEST <= fluid.kg_per_l - fluid.half_width <= fluid.kg_per_l + fluid.half_width <= HEAVIEST:
        raise ValueError(
            f"a density of {fluid.kg_per_l:g} ± {fluid.half_width:g} kg/L; fluids of a vehicle lie from "
            f"{LIGHTEST:g} to {HEAVIEST:g} kg/L. Write it in kg/L, such as 0.87."
        )
