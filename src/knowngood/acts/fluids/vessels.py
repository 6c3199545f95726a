"""What fluid is measured with: instruments of the toolbox that read litres or kilograms, and how far they are off."""

from dataclasses import replace
from typing import Any

from knowngood import units
from knowngood.acts.tools.toolbox import instrument_for, unit_of
from knowngood.engine.fluids.expansion import Liquid
from knowngood.engine.fluids.ledger import Vessel
from knowngood.engine.measurement.sizes.vessels import DENSITIES, DENSITY_HALF, Density
from knowngood.refusal import Refused
from knowngood.sheet.circuits import Circuit, Fluid
from knowngood.store.folds import ToolboxState

VOLUME, MASS, TEMPERATURE = units.Kind.VOLUME, units.Kind.MASS, units.Kind.TEMPERATURE
# Which density a fluid that was weighed is taken to have, when no data sheet states it.
WEIGHS = {
    Fluid.ENGINE_OIL: "oil", Fluid.GEARBOX_OIL: "oil", Fluid.STEERING_FLUID: "oil", Fluid.GEAR_OIL: "gear_oil",
    Fluid.COOLANT: "coolant", Fluid.BRAKE_FLUID: "brake_fluid", Fluid.FUEL: "fuel",
}  # fmt: skip
# Densities are stated at 15 °C: common practice, no source.
DATA_SHEET_C = 15.0


def vessels_of(toolbox: ToolboxState) -> dict[str, units.Kind]:
    """Names of what can measure fluid, with what each reads; what reads litres first."""
    rows = [(one.data["name"], unit_of(one)) for one in toolbox.instruments]
    return {name: kind for kind in (VOLUME, MASS) for name, unit in rows if unit == kind.unit}


def thermometers_of(toolbox: ToolboxState) -> list[str]:
    """Names of what reads a temperature."""
    return list(dict.fromkeys(one.data["name"] for one in toolbox.instruments if unit_of(one) == TEMPERATURE.unit))


def measured(
    toolbox: ToolboxState, name: str, typed: units.Quantity, circuit: Circuit, liquid: Liquid
) -> tuple[float, Vessel]:
    """Return the litres that an instrument showed, and how far off they may be.

    What was weighed is taken at 20 °C: weight does not grow with heat.

    Args:
        toolbox: With its checks.
        name: Of the instrument.
        typed: What it showed, a volume or a mass.
        circuit: Whose fluid it is.
        liquid: The same, as the ledger takes it.

    Raises:
        Refused: At "vessel": no such instrument, one that reads something else, or one that is smaller.
    """
    kinds = vessels_of(toolbox)
    if name not in kinds:
        raise Refused({"vessel": f'"{name}" is nothing in the toolbox that measures fluid. Choose another.'})
    kind = kinds[name]
    if typed.kind is not kind:
        raise Refused({"vessel": f'The {name} shows {kind.unit}, and "{typed.text}" was written. Change one of them.'})
    try:
        checked = instrument_for(toolbox, name, kind.unit, [typed.value])
    except Refused as refused:
        more = " Fill it several times, and write down each filling by itself."
        raise Refused({"vessel": refused.problems["meter"] + more}) from refused
    assert checked is not None  # it is in the toolbox
    meter, shown = checked.trusted(typed.value), typed.value - checked.error(typed.value)
    vessel = Vessel(name, meter.percent, 2.0 * meter.absolute + meter.step, meter.assumed)
    return (shown, vessel) if kind is VOLUME else _weighed(shown, vessel, circuit, liquid)


def _weighed(kg: float, scale: Vessel, circuit: Circuit, liquid: Liquid) -> tuple[float, Vessel]:
    density = _density(circuit, liquid)
    off = 100.0 * density.half_width / density.kg_per_l
    vessel = replace(
        scale,
        percent=scale.percent + off,
        marks_l=scale.marks_l / density.kg_per_l,
        assumed=scale.assumed or density.assumed,
    )
    return kg / density.kg_per_l, vessel


def _density(circuit: Circuit, liquid: Liquid) -> Density:
    """At 20 °C: the data sheet's at 15 °C carried there, or what is usual."""
    stated = circuit.density
    if not isinstance(stated, units.Tolerance):
        return replace(DENSITIES[WEIGHS.get(circuit.fluid, "unknown")], assumed=True)
    half = DENSITY_HALF if stated.half_width is None else stated.half_width
    return Density(stated.value * float(liquid.relative(DATA_SHEET_C)), half)


def vessel_json(vessel: Vessel) -> dict[str, Any]:
    """As an event keeps it."""
    return dict(vars(vessel))


def vessel_from(data: dict[str, Any] | None) -> Vessel | None:
    """The way back; the oldest events name none."""
    return None if data is None else Vessel(**data)
