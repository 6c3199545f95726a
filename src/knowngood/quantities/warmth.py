"""Temperature of a surface, seen by infrared or touched by a probe."""

from knowngood.engine.judgement import Estimate, Remedy
from knowngood.engine.measurement.readings.remedies import Way, by_ways, remedies
from knowngood.engine.measurement.warmth.infrared import (
    EMISSIVITY_SET,
    Surroundings,
    contact_temperature,
    infrared_temperature,
)
from knowngood.quantities.model import SEED, Ask, Given, K, Quantity

SURFACE = Ask(
    "surface", "What is read", hint="A patch of tape or paint is read best.",
    choices=(("", "I do not know"), ("coated", "painted, rubber or tape"), ("rusty", "rusty or oxidised iron"),
             ("dull_aluminium", "dull cast aluminium"), ("bare", "bare shiny metal")),
)  # fmt: skip
SET = Ask("emissivity_set", "Thermometer is set to", hint="Most are fixed at 0.95.", default=f"{EMISSIVITY_SET:g}")
AROUND = Ask(
    "surroundings", "Around it", K.TEMPERATURE, "°C", "Such as 18 ± 3; left empty, 20 ± 10 is assumed.", signed=True
)
CONTACT = Ask(
    "contact", "The probe is", hint="How its tip touches.", default="held",
    choices=(("held", "held on by hand"), ("fixed", "clamped or taped on, with paste"), ("immersed", "in the fluid")),
)  # fmt: skip
# Ours: a temperature of the air that someone wrote down without how far off.
AROUND_HALF_K = 5.0


def surroundings_of(given: Given) -> Surroundings | None:
    """What is around it; None when nobody said."""
    found = given.tolerance(AROUND)
    if found is None:
        return None
    celsius, half_k = found
    return Surroundings(celsius, AROUND_HALF_K if half_k is None else half_k, assumed=half_k is None)


def _infrared(given: Given) -> Estimate:
    setting = given.value(SET)
    return infrared_temperature(
        given.read.values,
        meter=given.meter,
        surface=given.choice(SURFACE) or "unknown",
        emissivity_set=EMISSIVITY_SET if setting is None else setting,
        surroundings=surroundings_of(given),
        reading_id=given.reading_id,
        seed=SEED,
    )


def _contact(given: Given) -> Estimate:
    return contact_temperature(
        given.read.values,
        meter=given.meter,
        contact=given.choice(CONTACT),
        air=surroundings_of(given),
        reading_id=given.reading_id,
        seed=SEED,
    )


WAYS = (
    Way("patch", "Stick a patch of dull tape on it, wait a minute and read the patch", 5, 0.1),
    Way("contact", "Tape or clamp the probe on, with paste, and wait until it stands", 5, 0.2),
    Way("surroundings", "Read the air, or what the surface faces", 2, 0.2),
)


def _remedies(given: Given, estimate: Estimate) -> list[Remedy]:
    return [*remedies(estimate, meter=given.meter, readings=len(given.read.values)), *by_ways(estimate, WAYS)]


QUANTITIES = (
    Quantity(
        "surface_temperature", "Temperature of a surface, by infrared", K.TEMPERATURE, K.TEMPERATURE, _infrared,
        '--quantity surface_temperature --limits "max 95 °C" --read "81.5 82.0 81.8 °C" --set surface=coated '
        '--set "surroundings=25 ± 5"',
        asks=(SURFACE, SET, AROUND),
        trap="The spot is larger than the red dot: at 12 to 1 it is 25 mm wide from 300 mm away, so go near, square "
        "on, without touching what is hot or turns.",
        remedies=_remedies, corrects=True,
        refusals=(
            ("bare metal", "surface"), ("a surface that mirrors", "surface"), ("an emissivity", "emissivity_set"),
        ),
    ),
    Quantity(
        "contact_temperature", "Temperature of a surface, by a probe", K.TEMPERATURE, K.TEMPERATURE, _contact,
        '--quantity contact_temperature --limits "35..45 °C" --read "39.4 °C" --set contact=immersed',
        asks=(CONTACT, AROUND),
        trap="A tip that is held on by hand reads too cool: press it on, wait until the display stands, and keep "
        "fingers off what is hot.",
        remedies=_remedies, corrects=True,
    ),
)  # fmt: skip
