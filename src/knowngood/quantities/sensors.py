"""Temperature sensors: thermistors and platinum, as a temperature and as a resistance."""

from knowngood.engine.judgement import Estimate, Remedy
from knowngood.engine.measurement.electrical.platinum import platinum_resistance, platinum_temperature
from knowngood.engine.measurement.electrical.resistance import REFERENCE_C, Part
from knowngood.engine.measurement.electrical.sensors import (
    Thermistor,
    beta_thermistor,
    table_thermistor,
    thermistor_resistance,
    thermistor_temperature,
)
from knowngood.engine.measurement.readings.remedies import Way, by_ways, remedies
from knowngood.quantities.basic import AT, COOLING, PART, ZERO, part_of, refuse_cooling, timed_cooling
from knowngood.quantities.model import SEED, Ask, Given, K, Quantity
from knowngood.refusal import Refused

WAYS = (
    Way("table", "Copy three lines of the sensor's table from the manual", 10, 0.2),
    Way("class", "Look up the class printed on the sensor or in the manual", 10, 0.5, looked_up=True),
)
R25 = Ask("r25", "Sensor's resistance", K.RESISTANCE, hint="At 25 °C unless said otherwise, such as 2.2 kΩ.")
R_AT = Ask("r_at", "That is at", K.TEMPERATURE, "°C", "Such as 20.", default="25", signed=True)
BETA = Ask("beta", "Beta", hint="From its data sheet, such as 3435.")
TABLE_R = Ask("table_r", "Manual's table: resistances", K.RESISTANCE, hint="Two or three, such as 5.9 2.5 0.3 kΩ.",
              many=True)  # fmt: skip
TABLE_T = Ask("table_t", "At temperatures", K.TEMPERATURE, "°C", "In the same order, such as 0 20 80.", signed=True,
              many=True)  # fmt: skip
OWN = Ask("tolerance", "Sensor may be off by", K.SHARE, "%", "Such as 3; 0 when the limits contain it.")
CURVE = (TABLE_R, TABLE_T, R25, R_AT, BETA)
NOMINAL = Ask(
    "sensor", "Sensor", default="100", choices=(("100", "Pt100"), ("200", "Pt200"), ("1000", "Pt1000")),
)  # fmt: skip
CLASS = Ask(
    "class", "Tolerance class", hint="None when the limits contain it.",
    choices=(("", "I do not know"), ("AA", "AA"), ("A", "A"), ("B", "B"), ("C", "C"), ("none", "none")),
)  # fmt: skip


def _lines(given: Given) -> list[tuple[float, float]] | None:
    ohms, celsius = given.values(TABLE_R) or (), given.values(TABLE_T) or ()
    if len(ohms) != len(celsius):
        raise Refused(
            {
                TABLE_T.name: f"The table has {len(ohms)} resistances and {len(celsius)} temperatures. "
                "Write one temperature for each resistance, in the same order."
            }
        )
    return list(zip(ohms, celsius, strict=True)) or None


def _own_share(given: Given) -> float | None:
    """How far the sensor's resistance may be off, when someone said so."""
    percent = given.value(OWN)
    if percent is not None and not 0.0 <= percent <= 50.0:
        raise Refused({OWN.name: f"A tolerance of {percent:g} % is outside 0 to 50 %. Write it such as 3."})
    if percent is not None:
        return percent / 100.0
    middle, half = given.tolerance(R25) or (1.0, None)
    return None if half is None else half / middle


def _curve(given: Given) -> Thermistor | None:
    """The table of the manual counts before beta; None when there is neither table nor resistance."""
    lines, ohms = _lines(given), given.tolerance(R25)
    if lines:
        return table_thermistor(lines, sensor_share=_own_share(given))
    if ohms is None:
        return None
    at = given.value(R_AT)
    return beta_thermistor(
        ohms[0], given.value(BETA), reference_c=25.0 if at is None else at, sensor_share=_own_share(given)
    )


def _thermistor_temperature(given: Given) -> Estimate:
    curve = _curve(given)
    if curve is None:
        raise Refused(
            {
                R25.name: "Ohms alone are no temperature. Write the sensor's resistance at 25 °C, or two or three "
                "lines of the manual's table."
            }
        )
    return thermistor_temperature(
        given.read.values, meter=given.meter, sensor=curve, reading_id=given.reading_id, seed=SEED
    )


def _thermistor_resistance(given: Given) -> Estimate:
    refuse_cooling(given)
    # How many ohms the curve has does not count here, only how steep it is.
    curve = _curve(given) or beta_thermistor(1000.0, given.value(BETA))
    return thermistor_resistance(
        given.read.values, meter=given.meter, sensor=curve, reference_c=_reference(given), part=part_of(given),
        reading_id=given.reading_id, seed=SEED,
    )  # fmt: skip


def _reference(given: Given) -> float:
    at = given.value(AT)
    return REFERENCE_C if at is None else at


def _platinum_temperature(given: Given) -> Estimate:
    picked = given.choice(CLASS)
    return platinum_temperature(
        given.read.values, meter=given.meter, zero_ohm=given.values(ZERO), nominal_ohm=float(given.choice(NOMINAL)),
        tolerance_class=picked or "B", class_assumed=not picked, reading_id=given.reading_id, seed=SEED,
    )  # fmt: skip


def _platinum_resistance(given: Given) -> Estimate:
    refuse_cooling(given)
    return platinum_resistance(
        given.read.values, meter=given.meter, zero_ohm=given.values(ZERO), part=part_of(given),
        reference_c=_reference(given), reading_id=given.reading_id, seed=SEED,
    )  # fmt: skip


def _as_temperature(given: Given, estimate: Estimate) -> list[Remedy]:
    usual = remedies(estimate, meter=given.meter, readings=len(given.read.values), shows=given.read.kind.unit)
    return [*by_ways(estimate, WAYS), *usual]


def _as_resistance(given: Given, estimate: Estimate) -> list[Remedy]:
    part = part_of(given) or Part()
    usual = remedies(estimate, meter=given.meter, readings=len(given.read.values), part=part)
    return [*by_ways(estimate, WAYS), *timed_cooling(given, usual)]


UNPLUG = "Unplug the sensor and read its own pins, not the harness; "
THERMISTOR_REFUSALS = (
    ("a sensor of", "r25"), ("a beta of", "beta"), ("the table", "table_r"), ("a part at", "part"),
    ("limits stated for", "at"),
)  # fmt: skip
PLATINUM_REFUSALS = (("the probes", "zero"), ("a part at", "part"), ("limits stated for", "at"))
THERMISTOR_TEMPERATURE = Quantity(
    "thermistor_temperature", "Temperature that a thermistor shows", K.RESISTANCE, K.TEMPERATURE,
    _thermistor_temperature,
    '--quantity thermistor_temperature --limits "78..84 °C" --read "1.662 kohm" --set r25="10 kohm" --set beta=3435 '
    "--set tolerance=1",
    asks=(*CURVE, OWN), read_unit="ohm",
    trap=UNPLUG + "a meter left on it warms it, and hot coolant scalds: leave the sensor in its thread.",
    remedies=_as_temperature, refusals=THERMISTOR_REFUSALS,
)  # fmt: skip
THERMISTOR_RESISTANCE = Quantity(
    "thermistor_resistance", "Resistance of a thermistor", K.RESISTANCE, K.RESISTANCE, _thermistor_resistance,
    '--quantity thermistor_resistance --limits "2.2..2.8 kohm" --read "3.05 kohm" --set at=20 --set part="15 ± 1" '
    "--set beta=3435",
    asks=(AT, PART, *CURVE, COOLING), read_unit="ohm",
    trap=UNPLUG + "it must be as warm as what you measured, 1 °C is about 4 %.",
    remedies=_as_resistance, corrects=True, refusals=THERMISTOR_REFUSALS,
)  # fmt: skip
PLATINUM_TEMPERATURE = Quantity(
    "pt100_temperature", "Temperature that a platinum sensor shows", K.RESISTANCE, K.TEMPERATURE,
    _platinum_temperature,
    '--quantity pt100_temperature --limits "95..105 °C" --read "138.8 ohm" --set zero=0.3 --set class=B',
    asks=(ZERO, NOMINAL, CLASS), read_unit="ohm",
    trap=UNPLUG + "one ohm of leads is 2.6 °C at a Pt100, and exhaust parts burn.",
    remedies=_as_temperature, refusals=PLATINUM_REFUSALS,
)  # fmt: skip
PLATINUM_RESISTANCE = Quantity(
    "pt100_resistance", "Resistance of a platinum sensor", K.RESISTANCE, K.RESISTANCE, _platinum_resistance,
    '--quantity pt100_resistance --limits "195..205 ohm" --read "215.9 ohm" --set at=0 --set part="20 ± 1" '
    "--set zero=0.3",
    asks=(AT, PART, ZERO, COOLING), read_unit="ohm",
    trap=UNPLUG + "let it cool, for exhaust parts burn and 1 °C is 0.4 %.",
    remedies=_as_resistance, corrects=True, refusals=PLATINUM_REFUSALS,
)  # fmt: skip
QUANTITIES = (THERMISTOR_TEMPERATURE, THERMISTOR_RESISTANCE, PLATINUM_TEMPERATURE, PLATINUM_RESISTANCE)
