"""What needs no model of its own: a display read as it is, and a winding read warm and through leads."""

from dataclasses import replace

from knowngood import units
from knowngood.engine.judgement import Estimate, Remedy
from knowngood.engine.measurement.electrical.resistance import REFERENCE_C, THERMOMETER_HALF_K, Part, winding_resistance
from knowngood.engine.measurement.electrical.sensors import refuse_another_part
from knowngood.engine.measurement.meters.instruments import typical
from knowngood.engine.measurement.readings.plain import plain_quantity
from knowngood.engine.measurement.readings.remedies import COOLED_K, remedies, twin
from knowngood.engine.measurement.warmth.cooling import minutes_to_air
from knowngood.engine.measurement.warmth.infrared import Surroundings
from knowngood.quantities.model import SEED, Ask, By, Given, K, Quantity
from knowngood.refusal import Refused
from knowngood.words import capital

# The remedy of letting a part cool.
COOL = "cool"
# Ours: a thermometer for such a part shows whole degrees.
THERMOMETER_STEP_K = 1.0

ZERO = Ask(
    "zero", "Probes touching", K.RESISTANCE, hint="Such as 0.4.", many=True, by=By.READING,
    overload="a lead is broken, or its plug is not in. Push both plugs home, try other leads and read again.",
)  # fmt: skip
PART = Ask("part", "Part is at", K.TEMPERATURE, "°C", "Such as 48 ± 4.", signed=True)
AT = Ask("at", "Limits hold at", K.TEMPERATURE, "°C", "Such as 20.", signed=True)
CONDUCTOR = Ask(
    "conductor", "A winding of", hint="What it is wound of.",
    choices=(("", "I do not know"), ("copper", "copper"), ("aluminium", "aluminium"), ("alloy", "resistance alloy")),
)  # fmt: skip
COOLING = Ask(
    "cooling", "Its temperature while it cools", timed=True,
    hint="Only to know how long to wait: such as 0 min 62 °C, 5 min 55 °C.",
)  # fmt: skip
# Where the meter lies; every reading takes it, so it is among no quantity's own.
AMBIENT = Ask("ambient", "The meter lies at", K.TEMPERATURE, "°C", "Such as 5.", signed=True)


def part_of(given: Given) -> Part | None:
    """The part's temperature; without a tolerance a cheap thermometer is assumed."""
    found = given.tolerance(PART)
    if found is None:
        return None
    return part_with(*found)


def part_with(celsius: float, half_width_k: float | None) -> Part:
    """A part's temperature as typed, and how far off it was said to be. [°C, K]"""
    return Part(celsius, THERMOMETER_HALF_K if half_width_k is None else half_width_k, assumed=half_width_k is None)


def cooling_minutes(given: Given) -> float | None:
    """Minutes until the part is as warm as the air, by its own cooling; None when nobody wrote how it cools. [min]

    The air is as warm as where the meter lies, when that is known.

    Raises:
        Refused: The temperatures show no cooling to the air.
    """
    moments, ambient_c = given.moments(COOLING), given.value(AMBIENT)
    if not moments:
        return None
    air = None if ambient_c is None else Surroundings(ambient_c, THERMOMETER_HALF_K)
    thermometer = typical(K.TEMPERATURE.unit, THERMOMETER_STEP_K)
    try:
        found = minutes_to_air(
            COOLED_K, moments, meter=thermometer, air=air, reading_id=f"{given.reading_id}/cooling", seed=SEED
        )
    except ValueError as refused:
        raise Refused({COOLING.name: f"{capital(str(refused))} Or leave this empty."}) from refused
    return found.value


def timed_cooling(given: Given, usual: list[Remedy]) -> list[Remedy]:
    """Remedies with the time of cooling as this part showed it; else marked as the usual time."""
    minutes = cooling_minutes(given)
    words = "usual time of a small part" if minutes is None else "by its own cooling"
    return [
        replace(one, says=f"{one.says} ({words})", minutes=one.minutes if minutes is None else float(round(minutes)))
        if one.key == COOL
        else one
        for one in usual
    ]


def refuse_cooling(given: Given) -> None:
    """Refuse temperatures that show no cooling, also where nobody has to wait for it.

    Raises:
        Refused: At the field.
    """
    cooling_minutes(given)


def _winding(given: Given) -> Estimate:
    refuse_cooling(given)
    at = given.value(AT)
    refuse_another_part(given.read.values, given.upper)
    return winding_resistance(
        given.read.values,
        meter=given.meter,
        zero_ohm=given.values(ZERO),
        part=part_of(given),
        conductor=given.choice(CONDUCTOR) or "unknown",
        reference_c=REFERENCE_C if at is None else at,
        reading_id=given.reading_id,
        seed=SEED,
    )


def _winding_remedies(given: Given, estimate: Estimate) -> list[Remedy]:
    part = part_of(given) or Part()
    usual = remedies(estimate, meter=given.meter, readings=len(given.read.values), part=part)
    return [*timed_cooling(given, usual), *twin(estimate)]


def _as_shown(given: Given) -> Estimate:
    return plain_quantity(
        given.read.values, unit=given.read.kind.unit, meter=given.meter, reading_id=given.reading_id, seed=SEED
    )


WINDING = Quantity(
    "winding_resistance", "Resistance of a winding or a heater", K.RESISTANCE, K.RESISTANCE, _winding,
    '--quantity winding_resistance --limits "80..95 ohm" --read "100.9 101.2 101.1 ohm" --zero "0.4 ohm" '
    '--part "48 ± 4 °C" --conductor copper',
    asks=(ZERO, PART, AT, CONDUCTOR, COOLING),
    trap="Switch off and unplug first: a meter reads nothing true in a live circuit, nor past what is connected beside "
    "the part.",
    remedies=_winding_remedies,
    corrects=True,
    refusals=(("a part at", "part"), ("the probes", "zero"), ("limits stated for", "at")),
)  # fmt: skip


def as_shown(kind: units.Kind) -> Quantity:
    """Any kind, judged as the display shows it."""
    return Quantity(
        "as_shown", "As the display shows it", kind, kind, _as_shown, '--limits "min 12.4 V" --read "12.6 V"'
    )


QUANTITIES = (WINDING,)
