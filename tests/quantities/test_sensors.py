"""What is typed for temperature sensors, and what comes back."""

import pytest
from tests.quantities.handed import judged
from tests.refusing import refused

from knowngood.acts.readings.judging import judge_typed
from knowngood.quantities import sensors
from knowngood.quantities.known import example_words
from knowngood.quantities.sensors import QUANTITIES

TABLE = {"r25": "", "beta": "", "table_r": "32128 9814 3542 ohm", "table_t": "0 25 50"}


@pytest.mark.parametrize("quantity", QUANTITIES, ids=lambda one: one.name)
def test_the_example_works_as_it_stands(quantity):
    assert judged(quantity).judgement.verdict.value == "within limits"


@pytest.mark.parametrize("quantity", QUANTITIES, ids=lambda one: one.name)
def test_every_quantity_says_what_goes_wrong(quantity):
    assert quantity.trap.startswith("Unplug the sensor")
    assert quantity.trap.endswith(".")


@pytest.mark.parametrize(
    "quantity", [sensors.THERMISTOR_RESISTANCE, sensors.PLATINUM_TEMPERATURE, sensors.PLATINUM_RESISTANCE],
    ids=lambda one: one.name,
)  # fmt: skip
def test_limits_and_a_reading_are_enough(quantity):
    words = example_words(quantity)
    found = judge_typed({key: words[key] for key in ("quantity", "limits", "read")}, reading_id="x")
    assert found.judgement.verdict.value == "can't tell" or found.assumed


@pytest.mark.published("Steinhart and Hart 1968: coefficients of three points, worked by hand")
@pytest.mark.parametrize(("read", "celsius"), [("32.128 kohm", 0.0), ("9814 ohm", 25.0), ("3.542 kohm", 50.0)])
def test_a_manuals_table_gives_its_own_temperatures(read, celsius):
    found = judged(sensors.THERMISTOR_TEMPERATURE, **TABLE, read=read)
    assert found.estimate.value == pytest.approx(celsius, abs=1e-6)


def test_the_sensors_own_tolerance_may_stand_with_its_resistance():
    stated, typed = (
        judged(sensors.THERMISTOR_TEMPERATURE, r25=r25, tolerance=own)
        for r25, own in (("10 ± 0.3 kohm", ""), ("10 kohm", "3"))
    )
    assert stated.estimate == typed.estimate
    unknown = judged(sensors.THERMISTOR_TEMPERATURE, tolerance="")
    assert "tolerance of the sensor, ± 5 %" in unknown.assumed


def test_a_resistance_stated_for_twenty_degrees():
    found = judged(sensors.THERMISTOR_TEMPERATURE, r25="2.5 kohm", r_at="20", read="2.500 kohm")
    assert found.estimate.value == pytest.approx(20.0)


@pytest.mark.parametrize(
    ("quantity", "changed", "keys"),
    [
        (sensors.THERMISTOR_TEMPERATURE, {"limits": "max 80.5 °C", "beta": "", "tolerance": ""}, {"table"}),
        (sensors.THERMISTOR_RESISTANCE, {"limits": "max 2.5 kohm", "part": ""}, {"part", "cool"}),
        (sensors.PLATINUM_TEMPERATURE, {"limits": "max 100.3 °C", "read": "138.80", "class": "", "zero": ""},
         {"class", "zero"}),
    ],
    ids=lambda one: getattr(one, "name", ""),
)  # fmt: skip
def test_what_would_settle_it(quantity, changed, keys):
    found = judged(quantity, **changed).judgement
    assert found.verdict.value == "can't tell"
    assert keys <= {one.key for one in found.settle}
    assert not any("°C steps" in one.remedy for one in found.settle)


@pytest.mark.parametrize(
    ("quantity", "changed", "field", "begins"),
    [
        (sensors.THERMISTOR_TEMPERATURE, {"r25": ""}, "r25", "Ohms alone are no temperature."),
        (sensors.THERMISTOR_TEMPERATURE, {"r25": "0"}, "r25", "A sensor of 0 ohm is not above zero."),
        (sensors.THERMISTOR_TEMPERATURE, {"beta": "25"}, "beta", "A beta of 25 is less than 500: no"),
        (sensors.THERMISTOR_TEMPERATURE, {"beta": "warm"}, "beta", '"warm" is not a number. From its data sheet'),
        (sensors.THERMISTOR_TEMPERATURE, {"r25": "10 ± 6 kohm", "tolerance": ""}, "r25",
         "A sensor of 10000 ohm that may be off by 60 % tells nothing; up to 50 % is taken."),
        (sensors.THERMISTOR_TEMPERATURE, {"tolerance": "80"}, "tolerance", "A tolerance of 80 % is more than 50 %"),
        (sensors.THERMISTOR_TEMPERATURE, {**TABLE, "table_t": "0 25"}, "table_t",
         "The table has 3 resistances and 2 temperatures."),
        (sensors.THERMISTOR_TEMPERATURE, {**TABLE, "table_t": "50 25 0"}, "table_r", "The table does not fall"),
        (sensors.THERMISTOR_TEMPERATURE, {"read": "OL"}, "read", '"OL" is the display\'s overload'),
        (sensors.THERMISTOR_RESISTANCE, {"at": "900"}, "at", "Limits stated for 900 °C"),
        (sensors.THERMISTOR_RESISTANCE, {"part": "900 ± 2"}, "part", "A part at 900 ± 2 °C reaches outside"),
        (sensors.PLATINUM_TEMPERATURE, {"zero": "200"}, "zero", "The probes read 200 ohm touching"),
        (sensors.PLATINUM_TEMPERATURE, {"read": "1385 ohm"}, "read", "A reading of 1385 ohm is not that of a Pt100"),
        (sensors.PLATINUM_TEMPERATURE, {"sensor": "50"}, "sensor", '"50" is none of the choices.'),
    ],
    ids=lambda one: getattr(one, "name", ""),
)  # fmt: skip
def test_refused_at_its_field(quantity, changed, field, begins):
    problems = refused(judged, quantity, **changed)
    assert list(problems) == [field]
    assert problems[field].startswith(begins)


def test_a_pt1000_is_told_by_its_ask():
    found = judged(sensors.PLATINUM_TEMPERATURE, read="1385.3 ohm", sensor="1000")
    assert found.estimate.value == pytest.approx(100.0, abs=0.05)
