"""What is known of a circuit, with the wide default where nobody stated it: its fluid, and how much it holds."""

from knowngood import units
from knowngood.engine.fluids.carried import stated
from knowngood.engine.fluids.expansion import LIQUIDS, Liquid, oil
from knowngood.engine.fluids.renewal import stated_total
from knowngood.engine.judgement import Estimate
from knowngood.sheet.circuits import Circuit, Fluid
from knowngood.sheet.fields import AskRef

# Ours: what a circuit of its kind holds in a car or van, as middle and half-width, when nobody looked it up. [L]
USUAL_L = {
    Fluid.COOLANT: (8.0, 4.0),
    Fluid.ENGINE_OIL: (5.0, 2.0),
    Fluid.GEARBOX_OIL: (8.0, 3.0),
    Fluid.GEAR_OIL: (2.0, 1.2),
    Fluid.BRAKE_FLUID: (0.8, 0.4),
    Fluid.STEERING_FLUID: (1.2, 0.6),
    Fluid.FUEL: (60.0, 30.0),
    Fluid.REFRIGERANT: (0.6, 0.3),
}
# Ours: how far off a printed density may be that says nothing of it. [kg/L]
DENSITY_HALF = 0.005


def liquid_of(circuit: Circuit) -> Liquid:
    """The fluid's curve, by the density of its data sheet where that is an oil's and was stated."""
    usual = LIQUIDS.get(circuit.fluid, LIQUIDS["unknown"])
    stated_one = circuit.density
    if not isinstance(stated_one, units.Tolerance) or usual.depends_on != "density at 15 °C":
        return usual
    half = DENSITY_HALF if stated_one.half_width is None else stated_one.half_width
    return oil(stated_one.value, half_width=half, name=usual.name)


def total_stated(circuit: Circuit) -> Estimate | None:
    """What a circuit holds as the manual states it; None when nobody looked. [L]"""
    holds = circuit.holds
    if isinstance(holds, AskRef):
        return None
    if holds.half_width is None:
        return stated_total(holds.value)
    return stated("manual/total", holds.value, holds.half_width, unit="L", name="the manual's total", remedy="manual")


def total_of(circuit: Circuit) -> Estimate:
    """What a circuit holds: the manual's total, or what is usual for its kind. [L]"""
    found = total_stated(circuit)
    if found is not None:
        return found
    middle, half = USUAL_L[circuit.fluid]
    return stated("manual/total", middle, half, unit="L", assumed=True, name="how much it holds", remedy="manual")
