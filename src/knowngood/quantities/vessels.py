"""Volume that came out, by marks on a vessel or by weight."""

from knowngood.engine.judgement import Estimate, Remedy
from knowngood.engine.measurement.meters.instruments import Meter
from knowngood.engine.measurement.readings.remedies import Way, by_ways, remedies
from knowngood.engine.measurement.readings.single import better_offset
from knowngood.engine.measurement.sizes.vessels import (
    DENSITIES,
    DENSITY_HALF,
    Density,
    jug,
    poured_volume,
    weighed_volume,
)
from knowngood.quantities.model import SEED, Ask, By, Given, K, Quantity

MARKS = Ask("marks", "Marks are apart by", K.VOLUME, "L", "Such as 0.1; left empty, 0.1 L is assumed.")
FLUID = Ask(
    "fluid", "Fluid", hint="Gives its density.",
    choices=(("", "I do not know"), ("oil", "engine oil or transmission fluid"), ("gear_oil", "gear oil"),
             ("coolant", "coolant"), ("brake_fluid", "brake fluid"), ("water", "water"), ("fuel", "fuel")),
)  # fmt: skip
DENSITY = Ask("density", "Density in kg/L", hint="From the fluid's data sheet, such as 0.87; counts before the fluid.")
TARE = Ask("tare", "Empty vessel", K.MASS, "kg", "Such as 0.71; left empty, the scales were at zero with it.",
           by=By.READING)  # fmt: skip

LOOK_UP = Way("density", "Look up the fluid's density in its data sheet", 5, 0.2)


def _vessel(given: Given) -> Meter:
    """An instrument that was described counts; else a jug with its marks."""
    if not given.meter.unknown:
        return given.meter
    return jug(given.meter.name, marks_l=given.value(MARKS), step_l=max(given.read.step, given.meter.step))


def _density(given: Given) -> Density:
    stated = given.value(DENSITY)
    if stated is not None:
        return Density(stated, DENSITY_HALF, assumed=True)
    return DENSITIES[given.choice(FLUID) or "unknown"]


def _poured(given: Given) -> Estimate:
    return poured_volume(given.read.values, meter=_vessel(given), reading_id=given.reading_id, seed=SEED)


def _weighed(given: Given) -> Estimate:
    return weighed_volume(
        given.read.values,
        meter=given.meter,
        density=_density(given),
        tare_kg=given.value(TARE),
        reading_id=given.reading_id,
        seed=SEED,
    )


def _set_to_zero(given: Given) -> bool:
    """No empty vessel was weighed: the scales stood at zero with it, whatever they show without."""
    return not given.typed.get(TARE.name)


def _remedies(given: Given, estimate: Estimate) -> list[Remedy]:
    meter = _vessel(given) if given.read.kind is K.VOLUME else given.meter
    usual = remedies(estimate, meter=meter, readings=len(given.read.values))
    return [*better_offset(usual, estimate), *by_ways(estimate, [LOOK_UP])]


QUANTITIES = (
    Quantity(
        "volume_out", "Volume that came out, by marks", K.VOLUME, K.VOLUME, _poured,
        '--quantity volume_out --limits "3.2..3.8 L" --read "1.0 1.0 1.0 0.5 L" --set marks=0.1',
        asks=(MARKS,),
        trap="Each reading is one pour, and they are added up: read at eye level on a flat place, let oil cool before "
        "you catch it, and mind that oil 40 °C warmer takes up about 3 % more.",
        remedies=_remedies, refusals=(("marks", "marks"),),
    ),
    Quantity(
        "volume_out_weighed", "Volume that came out, by weight", K.MASS, K.VOLUME, _weighed,
        '--quantity volume_out_weighed --limits "3.5..4.2 L" --read "4.19 kg" --set fluid=oil --set tare=0.71',
        asks=(FLUID, DENSITY, TARE), read_unit="kg",
        trap="Each reading is one filling, and they are added up: weigh the empty vessel too, for it is most of the "
        "mistake, and let oil cool before you catch it.",
        remedies=_remedies, refusals=(("the empty vessel", "tare"), ("a density", "density")),
        differences=_set_to_zero,
    ),
)  # fmt: skip
